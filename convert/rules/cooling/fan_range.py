"""A part fan whose least is above its most."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "derived: a range needs its ends in order"


def check(setup: Setup) -> Iterator[Finding]:
    least, most = known(setup, "fan.min"), known(setup, "fan.max")
    if least is None or most is None:
        return
    names = ("fan.min", "fan.max")
    says = (
        f"Quick layers get less air than slow ones: the fan runs at {num(least)} % at its slowest, and {num(most)} % "
        "at its fastest."
    )
    repair = (Repair("fan.min", exact(most, "%")),)
    yield from above("fan-range", names, least, most, "%", ((0.0, "differs"),), says, SOURCE, repair)
    off, full = known(setup, "fan.off_layers"), known(setup, "fan.full_range_from")
    if off and full and full < off:
        says = (
            f"The fan starts at once with its whole range: it is off for {num(off)} layers, and the range is open from "
            f"layer {num(full)} on."
        )
        names = ("fan.full_range_from", "fan.off_layers")
        yield Finding("fan-range", "note", names, says, source=SOURCE)


RULE = Rule(
    code="fan-range",
    question="Is the range of the part fan a range?",
    needs=("fan.min", "fan.max", "fan.off_layers", "fan.full_range_from"),
    source=SOURCE,
    check=check,
    good={"fan.min": "60 %", "fan.max": "100 %", "fan.off_layers": "1", "fan.full_range_from": "4"},
    bad={"fan.min": "80 %", "fan.max": "30 %"},
    severity="differs",
)
