"""A bed temperature outside of the family's usual window."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above, margin_below
from convert.rules.heat._temperatures import BED, WORDS
from convert.rules.laid import finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, down, num, up

SOURCE = "common practice (windows of families)"
FIRM = 20.0
"""This far below its glass transition, K, an amorphous polymer is firm: common practice."""


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup):
        return
    low, high = setup.polymer("bed", "low"), setup.polymer("bed", "high")
    name = "heat.bed_first" if setup.has("heat.bed_first") else "heat.bed"
    value = max(finite(setup, name), setup.limit("chamber.room"))
    cold, hot = low - value, value - high
    beyond = max(cold, hot)
    if beyond <= 0:
        return
    family = setup.word("feedstock.family")
    severity = "differs" if beyond > setup.limit("bed.window.note") else "note"
    if cold > setup.limit("bed.window.spoils"):
        severity = "spoils"
    limit = low if cold > 0 else high
    effect = "parts let go of it" if cold > 0 else "the foot of the part stays soft"
    if hot > 0 and value < setup.polymer("glass_transition", "low") - FIRM:
        severity, effect = "note", "that is more than it needs"  # as firm as in the window, so nothing is spoiled
    usual = f"{num(low)} to {num(high)} °C"
    mended = up(low, 1, "°C") if cold > 0 else down(high, 1, "°C")
    yield Finding(
        rule="bed-outside-window",
        severity=severity,
        settings=(name, *(other for other in BED if other != name), "feedstock.family"),
        says=f"{capital(WORDS[name])} is at {num(value)} °C, and {family} usually takes {usual}: {effect}.",
        value=value,
        limit=limit,
        unit="Cel",
        margin=margin_below(value, limit) if cold > 0 else margin_above(value, limit),
        source=SOURCE,
        repair=() if setup.value("bed.heated") is False else (Repair(name, mended),),
    )


RULE = Rule(
    code="bed-outside-window",
    question="Does the bed temperature suit the filament?",
    needs=("heat.bed_first", "heat.bed", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PETG", "heat.bed": "75 °C", "heat.bed_first": "80 °C"},
    bad={"feedstock.family": "ABS", "heat.bed": "50 °C", "heat.bed_first": "50 °C"},
    severity="spoils",
)
