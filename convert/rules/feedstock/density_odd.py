"""A density that the family does not have."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "densities of families as the polymer table marks them"


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "feedstock.density")
    low, high = setup.polymer("density", "low"), setup.polymer("density", "high")
    limit = high if value > high else low
    margin = margin_above(value, high) if value > high else margin_below(value, low)
    if margin >= -setup.limit("density.family"):
        return
    family = setup.word("feedstock.family")
    yield Finding(
        rule="density-odd",
        severity="differs" if margin < -setup.limit("density.family_slip") else "note",
        settings=("feedstock.density", "feedstock.family"),
        says=f"Mass and price are probably wrong: {num(value)} g/cm3 is stated, and {family} has {num(low)}"
        + ("." if low == high else f" to {num(high)}."),
        value=value,
        limit=limit,
        unit="g/cm3",
        margin=margin,
        source=SOURCE,
    )


RULE = Rule(
    code="density-odd",
    question="Is the density one that the family has?",
    needs=("feedstock.density", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ABS", "feedstock.density": "1.07 g/cm3"},
    bad={"feedstock.family": "ABS", "feedstock.density": "2.4 g/cm3"},
    severity="differs",
)
