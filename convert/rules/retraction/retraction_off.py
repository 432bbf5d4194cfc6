"""Retraction that is switched off where the nozzle travels over open air."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.retraction._pull import SOFT
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: a nozzle under pressure drips while it travels; common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.value("retract.enabled") is not False or setup.is_on("order.spiral"):
        return
    soft = setup.text("feedstock.family") in SOFT  # which some print without, for it stretches instead
    yield Finding(
        rule="retraction-off",
        severity="note" if soft else "differs",
        settings=("retract.enabled",),
        says="Strings and blobs are to be expected wherever the nozzle travels: nothing is pulled back.",
        source=SOURCE,
        repair=(Repair("retract.enabled", "true"),),
    )


RULE = Rule(
    code="retraction-off",
    question="Is filament pulled back before travel?",
    needs=("retract.enabled", "order.spiral", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"retract.enabled": "false", "order.spiral": "true", "feedstock.family": "PLA"},
    bad={"retract.enabled": "false", "feedstock.family": "PETG"},
    severity="differs",
)
