"""A lined hot end whose maximum lets the liner burn."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "maximum operating temperature of PTFE: Crawford, Plastics Engineering, table 1.8; margins are common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.word("hotend.liner") != "ptfe":
        return
    allowed, most = finite(setup, "hotend.max_temperature"), setup.limit("liner.ptfe.max")
    margin = margin_above(allowed, most)
    severity = graded(margin, (0.0, "note"), (-0.12, "fails"))
    if severity:
        yield Finding(
            rule="liner-limit",
            severity=severity,
            settings=("hotend.max_temperature", "hotend.liner"),
            says=f"The hot end may be heated to {num(allowed)} °C, and its PTFE liner is good for {num(most)} °C: "
            "a wrong temperature ruins it, and nothing is there to stop that.",
            value=allowed,
            limit=most,
            unit="Cel",
            margin=margin,
            source=SOURCE,
            repair=(Repair("hotend.max_temperature", down(most, 1, "°C")),),
        )


RULE = Rule(
    code="liner-limit",
    question="Does the hot end's maximum protect its liner?",
    needs=("hotend.liner", "hotend.max_temperature"),
    source=SOURCE,
    check=check,
    good={"hotend.liner": "ptfe", "hotend.max_temperature": "250 °C"},
    bad={"hotend.liner": "ptfe", "hotend.max_temperature": "300 °C"},
    severity="fails",
)
