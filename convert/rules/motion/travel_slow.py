"""Travel slower than printing, or speeded up more gently."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, roots
from convert.rules.laid import over
from convert.rules.quantities import acceleration, effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num, up

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    for family, unit, step, compute in (
        ("speed", "mm/s", 10, effective_speed),
        ("acceleration", "mm/s2", 100, acceleration),
    ):
        if not setup.has(f"{family}.travel"):
            continue
        printing = over(setup, compute)
        fastest = max(printing, key=lambda name: printing[name])
        travel = compute(setup, "travel")
        says = (
            f"Travel costs time and lets the nozzle drip: its {family} is {num(travel)} {unit}, "
            f"and that of {features([fastest])} {num(printing[fastest])}."
        )
        names = roots(setup, f"{family}.travel", f"{family}.{fastest}")
        repair = (Repair(f"{family}.travel", up(printing[fastest], step, unit)),)
        yield from below("travel-slow", names, travel, printing[fastest], unit, STEPS, says, SOURCE, repair)


RULE = Rule(
    code="travel-slow",
    question="Does travel go at least as fast as printing?",
    needs=("speed.*", "acceleration.*"),
    source=SOURCE,
    check=check,
    good={"speed.default": "80 mm/s", "speed.travel": "150 mm/s"},
    bad={"speed.default": "200 mm/s", "speed.travel": "120 mm/s", "acceleration.default": "3000 mm/s2"},
    severity="note",
)
