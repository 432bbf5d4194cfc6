"""Coordinates counted from another place than the stated origin: a whole job shifted by half the bed."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.geometry._plan import box, outline
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: an origin in the centre has build area on all sides, one in the corner on none but two"
SHARE = 0.1
"""Of the build area: as far may it lie beyond an origin in its corner, for a wiping strip or a clip."""


def check(setup: Setup) -> Iterator[Finding]:
    ring = outline(setup)
    if len(ring) < 3 or not setup.has("envelope.origin"):
        return
    left, right, front, back = box(ring)
    wide, deep = right - left, back - front
    origin = setup.word("envelope.origin")
    if origin == "centre":
        wrong = left > -SHARE * wide or front > -SHARE * deep
        seen, other = "corner", f"begins at {num(left)}/{num(front)} mm"
    else:
        wrong = left < -SHARE * wide or front < -SHARE * deep
        seen, other = "centre", f"reaches from {num(left)}/{num(front)} mm"
    if wrong:
        yield Finding(
            rule="origin-against-outline",
            severity="fails",
            settings=("envelope.origin", "envelope.outline"),
            says=f"Parts land {num(wide / 2)}/{num(deep / 2)} mm away from where they are placed, some of them beyond "
            f"the bed: the origin is said to be in the {origin}, and the outline {other}, as with one in the {seen}.",
            source=SOURCE,
        )


RULE = Rule(
    code="origin-against-outline",
    question="Are the corners of the build area counted from the stated origin?",
    needs=("envelope.origin", "envelope.outline"),
    source=SOURCE,
    check=check,
    good={"envelope.origin": "centre", "envelope.outline": "-110/-110 110/-110 110/110 -110/110 mm"},
    bad={"envelope.origin": "centre", "envelope.outline": "0/0 220/0 220/220 0/220 mm"},
    severity="fails",
)
