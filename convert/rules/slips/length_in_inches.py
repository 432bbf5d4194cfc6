"""Small lengths that were meant in inches and stand as millimetres."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, mistaken, slip
from convert.rules.slips.length_in_microns import CLASSES

INCH = 25.4


def check(setup: Setup) -> Iterator[Finding]:
    classes = {word: names for word, names in CLASSES.items() if word != "path"}
    found = mistaken(setup, classes, lambda value: round(value * INCH, 3), upwards=False)
    found.pop("support.gap_z", None)
    if found:
        says = "The print would come to a twenty-fifth of what is meant"
        yield slip("length-in-inches", "fails", found, says, "written in inches")


RULE = Rule(
    code="length-in-inches",
    question="Are layers, beads and bores in millimetres, or do they stand in inches?",
    needs=("layer.height", "width.*", "nozzle.diameter"),
    source=SOURCE,
    check=check,
    good={"layer.height": "0.05 mm", "width.default": "0.12 mm", "nozzle.diameter": "0.1 mm"},
    bad={"layer.height": "0.00787 mm", "width.default": "0.0177 mm", "nozzle.diameter": "0.01575 mm"},
    severity="fails",
    explains=("*",),
    formula="1 inch = 25.4 mm",
)
