"""Abrasive filament through a nozzle that it wears."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.laid import support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice"
SOFT = {
    "brass": ("fails", "wears out within a spool or less"),
    "plated-brass": ("spoils", "wears out as soon as its plating is through"),
    "stainless-steel": ("differs", "wears, though slower than brass"),
}


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("feedstock.abrasive") or support_tool(setup):
        return
    material = setup.word("nozzle.material")
    if material in SOFT:
        severity, effect = SOFT[material]
        yield Finding(
            rule="abrasive-nozzle",
            severity=severity,
            settings=("nozzle.material", "feedstock.abrasive"),
            says=f"The nozzle {effect}: the filament is abrasive and the nozzle is {material.replace('-', ' ')}. "
            "A bore that grows changes every bead.",
            source=SOURCE,
            repair=(Repair("nozzle.material", "hardened-steel"),),
        )


RULE = Rule(
    code="abrasive-nozzle",
    question="Does the nozzle bear an abrasive filament?",
    needs=("feedstock.abrasive", "nozzle.material"),
    source=SOURCE,
    check=check,
    good={"feedstock.abrasive": "true", "nozzle.material": "hardened-steel"},
    bad={"feedstock.abrasive": "true", "nozzle.material": "brass"},
    severity="fails",
)
