"""A part fan that the filament does not bear, or that it lacks."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice; weaker with the fan: Lee, Liu, Additive Manufacturing 2019, 196-203 (abstract)"


def check(setup: Setup) -> Iterator[Finding]:
    fan, family = setup.number("fan.max"), setup.word("feedstock.family")
    low, high = ends(setup, "fan")
    if not isfinite(fan):
        return
    if low is not None and low >= setup.limit("fan.needy") and fan < low:
        says = f"Overhangs and tips droop: {family} wants {num(low)} % of part fan at least, and gets {num(fan)} %."
        yield _finding(_severity(setup, low - fan), says, fan, low, fan - low)
    elif high is not None and fan > high:
        says = (
            f"Layers weld badly and may split: {family} bears {num(high)} % of part fan, and gets up to {num(fan)} %."
        )
        yield _finding(_severity(setup, fan - high), says, fan, high, high - fan)


def _severity(setup: Setup, off: float) -> str:
    """By percent points, for some families bear no fan at all."""
    if off <= setup.limit("fan.off.note"):
        return "note"
    return "differs" if off < setup.limit("fan.off.spoils") else "spoils"


def _finding(severity: str, says: str, fan: float, limit: float, room: float) -> Finding:
    margin = room / limit if limit else room
    names = ("fan.max", "feedstock.family")
    repair = (Repair("fan.max", exact(limit, "%")),)
    return Finding("fan-against-family", severity, names, says, fan, limit, "%", margin, SOURCE, repair)


RULE = Rule(
    code="fan-against-family",
    question="Does the part fan fit the polymer?",
    needs=("fan.max", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"fan.max": "100 %", "feedstock.family": "PLA"},
    bad={"fan.max": "100 %", "feedstock.family": "ABS"},
    severity="spoils",
)
