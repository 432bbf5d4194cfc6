"""A price per kilogram that no filament has."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice; the currency is the user's own"


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "feedstock.price")
    low, high = setup.limit("price.low"), setup.limit("price.high")
    if low <= value <= high:
        return
    much = value > high
    mass = setup.get("feedstock.spool_mass")
    spool = bool(mass) and not much and value > 0
    hint = f" For a spool of {num(mass or 0)} g?" if spool else ""
    yield Finding(
        rule="price-odd",
        severity="note",
        settings=("feedstock.price",),
        says=f"What parts cost is probably told wrong: the filament's price is {num(value)} a kilogram.{hint}",
        value=value,
        limit=high if much else low,
        unit="1/kg",
        margin=margin_above(value, high) if much else margin_below(value, low),
        source=SOURCE,
    )


RULE = Rule(
    code="price-odd",
    question="Is the price one of a kilogram of filament?",
    needs=("feedstock.price",),
    source=SOURCE,
    check=check,
    good={"feedstock.price": "24 1/kg"},
    bad={"feedstock.price": "0.024 1/kg"},
    severity="note",
)
