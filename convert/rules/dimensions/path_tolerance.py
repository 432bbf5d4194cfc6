"""Outlines simplified so little that fast curves stutter, or so much that facets show."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below, usable
from convert.rules.quantities import effective_speed, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
FINE = ((0.0, "note"),)
COARSE = ((0.0, "note"), (-2.0, "differs"), (-8.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    tolerance = setup.get("size.tolerance")
    if tolerance is None:
        return
    names: tuple[str, ...] = ("size.tolerance",)
    if not setup.is_on("size.arcs"):
        speed, fast = usable(effective_speed, setup, "outer_wall"), setup.limit("outline.tolerance.fast")
        if speed > fast:
            least = setup.limit("outline.tolerance.min")
            says = (
                f"Fast curves may stutter: at {num(speed)} mm/s the controller gets very short lines, for outlines are "
                f"simplified by {num(1000 * tolerance)} um only."
            )
            repair = (Repair("size.tolerance", exact(least, "mm")),)
            yield from below("path-tolerance", names, tolerance, least, "mm", FINE, says, SOURCE, repair)
    # A wide bead hides more.
    most = max(
        setup.limit("outline.tolerance.max"), width(setup, "outer_wall") * setup.limit("outline.tolerance.share")
    )
    says = (
        f"Round parts get facets: outlines may depart from their shape by {num(tolerance)} mm, and {num(most)} mm "
        "shows."
    )
    repair = (Repair("size.tolerance", exact(most, "mm")),)
    yield from above("path-tolerance", names, tolerance, most, "mm", COARSE, says, SOURCE, repair)


RULE = Rule(
    code="path-tolerance",
    question="Are outlines simplified as much as they should be?",
    needs=("size.tolerance", "size.arcs", "speed.outer_wall", "width.outer_wall"),
    source=SOURCE,
    check=check,
    good={"size.tolerance": "0.012 mm", "speed.outer_wall": "150 mm/s", "width.default": "0.42 mm"},
    bad={"size.tolerance": "0.1 mm", "speed.outer_wall": "60 mm/s", "width.default": "0.42 mm"},
    severity="differs",
)
