"""A speed limit of the Z axis that belongs to another kind of machine."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: screws lift slowly; on a machine with three arms all towers move at once"
SCREWS = ("crossed-belt", "moving-bed", "moving-head")
STEPS = ((0.0, "note"),)
SLIPS = ((0.0, "note"), (-2.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    kinematics = setup.word("machine.kinematics")
    lift, plan = setup.number("axis.z.max_speed"), setup.number("axis.x.max_speed")
    names = ("axis.z.max_speed", "axis.x.max_speed")
    share = setup.limit("axis.lift.share")
    if kinematics in SCREWS:
        says = (
            f"Lifts may lose steps: {num(lift)} mm/s is allowed to the Z axis, beside {num(plan)} mm/s along X; "
            "screws seldom bear that."
        )
        yield from above("lift-speed-odd", names, lift, plan * share, "mm/s", SLIPS, says, SOURCE)
        least = setup.limit("axis.lift.least")
        says = (
            f"Every layer begins with a blob, for the nozzle waits while the Z axis creeps: {num(lift)} mm/s is all "
            f"that it is allowed, and slow screws do {num(least)}."
        )
        yield from below("lift-speed-odd", names, lift, least, "mm/s", ((0.0, "differs"),), says, SOURCE)
    elif kinematics == "delta":
        says = (
            f"All moves may be slowed: three arms carry the head, and {num(lift)} mm/s is allowed along Z where X has "
            f"{num(plan)}."
        )
        yield from below("lift-speed-odd", names, lift, plan * share, "mm/s", STEPS, says, SOURCE)


RULE = Rule(
    code="lift-speed-odd",
    question="Does the speed limit of the Z axis fit the kind of machine?",
    needs=("machine.kinematics", "axis.z.max_speed", "axis.x.max_speed"),
    source=SOURCE,
    check=check,
    good={"machine.kinematics": "moving-bed", "axis.z.max_speed": "12 mm/s", "axis.x.max_speed": "250 mm/s"},
    bad={"machine.kinematics": "moving-bed", "axis.z.max_speed": "250 mm/s", "axis.x.max_speed": "250 mm/s"},
    severity="note",
)
