"""A number of walls and a thickness of walls that are not the same wall."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.shells import walls_in
from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.quantities import wall_stack, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: outer bead + (n - 1)(inner bead - h (1 - pi/4))"
STEPS = ((0.0, "differs"),)


def check(setup: Setup) -> Iterator[Finding]:
    count, thickness = setup.get("wall.count"), setup.get("wall.thickness")
    if not count or not thickness or setup.is_on("order.spiral"):
        return
    stack = usable(wall_stack, setup)
    inner = width(setup, "inner_wall")
    apart = abs(thickness - stack)
    fits = usable(walls_in, thickness, inner, setup.number("layer.height"))
    says = (
        f"Walls come out {num(stack)} or {num(thickness)} mm thick, depending on which number is used: {num(count)} "
        "walls "
        f"make {num(stack)} mm, and {num(thickness)} mm is stated beside them, {num(fits)} walls."
    )
    names = ("wall.count", "wall.thickness")
    repair = (Repair("wall.thickness", f"{round(stack, 3):g} mm"),)
    yield from above("walls-twice-stated", names, apart, inner / 2, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="walls-twice-stated",
    question="Do the number and the thickness of the walls agree?",
    needs=("wall.count", "wall.thickness", "width.outer_wall", "width.inner_wall", "layer.height"),
    source=SOURCE,
    check=check,
    good={"wall.count": "3", "wall.thickness": "1.2 mm", "width.default": "0.45 mm", "layer.height": "0.2 mm"},
    bad={"wall.count": "2", "wall.thickness": "1.6 mm", "width.default": "0.45 mm", "layer.height": "0.2 mm"},
    severity="differs",
)
