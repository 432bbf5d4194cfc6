"""A bed temperature beyond the rating of the bed."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.heat._temperatures import BED, beyond_rating
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "the machine's own rating; the step of a tenth to hurts: judgement; signal words: ANSI Z535 definitions"


def check(setup: Setup) -> Iterator[Finding]:
    yield from beyond_rating(setup, "bed-beyond-machine", BED, "bed.max_temperature", SOURCE)


RULE = Rule(
    code="bed-beyond-machine",
    question="Does the bed bear the temperature that is asked for?",
    needs=("heat.bed", "bed.max_temperature"),
    source=SOURCE,
    check=check,
    good={"bed.max_temperature": "110 °C", "heat.bed": "110 °C"},
    bad={"bed.max_temperature": "110 °C", "heat.bed": "115 °C"},
    severity="fails",
)
