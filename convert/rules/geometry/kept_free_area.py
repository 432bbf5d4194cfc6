"""An area to keep free that lies beside the bed, or takes much of it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.geometry._plan import area, box, excluded, plan
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: the area to keep free against the build area"


def check(setup: Setup) -> Iterator[Finding]:
    rings = [ring for ring in excluded(setup) if len(ring) > 2]
    if not rings:
        return
    left, right, front, back = plan(setup)
    slack = setup.limit("envelope.outline.slack")
    for ring in rings:
        a, b, c, d = box(ring)
        if b <= left or a >= right or d <= front or c >= back:
            says = (
                "The head may strike what is to be kept free, for that area lies beside the bed: "
                f"{num(a)}/{num(c)} to {num(b)}/{num(d)} mm."
            )
            yield Finding("kept-free-area", "spoils", ("envelope.excluded", "envelope.origin"), says, source=SOURCE)
        elif a < left - slack or b > right + slack or c < front - slack or d > back + slack:
            says = f"The area to keep free reaches beyond the bed: {num(a)}/{num(c)} to {num(b)}/{num(d)} mm."
            yield Finding("kept-free-area", "note", ("envelope.excluded",), says, source=SOURCE)
    bed = (right - left) * (back - front)
    if bed > 0:
        share, most = 100 * sum(area(ring) for ring in rings) / bed, setup.limit("envelope.excluded.max")
        says = f"{num(share)} % of the bed is kept free, and no part is laid there."
        steps = ((0.0, "note"), (-1.0, "differs"))
        yield from above("kept-free-area", ("envelope.excluded",), share, most, "%", steps, says, SOURCE)


RULE = Rule(
    code="kept-free-area",
    question="Does the area to keep free lie on the bed, and leave most of it?",
    needs=("envelope.excluded", "envelope.x", "envelope.y", "envelope.origin", "envelope.outline"),
    source=SOURCE,
    check=check,
    good={
        "envelope.excluded": "0/0 14/0 14/9 0/9 mm",
        "envelope.x": "300 mm",
        "envelope.y": "280 mm",
        "envelope.origin": "corner",
    },
    bad={
        "envelope.excluded": "300/240 320/240 320/260 300/260 mm",
        "envelope.x": "320 mm",
        "envelope.y": "260 mm",
        "envelope.origin": "centre",
    },
    severity="spoils",
)
