"""A filament diameter of no filament there is."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.physics.flow import diameter_flow
from convert.rules.finding import Finding
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: filament is 1.75 or 2.85 mm thick"
CLASSES = {1.75: "diameter.tolerance", 2.85: "diameter.tolerance_thick"}


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "feedstock.diameter")
    nearest = min(CLASSES, key=lambda one: abs(one - value))
    slack = setup.limit(CLASSES[nearest]) + 1e-9
    if abs(value - nearest) <= slack or not 0 < value < inf:
        return
    limit = nearest + slack if value > nearest else nearest - slack
    wrong = 100 * abs(1 - diameter_flow(nearest, value))
    amount = "little" if value > nearest else "much"
    yield Finding(
        rule="filament-diameter",
        severity="spoils",
        settings=("feedstock.diameter",),
        says=f"If the filament is {num(nearest)} mm thick, {num(wrong)} % too {amount} plastic comes out, for "
        f"{num(value)} mm is stated: measure it.",
        value=value,
        limit=limit,
        unit="mm",
        margin=-abs(value - limit) / limit,
        source=SOURCE,
    )


RULE = Rule(
    code="filament-diameter",
    question="Is the filament's diameter that of a filament there is?",
    needs=("feedstock.diameter",),
    source=SOURCE,
    check=check,
    good={"feedstock.diameter": "1.72 mm"},
    bad={"feedstock.diameter": "2.2 mm"},
    severity="spoils",
    explains=("flow-factor-odd", "feed-speed-beyond"),
    formula="flow ~ (true/stated diameter)^2",
)
