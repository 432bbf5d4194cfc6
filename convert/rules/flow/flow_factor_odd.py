"""A flow factor so far from 100 % that it hides another error."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, graded, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "flow.factor")
    low, high = 100 * setup.limit("flow.factor.low"), 100 * setup.limit("flow.factor.high")
    much = value > high
    limit = high if much else low
    margin = margin_above(value, high) if much else margin_below(value, low)
    severity = graded(margin, (0.0, "differs"), (-0.1, "spoils"), (-0.5, "fails"))
    if severity:
        effect = "swell, and the nozzle ploughs through them" if much else "come out thin, with gaps"
        yield Finding(
            rule="flow-factor-odd",
            severity=severity,
            settings=("flow.factor", "feedstock.diameter"),
            says=f"Beads {effect}: the flow factor is {num(value)} %. So much usually makes up for a wrong filament "
            "diameter or feed calibration, which had better be put right.",
            value=value,
            limit=limit,
            unit="%",
            margin=margin,
            source=SOURCE,
        )


RULE = Rule(
    code="flow-factor-odd",
    question="Is the flow factor near 100 %?",
    needs=("flow.factor",),
    source=SOURCE,
    check=check,
    good={"flow.factor": "94 %"},
    bad={"flow.factor": "125 %"},
    severity="spoils",
)
