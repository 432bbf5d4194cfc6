"""A first layer much thinner than the rest: the nozzle drags over the bed's unevenness."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    first, rest = finite(setup, "layer.first"), finite(setup, "layer.height")
    least = rest * setup.limit("layer.first_per_height.min")
    margin = margin_below(first, least)
    severity = graded(margin, (-1e-9, "differs"), (-0.3, "spoils"))
    if severity:
        yield Finding(
            rule="first-layer-thin",
            severity=severity,
            settings=("layer.first", "layer.height"),
            says=f"The nozzle drags over every unevenness of the bed: the first layer is {num(first)} mm thin, "
            f"the others are {num(rest)} mm.",
            value=first,
            limit=least,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("layer.first", up(least, 0.01, "mm")),),
        )


RULE = Rule(
    code="first-layer-thin",
    question="Is the first layer thick enough to bear an uneven bed?",
    needs=("layer.first", "layer.height"),
    source=SOURCE,
    check=check,
    good={"layer.first": "0.2 mm", "layer.height": "0.28 mm"},
    bad={"layer.first": "0.08 mm", "layer.height": "0.3 mm"},
    severity="spoils",
)
