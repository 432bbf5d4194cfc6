"""A first layer too thick to be pressed onto the bed."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    value, bore = finite(setup, "layer.first"), finite(setup, "nozzle.diameter")
    most = bore * setup.limit("layer.per_bore.max")
    margin = margin_above(value, most)
    severity = graded(margin, (-1e-9, "spoils"), (-0.25, "fails"))
    if severity:
        yield Finding(
            rule="first-layer-thick",
            severity=severity,
            settings=("layer.first", "nozzle.diameter"),
            says=f"The part lets go of the bed: a first layer of {num(value)} mm from a {num(bore)} mm bore is "
            "laid down without being pressed on.",
            value=value,
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("layer.first", down(most, 0.01, "mm")),),
        )


RULE = Rule(
    code="first-layer-thick",
    question="Is the first layer thin enough to be pressed onto the bed?",
    needs=("nozzle.diameter", "layer.first"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "layer.first": "0.3 mm"},
    bad={"nozzle.diameter": "0.4 mm", "layer.first": "0.75 mm"},
    severity="fails",
    explains=("bead-aspect", "bead-strand"),
)
