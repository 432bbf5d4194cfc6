"""A first-layer bead that its flow squeezes out beyond the nozzle's flat."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.physics.bead import squeezed_width
from convert.rules.bead._widths import width_setting
from convert.rules.finding import Finding, graded, margin_above
from convert.rules.laid import finite
from convert.rules.quantities import flow_factor, height, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: the width that the bead takes with its flow factors; limit common practice"


def check(setup: Setup) -> Iterator[Finding]:
    bore = finite(setup, "nozzle.diameter")
    wide, high, factor = width(setup, "first_layer"), height(setup, "first_layer"), flow_factor(setup, "first_layer")
    most = bore * setup.limit("bead.per_bore.flat")
    if not 0 < high <= wide <= most or not 1 <= factor < inf:
        return  # a matter of other rules
    pressed = squeezed_width(wide, high, factor)
    margin = margin_above(pressed, most)
    severity = graded(margin, (0.0, "differs"), (-0.25, "spoils"))
    if severity:
        yield Finding(
            rule="first-layer-squeeze",
            severity=severity,
            settings=("flow.first_layer", width_setting(setup, "first_layer"), "layer.first"),
            says=f"The first layer wells up beside the nozzle and its foot flares: with {num(100 * factor)} % flow its "
            f"{num(wide)} mm bead is pressed to {num(pressed)} mm.",
            value=pressed,
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
        )


RULE = Rule(
    code="first-layer-squeeze",
    question="Does the first-layer bead keep within the nozzle's flat when it is pressed on?",
    needs=("nozzle.diameter", "width.first_layer", "layer.first", "flow.first_layer"),
    source=SOURCE,
    check=check,
    good={
        "nozzle.diameter": "0.4 mm",
        "width.first_layer": "0.5 mm",
        "layer.first": "0.24 mm",
        "layer.height": "0.2 mm",
    },
    bad={
        "nozzle.diameter": "0.4 mm",
        "width.first_layer": "0.7 mm",
        "layer.first": "0.24 mm",
        "layer.height": "0.2 mm",
        "flow.first_layer": "130 %",
    },
    severity="differs",
    formula="w' = f A/h + (1 - pi/4) h",
)
