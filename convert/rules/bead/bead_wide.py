"""Beads wider than the flat around the bore presses down."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.bead._widths import bead_word, width_setting, widths
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, down, features, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    bore = finite(setup, "nozzle.diameter")
    most = bore * setup.limit("bead.per_bore.flat")
    found = widths(setup)
    wide = sorted((name for name in found if found[name] > most), key=lambda name: -found[name])
    if not wide:
        return
    worst = wide[0]
    margin = margin_above(found[worst], most)
    severity = graded(margin, (-1e-9, "differs"), (-0.2, "spoils"))
    if severity:
        names = tuple(width_setting(setup, name) for name in wide)
        yield Finding(
            rule="bead-wide",
            severity=severity,
            settings=(*names, "nozzle.diameter"),
            says=f"{capital(features(bead_word(setup, name) for name in wide))}: the edges of the bead well up beside "
            f"the nozzle's flat, for it is {num(found[worst])} mm wide from a {num(bore)} mm bore.",
            value=found[worst],
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=tuple(Repair(name, down(most, 0.01, "mm")) for name in names),
        )


RULE = Rule(
    code="bead-wide",
    question="Is every bead narrow enough for the nozzle's flat to press it down?",
    needs=("nozzle.diameter", "width.*"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "width.default": "0.45 mm", "width.outer_wall": "0.7 mm"},
    bad={"nozzle.diameter": "0.4 mm", "width.default": "1 mm"},
    severity="spoils",
)
