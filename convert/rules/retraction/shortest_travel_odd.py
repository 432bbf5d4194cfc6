"""Retractions before every tiny travel, or hardly before any."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.retraction._pull import pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    travel = setup.get("retract.shortest_travel")
    if travel is None or not pulls(setup) or not setup.get("retract.length", 1.0):
        return
    least, most = setup.limit("travel.threshold.min"), setup.limit("travel.threshold.max")
    names = ("retract.shortest_travel",)
    says = (
        f"The same piece of filament may be ground by the gear again and again: even travels of {num(travel)} mm begin "
        "with a retraction."
    )
    repair = (Repair(names[0], exact(least, "mm")),)
    yield from below("shortest-travel-odd", names, travel, least, "mm", STEPS, says, SOURCE, repair)
    says = f"Strings are to be expected, for travels of up to {num(travel)} mm are made without a retraction."
    repair = (Repair(names[0], exact(most, "mm")),)
    yield from above("shortest-travel-odd", names, travel, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="shortest-travel-odd",
    question="Is filament pulled back for travels that are worth it?",
    needs=("retract.shortest_travel", "retract.enabled"),
    source=SOURCE,
    check=check,
    good={"retract.shortest_travel": "1.5 mm"},
    bad={"retract.shortest_travel": "0.1 mm"},
    severity="note",
)
