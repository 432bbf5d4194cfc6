"""Filament pushed forward faster than it was pulled back."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.retraction._pull import pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((-0.5, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup) or not setup.get("retract.length", 1.0):
        return
    back, pull = setup.get("retract.return_speed"), setup.get("retract.speed")
    if not back or not pull:
        return
    says = (
        f"Lines may begin with a blob or a slipped gear: filament is pushed forward at {num(back)} mm/s, and was "
        "pulled "
        f"back at {num(pull)}."
    )
    repair = (Repair("retract.return_speed", exact(pull, "mm/s")),)
    names = ("retract.return_speed", "retract.speed")
    yield from above("return-hasty", names, back, pull, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="return-hasty",
    question="Is filament pushed forward no faster than it was pulled back?",
    needs=("retract.return_speed", "retract.speed"),
    source=SOURCE,
    check=check,
    good={"retract.return_speed": "30 mm/s", "retract.speed": "40 mm/s"},
    bad={"retract.return_speed": "70 mm/s", "retract.speed": "35 mm/s"},
    severity="note",
)
