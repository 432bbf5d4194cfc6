"""An outer wall laid faster than the walls that nobody sees."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots, usable
from convert.rules.laid import laid
from convert.rules.quantities import effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if "inner_wall" not in laid(setup):
        return
    outer, inner = usable(effective_speed, setup, "outer_wall"), usable(effective_speed, setup, "inner_wall")
    says = (
        f"The wall that is seen is laid in more haste than the one behind it: {num(outer)} against {num(inner)} mm/s. "
        "Were the two numbers exchanged?"
    )
    names = roots(setup, "speed.outer_wall", "speed.inner_wall")
    repair = (Repair("speed.outer_wall", exact(inner, "mm/s")),)
    steps = ((-0.02, "note"),)
    yield from above("outer-wall-faster", names, outer, inner, "mm/s", steps, says, SOURCE, repair)


RULE = Rule(
    code="outer-wall-faster",
    question="Is the outer wall laid no faster than the walls inside it?",
    needs=("speed.outer_wall", "speed.inner_wall"),
    source=SOURCE,
    check=check,
    good={"speed.outer_wall": "150 mm/s", "speed.inner_wall": "250 mm/s"},
    bad={"speed.outer_wall": "250 mm/s", "speed.inner_wall": "150 mm/s"},
    severity="note",
)
