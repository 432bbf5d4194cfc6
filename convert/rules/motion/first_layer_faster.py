"""A first layer laid faster than those above it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.25, "differs"), (-1.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if "speed.first_layer" not in setup.values:
        return
    first = setup.number("speed.first_layer")
    wall = setup.number("speed.inner_wall")
    says = (
        f"The first layer may not hold: it is laid at {num(first)} mm/s, faster than the walls above it "
        f"({num(wall)} mm/s)."
    )
    repair = (Repair("speed.first_layer", usable(down, wall / 2, 1, "mm/s")),) if wall >= 4 else ()
    settings = roots(setup, "speed.first_layer", "speed.inner_wall")
    yield from above("first-layer-faster", settings, first, wall, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="first-layer-faster",
    question="Is the first layer laid slower than the rest?",
    needs=("speed.first_layer", "speed.inner_wall"),
    source=SOURCE,
    check=check,
    good={"speed.first_layer": "20 mm/s", "speed.default": "45 mm/s"},
    bad={"speed.first_layer": "120 mm/s", "speed.default": "50 mm/s"},
    severity="spoils",
)
