"""A retraction speed that was meant in mm/s and was taken as mm/min."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import PULL_SPEEDS, SOURCE, mistaken, slip


def check(setup: Setup) -> Iterator[Finding]:
    if setup.value("retract.enabled") is False:
        return
    found = mistaken(setup, {"pull_speed": PULL_SPEEDS}, lambda value: value * 60, upwards=False)
    if found:
        says = "The nozzle stands and oozes while the filament creeps back, at every travel"
        yield slip("retraction-per-second", "spoils", found, says, "that was taken as mm/min")


RULE = Rule(
    code="retraction-per-second",
    question="Is the retraction speed in mm/s, or was it taken as mm/min?",
    needs=("retract.speed", "retract.return_speed"),
    source=SOURCE,
    check=check,
    good={"retract.speed": "40 mm/s", "retract.return_speed": "20 mm/s"},
    bad={"retract.speed": "0.667 mm/s"},
    severity="spoils",
    explains=("*",),
    formula="1 mm/min = 1/60 mm/s",
)
