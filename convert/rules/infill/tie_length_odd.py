"""Ties of the infill to the walls: none, or longer than any line."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
ENDED = ("lines-alternating", "lines-one-way")
"""Patterns of single lines that end at the walls."""


def check(setup: Setup) -> Iterator[Finding]:
    tie = setup.get("infill.tie_length")
    if tie is None or not setup.get("infill.density", 1.0) or setup.is_on("order.spiral"):
        return
    most = setup.limit("infill.tie.max")
    says = f"Much of the infill runs along the walls a second time: its lines are tied to them over {num(tie)} mm."
    yield from above("tie-length-odd", ("infill.tie_length",), tie, most, "mm", ((0.0, "note"),), says, SOURCE)
    if tie == 0 and setup.text("infill.pattern") in ENDED and (setup.get("infill.density") or 0) < 50:
        yield Finding(
            rule="tie-length-odd",
            severity="note",
            settings=("infill.tie_length", "infill.pattern"),
            says="The infill holds to the walls by the ends of its lines alone, for they are tied over 0 mm.",
            source=SOURCE,
        )


RULE = Rule(
    code="tie-length-odd",
    question="Are infill lines tied to the walls, and no longer than needed?",
    needs=("infill.tie_length", "infill.pattern", "infill.density"),
    source=SOURCE,
    check=check,
    good={"infill.tie_length": "4 mm", "infill.pattern": "lines-alternating", "infill.density": "15 %"},
    bad={"infill.tie_length": "0 mm", "infill.pattern": "lines-alternating", "infill.density": "15 %"},
    severity="note",
)
