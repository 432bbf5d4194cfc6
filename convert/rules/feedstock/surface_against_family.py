"""A filament on a build surface that it does not hold on to, or that it does not let go of."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice; PP adheres to little but PP"
LOOSE = {"PP": ("garolite", "glass", "smooth-sheet", "textured-sheet")}
"""Family -> surfaces it comes off from, whatever their temperature."""

TEARS = dict.fromkeys(("PETG", "PCTG", "PC"), ("glass",))
"""Family -> surfaces it may tear pieces out of, so that something has to lie between."""


def check(setup: Setup) -> Iterator[Finding]:
    family, surface = setup.word("feedstock.family"), setup.word("bed.surface")
    names = ("bed.surface", "feedstock.family")
    what = surface.replace("-", " ")
    if surface in LOOSE.get(family, ()):
        says = f"Parts let go of the bed: {family} hardly sticks to {what}; packing tape or a sheet of PP holds it."
        yield Finding("surface-against-family", "differs", names, says, source=SOURCE)
    elif surface in TEARS.get(family, ()):
        says = f"{family} may tear chips out of bare {what} when the part is taken off; a film of glue lets it go."
        yield Finding("surface-against-family", "note", names, says, source=SOURCE)


RULE = Rule(
    code="surface-against-family",
    question="Does the filament hold on to the build surface, and come off it?",
    needs=("bed.surface", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"bed.surface": "pp", "feedstock.family": "PP"},
    bad={"bed.surface": "smooth-sheet", "feedstock.family": "PP"},
    severity="differs",
)
