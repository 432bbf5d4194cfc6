"""Beads narrower than their layer is high: free strands."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.bead._widths import bead_word, width_setting, widths
from convert.rules.finding import Finding, graded, margin_below
from convert.rules.quantities import height
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num

SOURCE = "derived: a bead narrower than its layer has no flat contact"


def check(setup: Setup) -> Iterator[Finding]:
    found = widths(setup)
    free = sorted((name for name in found if found[name] < height(setup, name) < inf), key=lambda name: found[name])
    if not free:
        return
    worst = free[0]
    limit = height(setup, worst)
    margin = margin_below(found[worst], limit)
    yield Finding(
        rule="bead-strand",
        severity=graded(margin, (0.0, "spoils"), (-0.3, "fails")) or "spoils",
        settings=(
            *(width_setting(setup, name) for name in free),
            "layer.first" if worst == "first_layer" and setup.has("layer.first") else "layer.height",
            "nozzle.diameter",
        ),
        says=f"{capital(features(bead_word(setup, name) for name in free))}: the strand hangs free and does not weld, "
        f"for it is {num(found[worst])} mm wide on a layer of {num(limit)} mm.",
        value=found[worst],
        limit=limit,
        unit="mm",
        margin=margin,
        source=SOURCE,
    )


RULE = Rule(
    code="bead-strand",
    question="Is every bead at least as wide as its layer is high?",
    needs=("width.*", "layer.height", "layer.first"),
    source=SOURCE,
    check=check,
    good={"width.default": "0.4 mm", "layer.height": "0.3 mm"},
    bad={"width.default": "0.25 mm", "layer.height": "0.3 mm"},
    severity="spoils",
    explains=("bead-thin",),
)
