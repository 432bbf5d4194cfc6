"""Corrections of outlines and holes that no one cause explains."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: holes come out small on nearly every machine"


def check(setup: Setup) -> Iterator[Finding]:
    hole, outline = known(setup, "size.hole"), known(setup, "size.outline")
    least = setup.limit("size.offset.seen")
    if hole is None or hole > -least:
        return
    says = f"Holes come out narrower by {num(-2 * hole)} mm in all, though most machines lay them too narrow already"
    if outline is not None and outline > least:
        says += (
            f"; and outlines wider by {num(2 * outline)} mm. Beads that are too thin explain both: look at the flow "
            "first."
        )
    else:
        says += ". Was the sign mistaken?"
    if not says.endswith((".", "?")):
        says += "."
    yield Finding("size-against-itself", "note", ("size.hole", "size.outline"), says, source=SOURCE)


RULE = Rule(
    code="size-against-itself",
    question="Do the corrections of outlines and holes have one cause?",
    needs=("size.hole", "size.outline"),
    source=SOURCE,
    check=check,
    good={"size.hole": "0.05 mm", "size.outline": "-0.03 mm"},
    bad={"size.hole": "-0.1 mm", "size.outline": "0.1 mm"},
    severity="note",
)
