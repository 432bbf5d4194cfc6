"""A window of nozzle temperatures on the filament's card that tells nothing."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    low, high = finite(setup, "feedstock.min_nozzle"), finite(setup, "feedstock.max_nozzle")
    most = setup.limit("nozzle.makers_span.max")
    names = ("feedstock.max_nozzle", "feedstock.min_nozzle")
    if low >= high:
        says = f"The nozzle window runs from {num(low)} to {num(high)} °C, so no temperature can lie in it."
        yield Finding("makers-window", "differs", names, says, high, low, "Cel", (high - low) / abs(low or 1), SOURCE)
    elif high - low > most:
        says = f"The nozzle window spans {num(high - low)} K, from {num(low)} to {num(high)} °C: it guards nothing."
        yield Finding("makers-window", "note", names, says, high - low, most, "K", (most - high + low) / most, SOURCE)


RULE = Rule(
    code="makers-window",
    question="Does the filament's window of nozzle temperatures tell anything?",
    needs=("feedstock.min_nozzle", "feedstock.max_nozzle"),
    source=SOURCE,
    check=check,
    good={"feedstock.min_nozzle": "195 °C", "feedstock.max_nozzle": "230 °C"},
    bad={"feedstock.min_nozzle": "230 °C", "feedstock.max_nozzle": "195 °C"},
    severity="differs",
)
