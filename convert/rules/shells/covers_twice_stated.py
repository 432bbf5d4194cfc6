"""A number of solid layers that the least thickness beside it overrules."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.shells import layers_for
from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, num

SOURCE = "derived: the least thickness over the layer height, against the count"
STEPS = ((0.0, "note"), (-0.9, "differs"))
SIDES = {"upper": "top", "lower": "bottom"}


def check(setup: Setup) -> Iterator[Finding]:
    for side, word in SIDES.items():
        names = (f"cover.{side}_layers", f"cover.{side}_thickness")
        count, thickness = (setup.get(name) for name in names)
        if not count or not thickness:
            continue
        needed = usable(layers_for, thickness, setup.number("layer.height"))
        if needed - count < 2:  # one layer more is rounding
            continue
        says = (
            f"{capital(word)}s get {num(needed)} solid layers, not the {num(count)} that are asked for: "
            f"{num(thickness)} mm at least are stated beside them."
        )
        repair = (Repair(names[0], f"{needed:g}"),)
        yield from above("covers-twice-stated", names, needed, count, "1", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="covers-twice-stated",
    question="Do the number and the least thickness of solid layers agree?",
    needs=(
        "cover.upper_layers",
        "cover.upper_thickness",
        "cover.lower_layers",
        "cover.lower_thickness",
        "layer.height",
    ),
    source=SOURCE,
    check=check,
    good={"cover.upper_layers": "5", "cover.upper_thickness": "0.9 mm", "layer.height": "0.2 mm"},
    bad={"cover.upper_layers": "3", "cover.upper_thickness": "1.2 mm", "layer.height": "0.2 mm"},
    severity="differs",
)
