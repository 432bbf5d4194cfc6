"""Filled filament through a bore that its particles clog."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_below
from convert.rules.laid import finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    filled = setup.is_on("feedstock.abrasive") or setup.text("feedstock.family").endswith("-filled")
    if not filled or support_tool(setup):
        return
    bore = finite(setup, "nozzle.diameter")
    least, easy = setup.limit("flow.fibre.bore_min"), setup.limit("flow.fibre.bore")
    if bore >= easy:
        return
    tight = bore < least - 1e-9
    limit = least if tight else easy
    effect = "will clog" if tight else "may clog now and then"
    yield Finding(
        rule="filled-bore",
        severity="spoils" if tight else "note",
        settings=("nozzle.diameter", "feedstock.family", "feedstock.abrasive"),
        says=f"Fibres and particles {effect} a bore of {num(bore)} mm; {num(easy)} mm passes them without care.",
        value=bore,
        limit=limit,
        unit="mm",
        margin=margin_below(bore, limit),
        source=SOURCE,
    )


RULE = Rule(
    code="filled-bore",
    question="Does the bore pass what the filament is filled with?",
    needs=("nozzle.diameter", "feedstock.family", "feedstock.abrasive"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PETG-filled", "nozzle.diameter": "0.6 mm"},
    bad={"feedstock.family": "PETG-filled", "nozzle.diameter": "0.25 mm"},
    severity="spoils",
)
