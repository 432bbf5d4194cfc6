"""A shrinkage that the family does not show."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, graded, margin_above
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "from memory: shrinkage of families; margins are common practice"
NAMES = ("feedstock.shrinkage_plan", "feedstock.shrinkage_height")


def check(setup: Setup) -> Iterator[Finding]:
    asked = {name: value for name in NAMES if isfinite(value := setup.get(name) or 0.0) and value}
    if not asked:
        return
    name = max(asked, key=lambda one: abs(asked[one]))
    value = asked[name]
    if min(asked.values()) < -0.05:
        name = min(asked, key=lambda one: asked[one])
        says = f"Parts come out still smaller: a shrinkage of {num(asked[name])} % says that they grow as they cool."
        yield Finding("shrinkage-odd", "differs", (name,), says, asked[name], 0.0, "%", asked[name], SOURCE)
        return
    usual = ends(setup, "shrinkage")[1]
    if usual is None:
        return
    most = usual * setup.limit("shrinkage.family")
    margin = margin_above(value, most)
    severity = graded(margin, (0.0, "differs"), (-1.0, "spoils"))
    if severity:
        yield Finding(
            rule="shrinkage-odd",
            severity=severity,
            settings=(name, "feedstock.family"),
            says=f"Parts come out too large: {num(value)} % of shrinkage is made up for, and "
            f"{setup.word('feedstock.family')} shrinks by {num(usual)} % or less.",
            value=value,
            limit=most,
            unit="%",
            margin=margin,
            source=SOURCE,
        )


RULE = Rule(
    code="shrinkage-odd",
    question="Is the shrinkage one that the family shows?",
    needs=(*NAMES, "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ABS", "feedstock.shrinkage_plan": "0.7 %"},
    bad={"feedstock.family": "PLA", "feedstock.shrinkage_plan": "4 %"},
    severity="spoils",
)
