"""A nozzle temperature beyond the rating of the hot end."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.heat._temperatures import NOZZLE, beyond_rating
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "the machine's own rating; the step of a tenth to hurts: judgement; signal words: ANSI Z535 definitions"


def check(setup: Setup) -> Iterator[Finding]:
    yield from beyond_rating(setup, "nozzle-beyond-hotend", NOZZLE, "hotend.max_temperature", SOURCE)


RULE = Rule(
    code="nozzle-beyond-hotend",
    question="Does the hot end bear the temperature that is asked for?",
    needs=("heat.nozzle", "hotend.max_temperature"),
    source=SOURCE,
    check=check,
    good={"hotend.max_temperature": "300 °C", "heat.nozzle": "300 °C"},
    bad={"hotend.max_temperature": "300 °C", "heat.nozzle": "340 °C"},
    severity="hurts",
)
