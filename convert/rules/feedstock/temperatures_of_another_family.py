"""Temperatures that are those of another polymer: one cause of several findings."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed, num

SOURCE = "common practice (windows of families)"
USUAL = ("PLA", "PETG", "ABS", "ASA", "TPU", "PA", "PC", "PP")
"""Families that are likely to be meant."""


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup):
        return
    family = setup.word("feedstock.family")
    nozzle, bed = finite(setup, "heat.nozzle"), finite(setup, "heat.bed")
    if setup.has("feedstock.min_nozzle") and setup.has("feedstock.max_nozzle"):
        return  # the maker's own window says more
    low, high = setup.polymer("nozzle", "low"), setup.polymer("nozzle", "high")
    cold, hot = setup.polymer("bed", "low"), setup.polymer("bed", "high")
    beyond, beside = max(low - nozzle, nozzle - high), max(cold - bed, bed - hot)
    note = setup.limit("bed.window.note")
    if beyond < note or beside < note or nozzle <= 0 or bed <= 0:
        return
    meant = [other for other in USUAL if other != family and _fits(setup, other, nozzle, bed)]
    if meant:
        limit = high if nozzle > high else low
        yield Finding(
            rule="temperatures-of-another-family",
            severity="spoils",
            settings=("feedstock.family", "heat.nozzle", "heat.bed"),
            says=f"{family} neither flows nor sticks as it should at {num(nozzle)} °C on a bed of {num(bed)} °C: "
            f"those are temperatures for {listed(meant)}. One of the two is wrong.",
            value=nozzle,
            limit=limit,
            unit="Cel",
            margin=-beyond / limit,
            source=SOURCE,
        )


def _fits(setup: Setup, family: str, nozzle: float, bed: float) -> bool:
    from convert.physics.polymers import span

    for prop, value in (("nozzle", nozzle), ("bed", bed)):
        found = span(family, prop, setup.polymers)
        if found is None or found.low is None or found.high is None or not found.low <= value <= found.high:
            return False
    return True


RULE = Rule(
    code="temperatures-of-another-family",
    question="Are the temperatures those of the filament's own family?",
    needs=("feedstock.family", "heat.nozzle", "heat.bed"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PETG", "heat.nozzle": "238 °C", "heat.bed": "75 °C"},
    bad={"feedstock.family": "PETG", "heat.nozzle": "205 °C", "heat.bed": "55 °C"},
    severity="spoils",
    explains=("nozzle-outside-window", "bed-outside-window", "nozzle-below-melting", "bed-above-glass", "chamber-cold"),
)
