"""More flow than the bore passes smoothly."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.pressure import apparent_shear_rate
from convert.rules.finding import Finding, graded, margin_above
from convert.rules.laid import finite, over, source_of
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num

SOURCE = "derived: 32 Q/(pi d^3); the threshold is judgement"


def check(setup: Setup) -> Iterator[Finding]:
    bore = finite(setup, "nozzle.diameter")
    rates = over(setup, lambda one, name: apparent_shear_rate(volume_flow(one, name), bore))
    worst = max(rates, key=lambda name: rates[name])
    margin = margin_above(rates[worst], setup.limit("flow.shear.max"))
    severity = graded(margin, (0.0, "note"), (-0.5, "differs"))
    if severity:
        yield Finding(
            rule="bore-choked",
            severity=severity,
            settings=(source_of(setup, "speed", worst), "nozzle.diameter"),
            says=f"{capital(features([worst]))}: {num(volume_flow(setup, worst))} mm3/s through a {num(bore)} mm bore "
            "comes out rough, and takes much force.",
            value=rates[worst],
            limit=setup.limit("flow.shear.max"),
            unit="1/s",
            margin=margin,
            source=SOURCE,
        )


RULE = Rule(
    code="bore-choked",
    question="Does the bore pass the flow smoothly?",
    needs=("nozzle.diameter", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "nozzle.diameter": "0.4 mm",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "300 mm/s",
    },
    bad={
        "nozzle.diameter": "0.2 mm",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "250 mm/s",
    },
    severity="differs",
    formula="32 Q/(pi d^3)",
)
