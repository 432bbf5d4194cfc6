"""Parts printed one after the other, where the head may strike those that are finished."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below, known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "common practice"
SHORT = ((0.0, "differs"), (-0.5, "fails"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("order.part_by_part"):
        return
    reach, room = setup.number("head.sweep_radius"), setup.number("head.crossbar_room")
    least = setup.limit("head.sweep.min")
    says = (
        f"The head may strike a finished part: it is said to reach {num(reach)} mm sideways, "
        f"and hardly a head reaches less than {num(least)} mm."
    )
    repair = (Repair("head.sweep_radius", up(least, 1, "mm")),)
    yield from below("part-by-part-room", ("head.sweep_radius",), reach, least, "mm", SHORT, says, SOURCE, repair)
    tall = known(setup, "envelope.z")
    if tall is not None:
        says = (
            f"The crossbar may strike a finished part: {num(room)} mm of room above the nozzle is more than the build "
            f"volume is high ({num(tall)} mm)."
        )
        names = ("head.crossbar_room", "envelope.z")
        yield from above("part-by-part-room", names, room, tall, "mm", ((0.0, "differs"),), says, SOURCE)
    sides = [value for name in ("envelope.x", "envelope.y") if (value := known(setup, name))]
    if len(sides) == 2 and isfinite(reach) and reach > max(sides) / 2:
        yield Finding(
            rule="part-by-part-room",
            severity="note",
            settings=("head.sweep_radius",),
            says=f"No two parts fit beside each other: the head reaches {num(reach)} mm, and the bed is "
            f"{num(sides[0])} x {num(sides[1])} mm.",
            source=SOURCE,
        )


RULE = Rule(
    code="part-by-part-room",
    question="Is the room known that the head needs beside and above a finished part?",
    needs=("order.part_by_part", "head.sweep_radius", "head.crossbar_room", "envelope.z"),
    source=SOURCE,
    check=check,
    good={"order.part_by_part": "true", "head.sweep_radius": "48 mm", "head.crossbar_room": "32 mm"},
    bad={"order.part_by_part": "true", "head.sweep_radius": "4 mm", "head.crossbar_room": "32 mm"},
    severity="fails",
)
