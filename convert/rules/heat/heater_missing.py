"""A temperature asked of a bed or chamber that has no heater."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair
from convert.rules.heat._temperatures import WORDS
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, num

SOURCE = "derived: without a heater the temperature is not reached"
ROOM = 30.0
PARTS = {"bed.heated": ("heat.bed", "heat.bed_first"), "chamber.heated": ("heat.chamber",)}


def check(setup: Setup) -> Iterator[Finding]:
    for heated, names in PARTS.items():
        asked = {name: value for name in names if (value := setup.get(name, 0.0) or 0.0) > ROOM and isfinite(value)}
        if setup.value(heated) is not False or not asked:
            continue
        name, value = max(asked.items(), key=lambda item: item[1])
        yield Finding(
            rule="heater-missing",
            severity="differs",
            settings=(name, heated),
            says=f"{capital(WORDS[name])} has no heater and stays cold, though {num(value)} °C is asked for; "
            "a command that waits for it never ends.",
            source=SOURCE,
            repair=tuple(Repair(one, "off") for one in asked),
        )


RULE = Rule(
    code="heater-missing",
    question="Has every part that is to be heated a heater?",
    needs=("bed.heated", "heat.bed", "chamber.heated", "heat.chamber"),
    source=SOURCE,
    check=check,
    good={"chamber.heated": "false", "heat.chamber": "off", "bed.heated": "true", "heat.bed": "60 °C"},
    bad={"chamber.heated": "false", "heat.chamber": "60 °C"},
    severity="differs",
)
