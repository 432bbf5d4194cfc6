"""A slowest speed at which the nozzle drools, or which slows nothing."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below, roots, usable
from convert.rules.quantities import effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)
HIGH = ((0.0, "differs"),)


def check(setup: Setup) -> Iterator[Finding]:
    slowest = setup.get("cooling.slowest")
    if not slowest or not setup.get("cooling.min_layer_time", 1.0):
        return
    least = setup.limit("speed.drool")
    says = f"Slowed layers get blobs and scorched spots, for the nozzle creeps at {num(slowest)} mm/s and drools."
    repair: tuple[Repair, ...] = (Repair("cooling.slowest", exact(2 * least, "mm/s")),)
    yield from below("slowest-odd", ("cooling.slowest",), slowest, least, "mm/s", STEPS, says, SOURCE, repair)
    wall = usable(effective_speed, setup, "outer_wall")
    says = (
        f"Small layers are never slowed: {num(slowest)} mm/s is the slowest, and the outer wall is laid at "
        f"{num(wall)} mm/s."
    )
    repair = (Repair("cooling.slowest", usable(down, wall / 2, 1, "mm/s")),) if wall >= 2 else ()
    names = ("cooling.slowest", *roots(setup, "speed.outer_wall"))
    yield from above("slowest-odd", names, slowest, wall, "mm/s", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="slowest-odd",
    question="Are small layers slowed, and not to a creep?",
    needs=("cooling.slowest", "cooling.min_layer_time", "speed.outer_wall"),
    source=SOURCE,
    check=check,
    good={"cooling.slowest": "12 mm/s", "speed.outer_wall": "40 mm/s"},
    bad={"cooling.slowest": "60 mm/s", "speed.outer_wall": "40 mm/s"},
    severity="differs",
)
