"""Accelerations that were meant in m/s2 and stand as mm/s2, or the other way round."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.setting import SETTINGS
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

NAMES = (
    *(name for name in SETTINGS if name.startswith("acceleration.")),
    "limit.acceleration.print",
    "limit.acceleration.travel",
    "axis.x.max_acceleration",
    "axis.y.max_acceleration",
    "axis.e.max_acceleration",
    "feed.max_acceleration",
)


def check(setup: Setup) -> Iterator[Finding]:
    low, high = setup.limit("acceleration.slip.low"), setup.limit("acceleration.slip.high")
    values = stated(setup, NAMES)
    slow = {
        name: Slip(value, value * 1000, low)
        for name, value in values.items()
        if 0 < value < low <= value * 1000 <= high
    }
    if slow:
        says = "The printer hardly moves off and no line comes near its speed"
        yield slip("acceleration-in-metres", "spoils", slow, says, "written in m/s2")
    # Beyond the range some machines do go; a thousand times a usual value does not.
    fast = {
        name: Slip(value, value / 1000, high) for name, value in values.items() if value >= 10 * high >= value / 100
    }
    if fast:
        says = "The printer is asked for a thousand times the push and keeps its own limit"
        yield slip("acceleration-in-metres", "fails", fast, says, "that was taken as m/s2")


RULE = Rule(
    code="acceleration-in-metres",
    question="Are accelerations in mm/s2, or do they stand in m/s2?",
    needs=("acceleration.*", "axis.x.max_acceleration", "limit.acceleration.print"),
    source=SOURCE,
    check=check,
    good={"acceleration.default": "20000 mm/s2", "acceleration.first_layer": "300 mm/s2"},
    bad={"acceleration.default": "10 mm/s2", "acceleration.outer_wall": "3 mm/s2"},
    severity="spoils",
    explains=("*",),
    formula="1 m/s2 = 1000 mm/s2",
)
