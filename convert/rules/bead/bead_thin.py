"""Beads thinner than the bore draws."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.bead._widths import bead_word, width_setting, widths
from convert.rules.finding import Finding, Repair, graded, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    bore = finite(setup, "nozzle.diameter")
    least = bore * setup.limit("bead.per_bore.thin")
    found = widths(setup)
    thin = sorted((name for name in found if 0 < found[name] < least), key=lambda name: found[name])
    if not thin:
        return
    worst = thin[0]
    margin = margin_below(found[worst], least)
    severity = graded(margin, (-1e-9, "differs"), (-0.1, "spoils"))
    if severity:
        names = tuple(width_setting(setup, name) for name in thin)
        yield Finding(
            rule="bead-thin",
            severity=severity,
            settings=(*names, "nozzle.diameter"),
            says=f"{capital(features(bead_word(setup, name) for name in thin))}: the strand is stretched and comes out "
            f"uneven, {num(found[worst])} mm wide from a {num(bore)} mm bore.",
            value=found[worst],
            limit=least,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=tuple(Repair(name, up(least, 0.01, "mm")) for name in names),
        )


RULE = Rule(
    code="bead-thin",
    question="Is every bead wide enough for the bore to draw it?",
    needs=("nozzle.diameter", "width.*"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "width.default": "0.45 mm", "width.top": "0.38 mm"},
    bad={"nozzle.diameter": "0.4 mm", "width.default": "0.45 mm", "width.outer_wall": "0.3 mm"},
    severity="spoils",
)
