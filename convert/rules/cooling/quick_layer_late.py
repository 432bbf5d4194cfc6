"""Layers that count as quick only when they are already too quick."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "derived: layers are stretched to the least layer time before the fan sees them"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    quick, least = setup.get("fan.quick_layer"), setup.get("cooling.min_layer_time")
    fan_min, fan_max = setup.get("fan.min"), setup.get("fan.max")
    if not quick or not least or fan_min is None or fan_max is None or fan_min >= fan_max:
        return
    says = (
        f"The fan hardly ever rises above {num(fan_min)} %: only layers under {num(quick)} s get more air, "
        f"and none is quicker than {num(least)} s."
    )
    names = ("fan.quick_layer", "cooling.min_layer_time")
    repair = (Repair("fan.quick_layer", usable(up, 2 * least, 1, "s")),)
    yield from below("quick-layer-late", names, quick, least, "s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="quick-layer-late",
    question="Do quick layers get more air before they are slowed?",
    needs=("fan.quick_layer", "cooling.min_layer_time", "fan.min", "fan.max"),
    source=SOURCE,
    check=check,
    good={"fan.quick_layer": "30 s", "cooling.min_layer_time": "8 s", "fan.min": "60 %", "fan.max": "100 %"},
    bad={"fan.quick_layer": "5 s", "cooling.min_layer_time": "10 s", "fan.min": "30 %", "fan.max": "100 %"},
    severity="note",
)
