"""A first layer printed much hotter or cooler than the rest."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    first, rest = finite(setup, "heat.nozzle_first"), finite(setup, "heat.nozzle")
    if first <= 0 or rest <= 0:
        return
    step, most = abs(first - rest), setup.limit("nozzle.first_step.max")
    margin = (most - step) / most
    severity = graded(margin, (0.0, "note"), (-1.0, "differs"))
    if severity:
        word = "hotter" if first > rest else "cooler"
        nearer = rest + most / 2 if first > rest else rest - most / 2
        yield Finding(
            rule="nozzle-step",
            severity=severity,
            settings=("heat.nozzle_first", "heat.nozzle"),
            says=f"Gloss and size change after the first layer: it is printed {num(step)} K {word} than the rest.",
            value=step,
            limit=most,
            unit="K",
            margin=margin,
            source=SOURCE,
            repair=(Repair("heat.nozzle_first", exact(nearer, "°C")),),
        )


RULE = Rule(
    code="nozzle-step",
    question="Is the first layer printed at about the temperature of the rest?",
    needs=("heat.nozzle_first", "heat.nozzle"),
    source=SOURCE,
    check=check,
    good={"heat.nozzle_first": "225 °C", "heat.nozzle": "215 °C"},
    bad={"heat.nozzle_first": "260 °C", "heat.nozzle": "215 °C"},
    severity="differs",
)
