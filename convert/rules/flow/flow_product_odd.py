"""Flow factors that are sound one by one and come to too much or too little together."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, graded, margin_above, margin_below
from convert.rules.laid import laid, over
from convert.rules.quantities import flow_factor
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num

SOURCE = "common practice"
FREE = ("bridge", "support", "interface", "outline", "first_layer")
"""Features whose flow is a matter of taste, or of a rule of its own."""


def check(setup: Setup) -> Iterator[Finding]:
    high = 100 * setup.limit("flow.product.high")
    low = 100 * setup.limit("flow.factor.low")
    own = setup.number("flow.factor")
    if not low <= own <= 100 * setup.limit("flow.factor.high"):
        return  # the general factor itself is odd
    products = over(setup, lambda one, name: 100 * flow_factor(one, name), [f for f in laid(setup) if f not in FREE])
    margins = {name: min(margin_above(value, high), margin_below(value, low)) for name, value in products.items()}
    beyond = sorted((name for name in margins if margins[name] < 0), key=lambda name: margins[name])
    if not beyond:
        return
    worst = beyond[0]
    value = products[worst]
    much = value > high
    yield Finding(
        rule="flow-product-odd",
        severity=graded(margins[worst], (0.0, "differs"), (-0.1, "spoils")) or "differs",
        settings=(f"flow.{worst}", "flow.factor"),
        says=f"Too {'much' if much else 'little'} plastic is laid on {features(beyond)}: {num(own)} % and "
        f"{num(setup.number(f'flow.{worst}'))} % come to {num(value)} %.",
        value=value,
        limit=high if much else low,
        unit="%",
        margin=margins[worst],
        source=SOURCE,
    )


RULE = Rule(
    code="flow-product-odd",
    question="Do the flow factors together stay near 100 %?",
    needs=("flow.factor", "flow.outer_wall", "flow.top"),
    source=SOURCE,
    check=check,
    good={"flow.factor": "97 %", "flow.top": "98 %", "flow.bridge": "70 %"},
    bad={"flow.factor": "108 %", "flow.infill": "120 %"},
    severity="spoils",
    formula="flow.factor x flow.<feature>",
)
