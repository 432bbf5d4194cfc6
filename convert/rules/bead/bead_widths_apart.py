"""Beads of one profile that differ so much in width that pressure jumps between them."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.bead._widths import width_setting, widths
from convert.rules.finding import Finding, margin_above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num

SOURCE = "common practice"
APART = ("support", "interface", "outline", "first_layer")
"""Beads that lie beside no others, or on a layer of their own."""


def check(setup: Setup) -> Iterator[Finding]:
    found = {name: value for name, value in widths(setup).items() if name not in APART and value > 0}
    if len(found) < 2:
        return
    thin, wide = min(found, key=lambda name: found[name]), max(found, key=lambda name: found[name])
    ratio, most = found[wide] / found[thin], setup.limit("bead.width_spread.max")
    if ratio > most:
        yield Finding(
            rule="bead-widths-apart",
            severity="note",
            settings=(width_setting(setup, wide), width_setting(setup, thin)),
            says=f"Flow jumps between {features([wide])} and {features([thin])}: beads of {num(found[wide])} and "
            f"{num(found[thin])} mm lie side by side.",
            value=ratio,
            limit=most,
            unit="1",
            margin=margin_above(ratio, most),
            source=SOURCE,
        )


RULE = Rule(
    code="bead-widths-apart",
    question="Are the beads of one layer about equally wide?",
    needs=("width.*",),
    source=SOURCE,
    check=check,
    good={"width.default": "0.45 mm", "width.infill": "0.6 mm"},
    bad={"width.default": "0.4 mm", "width.infill": "0.8 mm"},
    severity="note",
)
