"""A waiting nozzle that drips, or that takes minutes to come back."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.number("tool.count") < 2:
        return
    waiting, working = finite(setup, "heat.nozzle_standby"), finite(setup, "heat.nozzle")
    if waiting <= 0 or working <= 0:
        return
    most = working - setup.limit("nozzle.standby.ooze")
    least = working - setup.limit("nozzle.standby.wait")
    names = ("heat.nozzle_standby", "heat.nozzle")
    if waiting > most:
        yield Finding(
            rule="standby-temperature",
            severity="differs",
            settings=names,
            says=f"The waiting nozzle drips: it stays at {num(waiting)} °C, and prints at {num(working)} °C.",
            value=waiting,
            limit=most,
            unit="Cel",
            margin=margin_above(waiting, most),
            source=SOURCE,
            repair=(Repair("heat.nozzle_standby", down(most, 5, "°C")),),
        )
    elif waiting < least:
        yield Finding(
            rule="standby-temperature",
            severity="note",
            settings=names,
            says=f"Every tool change waits for {num(working - waiting)} K of heating, from {num(waiting)} °C.",
            value=waiting,
            limit=least,
            unit="Cel",
            margin=margin_below(waiting, least),
            source=SOURCE,
            repair=(Repair("heat.nozzle_standby", up(least, 5, "°C")),),
        )


RULE = Rule(
    code="standby-temperature",
    question="Does a waiting nozzle neither drip nor take long to come back?",
    needs=("tool.count", "heat.nozzle_standby", "heat.nozzle"),
    source=SOURCE,
    check=check,
    good={"tool.count": "2", "heat.nozzle": "212 °C", "heat.nozzle_standby": "175 °C"},
    bad={"tool.count": "2", "heat.nozzle": "212 °C", "heat.nozzle_standby": "212 °C"},
    severity="differs",
)
