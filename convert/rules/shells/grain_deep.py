"""A grained surface whose waver is as wide as the wall that carries it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.quantities import width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "derived: a bead that wavers by half its width leaves its neighbour"
STEPS = ((0.0, "differs"), (-1.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("finish.grain"):
        return
    depth, most = setup.number("finish.grain_depth"), width(setup, "outer_wall") / 2
    says = (
        f"The outer wall tears away from the wall behind it: it wavers by {num(depth)} mm, half a bead is {num(most)} "
        "mm."
    )
    repair = (Repair("finish.grain_depth", usable(down, most, 0.01, "mm")),)
    names = ("finish.grain_depth", "width.outer_wall")
    yield from above("grain-deep", names, depth, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="grain-deep",
    question="Does a grained outer wall stay on the wall behind it?",
    needs=("finish.grain", "finish.grain_depth", "width.outer_wall"),
    source=SOURCE,
    check=check,
    good={"finish.grain": "true", "finish.grain_depth": "0.15 mm", "width.default": "0.42 mm"},
    bad={"finish.grain": "true", "finish.grain_depth": "0.3 mm", "width.default": "0.42 mm"},
    severity="differs",
)
