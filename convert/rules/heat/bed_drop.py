"""A bed that cools so far after the first layer that the part lets go."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    first, rest = finite(setup, "heat.bed_first"), finite(setup, "heat.bed")
    if first <= 0:
        return
    fall, most = first - rest, setup.limit("bed.first_step.max")
    margin = (most - fall) / most
    severity = graded(margin, (0.0, "differs"), (-0.5, "spoils"))
    if severity:
        yield Finding(
            rule="bed-drop",
            severity=severity,
            settings=("heat.bed", "heat.bed_first"),
            says=f"The part may let go: the bed cools by {num(fall)} K after the first layer, "
            f"from {num(first)} to {num(rest)} °C.",
            value=fall,
            limit=most,
            unit="K",
            margin=margin,
            source=SOURCE,
            repair=(Repair("heat.bed", up(first - most, 1, "°C")),),
        )


RULE = Rule(
    code="bed-drop",
    question="Does the bed stay about as warm after the first layer?",
    needs=("heat.bed_first", "heat.bed"),
    source=SOURCE,
    check=check,
    good={"heat.bed_first": "65 °C", "heat.bed": "55 °C"},
    bad={"heat.bed_first": "80 °C", "heat.bed": "50 °C"},
    severity="spoils",
)
