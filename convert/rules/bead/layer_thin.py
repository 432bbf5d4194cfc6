"""Layers too thin for bore or machine."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    value, bore = finite(setup, "layer.height"), finite(setup, "nozzle.diameter")
    by_bore, by_machine = bore * setup.limit("layer.per_bore.min"), setup.limit("layer.min")
    least = max(by_bore, by_machine)
    margin = margin_below(value, least)
    severity = graded(margin, (-1e-9, "note"), (-0.3, "differs"))
    if severity:
        effect = "the nozzle builds up back pressure" if by_bore > by_machine else "errors of the Z axis show as bands"
        yield Finding(
            rule="layer-thin",
            severity=severity,
            settings=("layer.height", "nozzle.diameter"),
            says=f"Layers of {num(value)} mm from a {num(bore)} mm bore are so thin that {effect}.",
            value=value,
            limit=least,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("layer.height", up(least, 0.01, "mm")),),
        )


RULE = Rule(
    code="layer-thin",
    question="Is the layer thick enough for bore and machine?",
    needs=("nozzle.diameter", "layer.height"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.6 mm", "layer.height": "0.08 mm"},
    bad={"nozzle.diameter": "0.8 mm", "layer.height": "0.05 mm"},
    severity="differs",
)
