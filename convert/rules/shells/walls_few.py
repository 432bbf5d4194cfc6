"""Walls too few to hold the part together."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, usable
from convert.rules.quantities import wall_stack
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.9, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("order.spiral"):
        return
    count, least = setup.number("wall.count"), setup.limit("wall.count.min")
    if count >= least:
        return
    if count < 1:
        says = "The part has no rind: its wall count is 0, and only solid layers and infill are laid."
    else:
        thick = usable(wall_stack, setup)
        says = f"The part is easily crushed and may leak: one wall of {num(thick)} mm is all that encloses it."
    repair = (Repair("wall.count", f"{least:g}"),)
    yield from below("walls-few", ("wall.count",), count, least, "1", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="walls-few",
    question="Has the part two walls at least?",
    needs=("wall.count", "order.spiral", "width.outer_wall", "layer.height"),
    source=SOURCE,
    check=check,
    good={"wall.count": "2", "width.default": "0.45 mm", "layer.height": "0.2 mm"},
    bad={"wall.count": "0", "width.default": "0.45 mm", "layer.height": "0.2 mm"},
    severity="spoils",
)
