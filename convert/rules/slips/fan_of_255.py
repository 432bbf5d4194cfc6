"""Fan speeds on a scale of 0 to 255 where percent is meant, or percent that was taken as such a scale."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated
from convert.rules.slips.fan_fraction import NAMES
from convert.rules.words import exact, num

FULL = 255


def check(setup: Setup) -> Iterator[Finding]:
    values = stated(setup, NAMES)
    over = {name: Slip(value, value * 100 / FULL, 100.0) for name, value in values.items() if 100 < value <= FULL}
    if over:
        says = "More than all of the fan is asked for"
        yield slip("fan-of-255", "differs", over, says, "on a scale of 0 to 255")
    full = values.get("fan.max")
    if full is not None and abs(full * FULL / 100 - 100) < 0.06:
        yield Finding(
            "fan-of-255",
            "differs",
            ("fan.max",),
            f"The fan reaches {num(full)} % at its fastest, which is 100 of 255: was 100 % taken for a step of 255?",
            full,
            100.0,
            "%",
            (full - 100) / 100,
            SOURCE,
            (Repair("fan.max", exact(100, "%")),),
        )


RULE = Rule(
    code="fan-of-255",
    question="Are fan speeds in percent, or do they stand on a scale of 0 to 255?",
    needs=("fan.max", "fan.min", "fan.bridge"),
    source=SOURCE,
    check=check,
    good={"fan.max": "100 %", "fan.min": "39 %"},
    bad={"fan.max": "255 %", "fan.min": "128 %"},
    severity="differs",
    explains=("*",),
    formula="percent = 100/255 x step",
)
