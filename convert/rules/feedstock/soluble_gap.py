"""Soluble support that keeps a gap it does not need."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: support that is washed out may touch the part"


def check(setup: Setup) -> Iterator[Finding]:
    if not (setup.is_on("feedstock.soluble") and setup.is_on("support.enabled")):
        return
    gap, most = finite(setup, "support.gap_z"), setup.limit("soluble.gap")
    if gap > most:
        yield Finding(
            rule="soluble-gap",
            severity="note",
            settings=("support.gap_z", "feedstock.soluble"),
            says=f"Undersides sag into a gap of {num(gap)} mm that soluble support does not need: it is washed out.",
            value=gap,
            limit=most,
            unit="mm",
            margin=margin_above(gap, most),
            source=SOURCE,
            repair=(Repair("support.gap_z", "0 mm"),),
        )


RULE = Rule(
    code="soluble-gap",
    question="Does soluble support touch the part?",
    needs=("feedstock.soluble", "support.enabled", "support.gap_z"),
    source=SOURCE,
    check=check,
    good={"feedstock.soluble": "true", "support.enabled": "true", "support.gap_z": "0 mm"},
    bad={"feedstock.soluble": "true", "support.enabled": "true", "support.gap_z": "0.2 mm"},
    severity="note",
)
