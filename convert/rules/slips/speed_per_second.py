"""Speeds that were meant in mm/s and were taken as mm/min: a sixtieth is left."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import (
    AXIS_SPEEDS,
    FIRST_SPEEDS,
    PRINT_SPEEDS,
    SOURCE,
    TRAVEL_SPEEDS,
    mistaken,
    slip,
)

CLASSES = {
    "print_speed": PRINT_SPEEDS,
    "first_speed": FIRST_SPEEDS,
    "travel_speed": TRAVEL_SPEEDS,
    "axis_speed": AXIS_SPEEDS,
}


def check(setup: Setup) -> Iterator[Finding]:
    found = mistaken(setup, CLASSES, lambda value: value * 60, upwards=False)
    if found:
        says = "The print takes about sixty times as long and the plastic cooks in the nozzle"
        yield slip("speed-per-second", "spoils", found, says, "that was taken as mm/min")


RULE = Rule(
    code="speed-per-second",
    question="Are speeds in mm/s, or were they taken as mm/min?",
    needs=("speed.*", "axis.x.max_speed"),
    source=SOURCE,
    check=check,
    good={"speed.default": "25 mm/s", "speed.travel": "120 mm/s", "speed.first_layer": "10 mm/s"},
    bad={"speed.default": "1 mm/s", "speed.outer_wall": "0.5 mm/s", "speed.travel": "2.5 mm/s"},
    severity="spoils",
    explains=("*",),
    formula="1 mm/min = 1/60 mm/s",
)
