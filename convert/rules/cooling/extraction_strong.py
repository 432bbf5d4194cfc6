"""Warm air drawn out of the chamber that is to be warm."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    fan, chamber = known(setup, "fan.extraction"), known(setup, "heat.chamber")
    if not fan or not chamber or chamber < setup.limit("chamber.warm"):
        return
    most = setup.limit("fan.extraction.warm")
    says = (
        f"The chamber may not get to {num(chamber)} °C, for its air is drawn out at {num(fan)} %. Where fumes have to "
        "go, "
        "keep the extraction: the filament maker's safety sheet comes first."
    )
    names = ("fan.extraction", "heat.chamber")
    yield from above("extraction-strong", names, fan, most, "%", STEPS, says, SOURCE)


RULE = Rule(
    code="extraction-strong",
    question="Does the chamber stay warm while its air is drawn out?",
    needs=("fan.extraction", "heat.chamber"),
    source=SOURCE,
    check=check,
    good={"fan.extraction": "30 %", "heat.chamber": "55 °C"},
    bad={"fan.extraction": "100 %", "heat.chamber": "60 °C"},
    severity="note",
)
