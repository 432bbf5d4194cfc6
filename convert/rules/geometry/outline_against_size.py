"""An outline of the build area that is not as large as the size stated beside it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, graded, margin_above
from convert.rules.geometry._plan import box, outline
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: the box around the outline against width and depth"


def check(setup: Setup) -> Iterator[Finding]:
    ring = outline(setup)
    if len(ring) < 3:
        return
    left, right, front, back = box(ring)
    spans = {"envelope.x": right - left, "envelope.y": back - front}
    stated = {name: value for name in spans if (value := setup.get(name))}
    if not stated:
        return
    name = min(stated, key=lambda one: margin_above(spans[one], stated[one]))
    span, limit = spans[name], stated[name]
    slack = setup.limit("envelope.outline.slack")
    if span > limit + slack:
        margin = margin_above(span, limit)
        yield Finding(
            rule="outline-against-size",
            severity=graded(margin, (0.0, "differs"), (-0.02, "spoils"), (-0.05, "fails")) or "differs",
            settings=("envelope.outline", name),
            says=f"The head may be sent against the frame: the outline is {num(span)} mm along {name[-1].upper()}, "
            f"the build area {num(limit)} mm.",
            value=span,
            limit=limit,
            unit="mm",
            margin=margin,
            source=SOURCE,
        )
        return
    short = max(stated, key=lambda one: stated[one] - spans[one])
    if stated[short] - spans[short] > slack + 0.1 * stated[short]:
        yield Finding(
            rule="outline-against-size",
            severity="note",
            settings=("envelope.outline", short),
            says=f"Two truths about the build area: along {short[-1].upper()} it is {num(stated[short])} mm, "
            f"and its outline {num(spans[short])} mm.",
            source=SOURCE,
        )


RULE = Rule(
    code="outline-against-size",
    question="Is the outline of the build area as large as its stated size?",
    needs=("envelope.outline", "envelope.x", "envelope.y"),
    source=SOURCE,
    check=check,
    good={
        "envelope.outline": "0/0 300/0 300/280 28/280 28/262 0/262 mm",
        "envelope.x": "300 mm",
        "envelope.y": "280 mm",
    },
    bad={"envelope.outline": "0/0 300/0 300/280 0/280 mm", "envelope.x": "220 mm", "envelope.y": "220 mm"},
    severity="fails",
)
