"""Bridges laid so fast that their strands do not set before they sag or tear."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if "speed.bridge" not in setup.values or setup.is_on("order.spiral"):
        return
    speed, most = setup.number("speed.bridge"), setup.limit("bridge.speed.max")
    says = f"Bridges sag or tear: their strands hang free at {num(speed)} mm/s, and {num(most)} is much."
    repair = (Repair("speed.bridge", exact(most, "mm/s")),)
    yield from above("bridge-hasty", roots(setup, "speed.bridge"), speed, most, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="bridge-hasty",
    question="Are bridges laid slowly enough to set?",
    needs=("speed.bridge", "order.spiral"),
    source=SOURCE,
    check=check,
    good={"speed.bridge": "50 mm/s"},
    bad={"speed.bridge": "300 mm/s"},
    severity="differs",
)
