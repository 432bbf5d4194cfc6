"""Filament of the "3 mm" class that stands as 3 mm and is 2.85 mm thick."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.flow import diameter_flow
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import Slip, slip, stated

THICK = 2.85
LOW, HIGH = 2.95, 3.05
SOURCE = "common practice: the class called 3 mm is 2.85 mm thick; derived: flow goes with the square of the diameter"


def check(setup: Setup) -> Iterator[Finding]:
    for name, value in stated(setup, ("feedstock.diameter",)).items():
        if LOW <= value <= HIGH:
            lost = 100 * (1 - diameter_flow(THICK, value))
            found = {name: Slip(value, THICK, LOW)}
            says = f"About {lost:.0f} % too little plastic comes out if the filament is 2.85 mm thick, as that class is"
            yield slip("filament-three-millimetres", "spoils", found, says, "by the name of its class")


RULE = Rule(
    code="filament-three-millimetres",
    question="Is a filament of the 3 mm class stated as 2.85 mm?",
    needs=("feedstock.diameter",),
    source=SOURCE,
    check=check,
    good={"feedstock.diameter": "2.85 mm"},
    bad={"feedstock.diameter": "3 mm"},
    severity="spoils",
    explains=("*",),
    formula="flow ~ (true/stated diameter)^2",
)
