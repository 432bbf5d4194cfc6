"""A chamber temperature beyond the rating of the chamber."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.heat._temperatures import CHAMBER, beyond_rating
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "the machine's own rating; the step of a tenth to hurts: judgement; signal words: ANSI Z535 definitions"


def check(setup: Setup) -> Iterator[Finding]:
    yield from beyond_rating(setup, "chamber-beyond-machine", CHAMBER, "chamber.max_temperature", SOURCE)


RULE = Rule(
    code="chamber-beyond-machine",
    question="Does the chamber bear the temperature that is asked for?",
    needs=("heat.chamber", "chamber.max_temperature"),
    source=SOURCE,
    check=check,
    good={"chamber.max_temperature": "60 °C", "heat.chamber": "60 °C"},
    bad={"chamber.max_temperature": "60 °C", "heat.chamber": "65 °C"},
    severity="fails",
)
