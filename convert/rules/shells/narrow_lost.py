"""Features and slits narrower than a bead that are left out."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair
from convert.rules.quantities import width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: a bead of fixed width needs room for itself"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("wall.variable_width") or setup.is_on("order.spiral"):
        return
    bead = width(setup, "outer_wall")
    if not isfinite(bead):
        return
    for name, what in (
        ("wall.narrow_features", f"Ribs and letters thinner than {num(bead)} mm are left out"),
        ("wall.slit_fill", f"Slits of less than {num(bead)} mm between walls stay open"),
    ):
        if setup.value(name) is False:
            yield Finding(
                rule="narrow-lost",
                severity="note",
                settings=(name, "wall.variable_width", "width.outer_wall"),
                says=f"{what}: beads have one width, and nothing is laid where it does not fit.",
                source=SOURCE,
                repair=(Repair(name, "true"),),
            )


RULE = Rule(
    code="narrow-lost",
    question="Are thin ribs and slits filled?",
    needs=("wall.narrow_features", "wall.slit_fill", "wall.variable_width", "width.outer_wall"),
    source=SOURCE,
    check=check,
    good={
        "wall.narrow_features": "true",
        "wall.slit_fill": "false",
        "wall.variable_width": "true",
        "width.default": "0.4 mm",
    },
    bad={"wall.narrow_features": "false", "wall.variable_width": "false", "width.default": "0.4 mm"},
    severity="note",
)
