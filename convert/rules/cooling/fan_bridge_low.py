"""Bridges and overhangs cooled less than the rest."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"))
WORDS = {"fan.bridge": "Bridges sag", "fan.overhang": "Overhangs curl"}


def check(setup: Setup) -> Iterator[Finding]:
    general = setup.get("fan.min")
    if not general:
        return
    for name, effect in WORDS.items():
        fan = setup.get(name)
        if fan is None:
            continue
        says = f"{effect}: they get {num(fan)} % of part fan, less than anything else ({num(general)} %)."
        repair = (Repair(name, exact(general, "%")),)
        yield from below("fan-bridge-low", (name, "fan.min"), fan, general, "%", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="fan-bridge-low",
    question="Do bridges and overhangs get as much air as the rest?",
    needs=("fan.bridge", "fan.overhang", "fan.min"),
    source=SOURCE,
    check=check,
    good={"fan.min": "25 %", "fan.max": "55 %", "fan.bridge": "80 %"},
    bad={"fan.min": "60 %", "fan.max": "100 %", "fan.bridge": "20 %"},
    severity="differs",
)
