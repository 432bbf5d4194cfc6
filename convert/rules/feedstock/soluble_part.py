"""Soluble filament on a machine with one nozzle: the part is washed out with its support."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: one nozzle prints part and support"


def check(setup: Setup) -> Iterator[Finding]:
    if not (setup.is_on("feedstock.soluble") and setup.is_on("support.enabled")):
        return
    if setup.number("tool.count") < 2:
        yield Finding(
            rule="soluble-part",
            severity="spoils",
            settings=("feedstock.soluble", "tool.count", "support.enabled"),
            says="The part dissolves together with its support: one nozzle prints both, in a soluble filament.",
            source=SOURCE,
        )


RULE = Rule(
    code="soluble-part",
    question="Is only the support printed in soluble filament?",
    needs=("feedstock.soluble", "support.enabled", "tool.count"),
    source=SOURCE,
    check=check,
    good={"feedstock.soluble": "true", "support.enabled": "true", "tool.count": "2"},
    bad={"feedstock.soluble": "true", "support.enabled": "true", "tool.count": "1"},
    severity="spoils",
)
