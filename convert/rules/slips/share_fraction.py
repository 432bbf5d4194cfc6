"""Densities and reaches that stand as 0..1 where percent is meant."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

INSIDE = ("infill.density",)
NAMES = (*INSIDE, "support.density", "support.interface_density", "infill.wall_reach", "finish.smooth_flow")


def check(setup: Setup) -> Iterator[Finding]:
    found = {name: Slip(value, value * 100, 1.0) for name, value in stated(setup, NAMES).items() if 0 < value < 1}
    full = stated(setup, ("support.interface_density",))
    found |= {name: Slip(value, 100.0, 2.0) for name, value in full.items() if value == 1}
    if found:
        says = "The part comes out all but empty" if found.keys() & set(INSIDE) else "Hardly anything is laid there"
        yield slip("share-fraction", "spoils", found, says, "written as a fraction of one")


RULE = Rule(
    code="share-fraction",
    question="Are densities in percent, or do they stand as a fraction of one?",
    needs=NAMES,
    source=SOURCE,
    check=check,
    good={"infill.density": "5 %", "support.density": "10 %", "infill.wall_reach": "10 %"},
    bad={"infill.density": "0.2 %", "infill.wall_reach": "0.15 %"},
    severity="spoils",
    explains=("*",),
    formula="percent = 100 x fraction",
)
