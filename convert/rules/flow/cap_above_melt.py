"""A flow cap that lies above what can be melted, so that it guards nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.quantities import melt_allowed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "derived: the cap against the machine's and the filament's own limits"
PER_HOUR = 3.6
"""cm3/h in a mm3/s."""


def check(setup: Setup) -> Iterator[Finding]:
    cap = setup.get("speed.flow_cap")
    if cap is None or cap == math.inf:
        return
    melt = melt_allowed(setup)
    if cap <= melt:
        return
    hint = f" In cm3/h the number would be {num(cap / PER_HOUR)} mm3/s." if 0.5 * melt <= cap / PER_HOUR <= melt else ""
    yield Finding(
        rule="cap-above-melt",
        severity="note",
        settings=("speed.flow_cap", "hotend.melt_rate", "feedstock.melt_rate"),
        says=f"The flow cap of {num(cap)} mm3/s guards nothing, for no more than {num(melt)} can be melted.{hint}",
        value=cap,
        limit=melt,
        unit="mm3/s",
        margin=margin_above(cap, melt),
        source=SOURCE,
        repair=(Repair("speed.flow_cap", down(melt, 0.5 if melt >= 3 else 0.1, "mm3/s")),),
    )


RULE = Rule(
    code="cap-above-melt",
    question="Is the flow cap within what can be melted?",
    needs=("speed.flow_cap", "hotend.melt_rate", "feedstock.melt_rate"),
    source=SOURCE,
    check=check,
    good={"speed.flow_cap": "11 mm3/s", "hotend.melt_rate": "24 mm3/s", "feedstock.melt_rate": "12 mm3/s"},
    bad={"speed.flow_cap": "54 mm3/s", "hotend.melt_rate": "24 mm3/s"},
    severity="note",
)
