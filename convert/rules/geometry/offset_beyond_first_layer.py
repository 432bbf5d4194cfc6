"""A correction of height larger than the first layer: the nozzle in the plate, or the bead in the air."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.quantities import height
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "derived: the gap under the nozzle is the first layer plus the correction; how much is too much: judgement"
BELOW = ((0.0, "note"), (-0.4, "spoils"), (-1.0, "fails"))
ABOVE = ((0.0, "note"), (-0.4, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    offset = setup.get("offset.z")
    if not offset:
        return
    first = height(setup, "first_layer")
    if first <= 0:
        return
    most = first * setup.limit("offset.per_first.max")
    gap = first + offset
    names = ("offset.z", "layer.first")
    sense = "-" if offset < 0 else ""
    repair = (Repair("offset.z", sense + usable(down, most, 0.01, "mm")),)
    if gap <= 0:
        says = f"The nozzle is driven into the plate: {num(offset)} mm on a first layer of {num(first)} mm."
    elif offset < 0:
        says = f"The first layer is squeezed to {num(gap)} mm, for every height is {num(-offset)} mm lower."
    else:
        says = f"The first layer is laid in a gap of {num(gap)} mm, and {num(first)} mm are meant: it hardly holds."
    steps = BELOW if offset < 0 else ABOVE
    yield from above("offset-beyond-first-layer", names, abs(offset), most, "mm", steps, says, SOURCE, repair)


RULE = Rule(
    code="offset-beyond-first-layer",
    question="Does the correction of height leave the first layer a gap of its own height?",
    needs=("offset.z", "layer.first", "layer.height"),
    source=SOURCE,
    check=check,
    good={"offset.z": "-0.02 mm", "layer.first": "0.24 mm", "layer.height": "0.2 mm"},
    bad={"offset.z": "-0.3 mm", "layer.first": "0.24 mm", "layer.height": "0.2 mm"},
    severity="fails",
    formula="gap = layer.first + offset.z",
)
