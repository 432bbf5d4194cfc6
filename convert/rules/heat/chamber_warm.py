"""A chamber so warm that the filament softens before it reaches the hot end."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.laid import ends, finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice (windows of families)"


def check(setup: Setup) -> Iterator[Finding]:
    most = ends(setup, "chamber")[1]
    if most is None or support_tool(setup):
        return
    value = finite(setup, "heat.chamber")
    beyond = value - most
    if beyond <= 0:
        return
    family = setup.word("feedstock.family")
    yield Finding(
        rule="chamber-warm",
        severity="spoils" if beyond > setup.limit("chamber.window.spoils") else "differs",
        settings=("heat.chamber", "feedstock.family"),
        says=f"{family} softens on its way to the hot end and jams: the chamber is at {num(value)} °C, "
        f"and {num(most)} °C is the most it usually takes.",
        value=value,
        limit=most,
        unit="Cel",
        margin=margin_above(value, most),
        source=SOURCE,
        repair=(Repair("heat.chamber", down(most, 1, "°C")),),
    )


RULE = Rule(
    code="chamber-warm",
    question="Is the chamber cool enough for the filament to stay stiff on its way?",
    needs=("heat.chamber", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "heat.chamber": "35 °C"},
    bad={"feedstock.family": "PLA", "heat.chamber": "55 °C"},
    severity="differs",
)
