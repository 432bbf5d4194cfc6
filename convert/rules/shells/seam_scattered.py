"""Starts of outlines strewn over the part."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("wall.seam") != "scattered" or setup.is_on("order.spiral"):
        return
    yield Finding(
        rule="seam-scattered",
        severity="note",
        settings=("wall.seam",),
        says="Every side of the part gets pimples, for each layer starts somewhere else; in a corner they hide.",
        source=SOURCE,
        repair=(Repair("wall.seam", "corner-inward"),),
    )


RULE = Rule(
    code="seam-scattered",
    question="Do outlines start where it is not seen?",
    needs=("wall.seam",),
    source=SOURCE,
    check=check,
    good={"wall.seam": "corner-inward"},
    bad={"wall.seam": "scattered"},
    severity="note",
)
