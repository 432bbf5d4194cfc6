"""A correction of size so large that narrow features vanish."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.quantities import width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: an outline moved by half a bead swallows what is one bead wide"
STEPS = ((0.0, "differs"), (-1.0, "spoils"))
WORDS = {
    "size.outline": "outlines",
    "size.hole": "the rims of holes",
    "size.first_layer": "outlines of the first layer",
}


def check(setup: Setup) -> Iterator[Finding]:
    for name, what in WORDS.items():
        offset = setup.get(name)
        if not offset:
            continue
        most = width(setup, "first_layer" if name == "size.first_layer" else "outer_wall") / 2
        lost = (
            "Thin ribs vanish"
            if offset < 0 and name != "size.hole"
            else "Narrow gaps close"
            if offset > 0
            else "Holes close"
        )
        if name == "size.hole" and offset > 0:
            lost = "Thin walls beside holes vanish"
        says = f"{lost}: {what} are moved by {num(abs(offset))} mm, and half a bead is {num(most)} mm."
        repair = (Repair(name, "0 mm"),)
        yield from above("size-offset-large", (name,), abs(offset), most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="size-offset-large",
    question="Are corrections of size smaller than half a bead?",
    needs=("size.outline", "size.hole", "size.first_layer", "width.outer_wall"),
    source=SOURCE,
    check=check,
    good={"size.outline": "-0.03 mm", "size.hole": "0.05 mm", "width.default": "0.45 mm"},
    bad={"size.outline": "-0.5 mm", "width.default": "0.45 mm"},
    severity="spoils",
)
