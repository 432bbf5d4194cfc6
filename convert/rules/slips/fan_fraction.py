"""Fan speeds that stand as 0..1 where percent is meant."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

NAMES = tuple(
    f"fan.{name}" for name in ("max", "min", "bridge", "overhang", "interface", "first_layer", "second", "extraction")
)


def check(setup: Setup) -> Iterator[Finding]:
    most = setup.limit("plausible.fan.low")
    found = {name: Slip(value, value * 100, most) for name, value in stated(setup, NAMES).items() if 0 < value <= most}
    if found:
        says = "The fan does not even start, and overhangs and bridges droop"
        yield slip("fan-fraction", "spoils", found, says, "written as a fraction of one")


RULE = Rule(
    code="fan-fraction",
    question="Are fan speeds in percent, or do they stand as a fraction of one?",
    needs=("fan.max", "fan.min", "fan.bridge"),
    source=SOURCE,
    check=check,
    good={"fan.max": "100 %", "fan.min": "5 %", "fan.first_layer": "0 %"},
    bad={"fan.max": "1 %", "fan.min": "0.35 %"},
    severity="spoils",
    explains=("*",),
    formula="percent = 100 x fraction",
)
