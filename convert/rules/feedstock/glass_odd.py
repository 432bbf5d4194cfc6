"""A glass transition that the family does not have."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "glass transitions of families as the polymer table marks them; margins are common practice"


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "feedstock.glass_transition")
    low, high = setup.polymer("glass_transition", "low"), setup.polymer("glass_transition", "high")
    beyond = max(low - value, value - high)
    if beyond <= setup.limit("glass.family"):
        return
    limit = high if value > high else low
    family = setup.word("feedstock.family")
    yield Finding(
        rule="glass-odd",
        severity="differs" if beyond > setup.limit("glass.family_slip") else "note",
        settings=("feedstock.glass_transition", "feedstock.family"),
        says=f"What is derived from it is off: a glass transition of {num(value)} °C is stated, and {family} softens "
        f"at {num(low)} to {num(high)} °C.",
        value=value,
        limit=limit,
        unit="Cel",
        margin=-beyond / abs(limit) if limit else -beyond,
        source=SOURCE,
    )


RULE = Rule(
    code="glass-odd",
    question="Is the glass transition one that the family has?",
    needs=("feedstock.glass_transition", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "feedstock.glass_transition": "58 °C"},
    bad={"feedstock.family": "PLA", "feedstock.glass_transition": "145 °C"},
    severity="differs",
    explains=("bed-above-glass", "drying-hot"),
)
