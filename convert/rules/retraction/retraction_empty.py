"""Retraction that is switched on and pulls nothing."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.retraction._pull import SOFT, ordinal
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: a length of 0 mm pulls nothing"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("retract.enabled") or setup.is_on("order.spiral") or setup.number("retract.length") != 0:
        return
    soft = setup.text("feedstock.family") in SOFT
    yield Finding(
        rule="retraction-empty",
        severity="note" if soft else "differs",
        settings=("retract.length", "retract.enabled"),
        says=f"Strings are to be expected: retraction{ordinal(setup, 'retract.length')} is on, and its length is 0 mm.",
        source=SOURCE,
    )


RULE = Rule(
    code="retraction-empty",
    question="Does a retraction that is on pull anything?",
    needs=("retract.enabled", "retract.length", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"retract.enabled": "true", "retract.length": "0.6 mm"},
    bad={"retract.enabled": "true", "retract.length": "0 mm"},
    severity="differs",
)
