"""Beads hardly wider than high: ropes that weld badly."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.bead._widths import bead_word, width_setting, widths
from convert.rules.finding import Finding, Repair, graded, margin_below
from convert.rules.quantities import height
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    least = setup.limit("bead.aspect.min")
    found = widths(setup)
    aspects = {name: found[name] / high for name in found if (high := height(setup, name)) > 0}
    ropes = sorted((name for name in aspects if 1 <= aspects[name] < least - 1e-9), key=lambda name: aspects[name])
    if not ropes:
        return
    worst = ropes[0]
    margin = margin_below(aspects[worst], least)
    names = tuple(width_setting(setup, name) for name in ropes)
    yield Finding(
        rule="bead-aspect",
        severity=graded(margin, (0.0, "differs"), (-0.1, "spoils")) or "differs",
        settings=(*names, "layer.height", "nozzle.diameter"),
        says=f"{capital(features(bead_word(setup, name) for name in ropes))}: laid like a rope that touches little of "
        f"what is below, {num(found[worst])} mm wide and {num(height(setup, worst))} mm high.",
        value=aspects[worst],
        limit=least,
        unit="1",
        margin=margin,
        source=SOURCE,
        repair=tuple(
            Repair(name, up(max(least * height(setup, one) for one in ropes), 0.01, "mm"))
            for name in dict.fromkeys(names)
        ),
    )


RULE = Rule(
    code="bead-aspect",
    question="Is every bead clearly wider than high?",
    needs=("width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={"width.default": "0.4 mm", "layer.height": "0.3 mm", "layer.first": "0.3 mm"},
    bad={"width.default": "0.4 mm", "layer.height": "0.38 mm"},
    severity="spoils",
)
