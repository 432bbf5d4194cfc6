"""Shrinkage made up for on the filament's card, and outlines grown as well."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    shrinkage, grown = finite(setup, "feedstock.shrinkage_plan"), finite(setup, "size.outline")
    if shrinkage <= 0 or grown <= 0:
        return
    most = setup.limit("shrinkage.size")
    margin = margin_above(grown, most)
    severity = graded(margin, (1.0, "note"), (0.0, "differs"))
    if severity:
        yield Finding(
            rule="shrinkage-twice",
            severity=severity,
            settings=("size.outline", "feedstock.shrinkage_plan"),
            says=f"Parts may come out too large: {num(shrinkage)} % of shrinkage is made up for, and outlines grow by "
            f"{num(grown)} mm on top.",
            value=grown,
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("size.outline", "0 mm"),),
        )


RULE = Rule(
    code="shrinkage-twice",
    question="Is shrinkage made up for only once?",
    needs=("feedstock.shrinkage_plan", "size.outline"),
    source=SOURCE,
    check=check,
    good={"feedstock.shrinkage_plan": "0.6 %", "size.outline": "-0.03 mm"},
    bad={"feedstock.shrinkage_plan": "0.6 %", "size.outline": "0.2 mm"},
    severity="differs",
)
