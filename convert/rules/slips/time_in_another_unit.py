"""Times that stand in milliseconds where seconds are meant, or in minutes where hours are."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, mistaken, slip

LAYER = {"layer_time": ("cooling.min_layer_time", "fan.quick_layer")}
DRYING = {"drying_time": ("feedstock.drying_time",)}


def check(setup: Setup) -> Iterator[Finding]:
    long = mistaken(setup, LAYER, lambda value: value / 1000, upwards=True)
    if long:
        says = "Every layer is stretched to the slowest speed allowed"
        yield slip("time-in-another-unit", "spoils", long, says, "written in ms")
    short = mistaken(setup, LAYER, lambda value: value * 1000, upwards=False)
    if short:
        says = "Small layers get no time to set"
        yield slip("time-in-another-unit", "differs", short, says, "that was taken as ms")
    drying = mistaken(setup, DRYING, lambda value: value / 60, upwards=True)
    if drying:
        says = "The filament would dry for days"
        yield slip("time-in-another-unit", "note", drying, says, "written in minutes")


RULE = Rule(
    code="time-in-another-unit",
    question="Are layer times in seconds and drying times in hours?",
    needs=("cooling.min_layer_time", "fan.quick_layer", "feedstock.drying_time"),
    source=SOURCE,
    check=check,
    good={"cooling.min_layer_time": "8 s", "fan.quick_layer": "60 s", "feedstock.drying_time": "24 h"},
    bad={"cooling.min_layer_time": "8000 s"},
    severity="spoils",
    explains=("*",),
    formula="1 s = 1000 ms; 1 h = 60 min",
)
