"""Small lengths that were meant in micrometres and stand as millimetres, or the other way round."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.quantities import FEATURES
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, mistaken, slip

CLASSES = {
    "layer": ("layer.height", "layer.first", "layer.min", "layer.max", "support.gap_z"),
    "bead": tuple(f"width.{name}" for name in ("default", *FEATURES)),
    "bore": ("nozzle.diameter",),
    "path": ("size.tolerance",),
}


def check(setup: Setup) -> Iterator[Finding]:
    large = mistaken(setup, CLASSES, lambda value: value / 1000, upwards=True)
    if large:
        says = "Everything that follows from it is a thousand times too large"
        yield slip("length-in-microns", "fails", large, says, "written in um")
    small = mistaken(setup, CLASSES, lambda value: value * 1000, upwards=False)
    small.pop("support.gap_z", None)
    if small:
        says = "The print would come to a thousandth of what is meant"
        yield slip("length-in-microns", "fails", small, says, "that was taken as um")


RULE = Rule(
    code="length-in-microns",
    question="Are layers, beads and bores in millimetres, or do they stand in micrometres?",
    needs=("layer.height", "width.*", "nozzle.diameter", "size.tolerance"),
    source=SOURCE,
    check=check,
    good={
        "layer.height": "0.2 mm",
        "width.default": "0.45 mm",
        "nozzle.diameter": "0.4 mm",
        "size.tolerance": "0.012 mm",
    },
    bad={"layer.height": "200 mm", "width.default": "450 mm", "nozzle.diameter": "400 mm"},
    severity="fails",
    explains=("*",),
    formula="1 mm = 1000 um",
)
