"""A PTFE-lined hot end that is heated beyond what the liner bears."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above
from convert.rules.heat._temperatures import NOZZLE, lowered, temperatures
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = (
    "maximum operating temperature of PTFE: Crawford, Plastics Engineering, table 1.8; fumes: Guide to the Safe "
    "Handling of Fluoropolymer Resins; the threshold of caution is common practice"
)


def check(setup: Setup) -> Iterator[Finding]:
    if setup.word("hotend.liner") != "ptfe":
        return
    careful, most = setup.limit("liner.ptfe.caution"), setup.limit("liner.ptfe.max")
    for name, value in list(temperatures(setup, NOZZLE).items())[:1]:
        if value <= careful:
            return
        beyond = value > most
        limit = most if beyond else careful
        effect = "softens, narrows and in the end gives off harmful fumes" if beyond else "ages fast"
        yield Finding(
            rule="liner-too-hot",
            severity="hurts",
            settings=(name, "hotend.liner"),
            says=f"The PTFE liner of the hot end {effect} at {num(value)} °C; it is good for {num(most)} °C at most.",
            value=value,
            limit=limit,
            unit="Cel",
            margin=margin_above(value, limit),
            source=SOURCE,
            repair=lowered(temperatures(setup, NOZZLE), careful),
            signal="WARNING" if beyond else "CAUTION",
            precaution="Print hotter only on a hot end lined with metal. If a liner overheated, air the room.",
        )


RULE = Rule(
    code="liner-too-hot",
    question="Does the liner of the hot end bear the nozzle temperature?",
    needs=("hotend.liner", "heat.nozzle"),
    source=SOURCE,
    check=check,
    good={"hotend.liner": "ptfe", "heat.nozzle": "235 °C", "heat.nozzle_first": "240 °C"},
    bad={"hotend.liner": "ptfe", "heat.nozzle": "265 °C"},
    severity="hurts",
)
