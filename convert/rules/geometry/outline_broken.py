"""A build area whose outline encloses nothing, or crosses itself."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.phrase import is_points
from convert.rules.finding import Finding
from convert.rules.geometry._plan import area, crosses_itself, excluded, outline
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: geometry of a polygon"
WORDS = {"envelope.outline": "the build area", "envelope.excluded": "the area to keep free"}


def check(setup: Setup) -> Iterator[Finding]:
    value = setup.value("envelope.outline")
    rings = [("envelope.outline", outline(setup))] if value is not None and is_points(value) else []
    rings += [("envelope.excluded", ring) for ring in excluded(setup)]
    for name, ring in rings:
        if len(ring) < 3:
            why = f"has {len(ring)} different corners"
        elif area(ring) <= 0:
            why = "has no inside"
        elif crosses_itself(ring):
            why = "crosses itself"
        else:
            continue
        yield Finding(
            rule="outline-broken",
            severity="fails",
            settings=(name,),
            says=f"Nobody can tell what lies inside {WORDS[name]}, for its outline {why}.",
            source=SOURCE,
        )


RULE = Rule(
    code="outline-broken",
    question="Does the outline of the build area enclose an area?",
    needs=("envelope.outline", "envelope.excluded"),
    source=SOURCE,
    check=check,
    good={"envelope.outline": "0/0 300/0 300/280 0/280 mm"},
    bad={"envelope.outline": "0/0 300/280 300/0 0/280 mm"},
    severity="fails",
    explains=("outline-against-size", "origin-against-outline", "round-bed"),
)
