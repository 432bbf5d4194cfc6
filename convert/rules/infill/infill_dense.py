"""Infill nearly or wholly solid: walls serve better, and not every pattern can fill."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice; walls before infill: Homrani et al., Polymers 16 (2024) 2253 (abstract)"
FILLS = ("lines-alternating", "lines-joined", "lines-one-way", "concentric", "other")
"""Patterns that can lie side by side without a gap."""


def check(setup: Setup) -> Iterator[Finding]:
    density, pattern = known(setup, "infill.density"), setup.text("infill.pattern")
    most = 100 * setup.limit("infill.dense")
    if density is None or density < most:
        return
    names = ("infill.density", "infill.pattern")
    if density > 100:
        yield Finding(
            rule="infill-dense",
            severity="spoils",
            settings=names,
            says=f"Plastic wells up and the nozzle runs into it: {num(density)} % of the inside is to be filled.",
            value=density,
            limit=100.0,
            unit="%",
            margin=margin_above(density, 100.0),
            source=SOURCE,
            repair=(Repair("infill.density", "100 %"), Repair("infill.pattern", "lines-alternating")),
        )
    elif density >= 100 and pattern and pattern not in FILLS:
        yield Finding(
            rule="infill-dense",
            severity="differs",
            settings=("infill.pattern", "infill.density"),
            says=f"Nozzle and plastic crowd: {pattern} cannot be laid side by side, so at {num(density)} % it leaves "
            "gaps "
            "here and heaps up there.",
            source=SOURCE,
            repair=(Repair("infill.pattern", "lines-alternating"),),
        )
    elif density < 100:
        yield Finding(
            rule="infill-dense",
            severity="note",
            settings=names,
            says=f"Much plastic for little strength: {num(density)} % of infill; another wall usually serves better.",
            value=density,
            limit=most,
            unit="%",
            margin=margin_above(density, most),
            source=SOURCE,
        )


RULE = Rule(
    code="infill-dense",
    question="Is dense infill what is wanted, and can its pattern fill?",
    needs=("infill.density", "infill.pattern"),
    source=SOURCE,
    check=check,
    good={"infill.density": "100 %", "infill.pattern": "lines-alternating"},
    bad={"infill.density": "100 %", "infill.pattern": "gyroid"},
    severity="differs",
)
