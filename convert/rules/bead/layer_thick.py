"""Layers too thick for the bore: they hardly weld."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    bore, value = finite(setup, "nozzle.diameter"), finite(setup, "layer.height")
    most = bore * setup.limit("layer.per_bore.max")
    margin = margin_above(value, most)
    severity = graded(margin, (-1e-9, "spoils"), (-0.25, "fails"))
    if severity:
        yield Finding(
            rule="layer-thick",
            severity=severity,
            settings=("layer.height", "nozzle.diameter"),
            says=f"Layers hardly weld: they are {num(value)} mm high, and a {num(bore)} mm bore presses down "
            f"{num(most)} mm at most.",
            value=value,
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("layer.height", down(most, 0.01, "mm")),),
        )


RULE = Rule(
    code="layer-thick",
    question="Is the layer thin enough for the bore to press it down?",
    needs=("nozzle.diameter", "layer.height"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "layer.height": "0.32 mm"},
    bad={"nozzle.diameter": "0.4 mm", "layer.height": "0.38 mm"},
    severity="spoils",
    explains=("bead-aspect", "bead-strand"),
)
