"""A first layer that is starved or flooded."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.quantities import flow_factor
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    value = 100 * flow_factor(setup, "first_layer")
    low, high = 100 * setup.limit("flow.first.low"), 100 * setup.limit("flow.first.high")
    general, own = finite(setup, "flow.factor"), finite(setup, "flow.first_layer")
    if general <= 0 or (own == 100 and value == general):
        return  # nothing of the first layer's own
    much = value > high
    margin = margin_above(value, high) if much else margin_below(value, low)
    severity = graded(margin, (0.0, "differs"), (-0.1, "spoils"))
    if severity:
        effect = "is ploughed up and its foot flares" if much else "does not close and lets go"
        mended = down(100 * high / general, 1, "%") if much else up(100 * low / general, 1, "%")
        yield Finding(
            rule="first-layer-flow",
            severity=severity,
            settings=("flow.first_layer", "flow.factor"),
            says=f"The first layer {effect}: it gets {num(value)} % of the plastic.",
            value=value,
            limit=high if much else low,
            unit="%",
            margin=margin,
            source=SOURCE,
            repair=(Repair("flow.first_layer", mended),),
        )


RULE = Rule(
    code="first-layer-flow",
    question="Does the first layer get about the plastic that fills it?",
    needs=("flow.first_layer", "flow.factor"),
    source=SOURCE,
    check=check,
    good={"flow.factor": "98 %", "flow.first_layer": "105 %"},
    bad={"flow.factor": "100 %", "flow.first_layer": "140 %"},
    severity="spoils",
    formula="flow.factor x flow.first_layer",
)
