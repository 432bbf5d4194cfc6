"""Corners of the outer wall that are not slowed at all, so that the axes take the whole blow."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above
from convert.rules.judged import roots, usable
from convert.rules.quantities import corner_speed, effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: speed through a right angle against the speed of the wall"


def check(setup: Setup) -> Iterator[Finding]:
    speed = usable(effective_speed, setup, "outer_wall")
    corner = usable(corner_speed, setup, "outer_wall")
    if corner < speed or speed < setup.limit("corner.unslowed.from"):
        return
    deviation = setup.get("motion.corner_deviation")
    yield Finding(
        rule="corner-unslowed",
        severity="note",
        settings=(
            "motion.corner_deviation" if deviation else "jump.outer_wall",
            *roots(setup, "speed.outer_wall"),
        ),
        says=f"Every corner may ring: the outer wall goes through right angles at its full {num(speed)} mm/s.",
        value=corner,
        limit=speed,
        unit="mm/s",
        margin=margin_above(corner, speed),
        source=SOURCE,
    )


RULE = Rule(
    code="corner-unslowed",
    question="Is the outer wall slowed at its corners?",
    needs=("speed.outer_wall", "motion.corner_deviation", "jump.outer_wall", "acceleration.outer_wall"),
    source=SOURCE,
    check=check,
    good={"speed.outer_wall": "100 mm/s", "jump.outer_wall": "8 mm/s"},
    bad={"speed.outer_wall": "40 mm/s", "motion.corner_deviation": "0.3 mm", "acceleration.outer_wall": "5000 mm/s2"},
    severity="note",
)
