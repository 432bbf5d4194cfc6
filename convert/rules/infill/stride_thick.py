"""Infill laid once for several layers, thicker than the nozzle can lay."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "spoils"), (-1.0, "fails"))


def check(setup: Setup) -> Iterator[Finding]:
    stride = setup.get("infill.stride")
    if not stride or stride < 2 or not setup.get("infill.density", 1.0):
        return
    height, bore = setup.number("layer.height"), setup.number("nozzle.diameter")
    thick, most = stride * height, bore * setup.limit("layer.per_bore.max")
    says = (
        f"The infill does not weld: laid once in {num(stride)} layers it is {num(thick)} mm high, "
        f"and a {num(bore)} mm nozzle lays {num(most)} mm at most."
    )
    fits = usable(int, most / height + 1e-9) if 0 < height < inf else 0
    repair = (Repair("infill.stride", f"{fits}"),) if fits >= 1 else ()
    names = ("infill.stride", "layer.height", "nozzle.diameter")
    yield from above("stride-thick", names, thick, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="stride-thick",
    question="Can the nozzle lay the infill of several layers at once?",
    needs=("infill.stride", "layer.height", "nozzle.diameter"),
    source=SOURCE,
    check=check,
    good={"infill.stride": "2", "layer.height": "0.12 mm", "nozzle.diameter": "0.4 mm"},
    bad={"infill.stride": "3", "layer.height": "0.2 mm", "nozzle.diameter": "0.4 mm"},
    severity="spoils",
)
