"""Speeds that were meant in mm/min and stand as mm/s."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import (
    AXIS_SPEEDS,
    FIRST_SPEEDS,
    PRINT_SPEEDS,
    PULL_SPEEDS,
    SOURCE,
    TRAVEL_SPEEDS,
    Slip,
    mistaken,
    slip,
    stated,
)

CLASSES = {
    "print_speed": PRINT_SPEEDS,
    "first_speed": FIRST_SPEEDS,
    "travel_speed": TRAVEL_SPEEDS,
    "axis_speed": AXIS_SPEEDS,
    "pull_speed": PULL_SPEEDS,
}


def check(setup: Setup) -> Iterator[Finding]:
    found = mistaken(setup, CLASSES, lambda value: value / 60, upwards=True)
    if not found:
        return
    feeds = stated(setup, PRINT_SPEEDS + FIRST_SPEEDS + TRAVEL_SPEEDS)
    if 2 <= 2 * sum(name in found for name in feeds) >= len(feeds):
        # Where most speeds of a process are in mm/min, the slow ones that would pass for mm/s are so too.
        least = setup.limit("plausible.print_speed.low")
        found |= {
            name: Slip(value, value / 60, found[next(iter(found))].limit)
            for name, value in feeds.items()
            if name not in found and value / 60 >= least
        }
    says = "The printer is asked for sixty times the speed and does what it can"
    yield slip("speed-per-minute", "fails", found, says, "written in mm/min")


RULE = Rule(
    code="speed-per-minute",
    question="Are speeds in mm/s, or do they stand in mm/min?",
    needs=("speed.*", "retract.speed", "axis.x.max_speed"),
    source=SOURCE,
    check=check,
    good={"speed.default": "250 mm/s", "speed.travel": "600 mm/s", "speed.first_layer": "20 mm/s"},
    bad={
        "speed.default": "9000 mm/s",
        "speed.outer_wall": "3600 mm/s",
        "speed.first_layer": "900 mm/s",
        "speed.travel": "18000 mm/s",
        "speed.gap": "600 mm/s",
    },
    severity="fails",
    explains=("*",),
    formula="1 mm/s = 60 mm/min",
)
