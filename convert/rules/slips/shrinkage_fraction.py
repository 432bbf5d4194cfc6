"""A shrinkage that stands as a fraction, or as what remains, where the percent lost is meant."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

NAMES = ("feedstock.shrinkage_plan", "feedstock.shrinkage_height")
REMAINS_LOW, REMAINS_HIGH = 90.0, 110.0
LEAST = 0.03


def check(setup: Setup) -> Iterator[Finding]:
    values = stated(setup, NAMES)
    remains = {
        name: Slip(value, 100 - value, 20.0) for name, value in values.items() if REMAINS_LOW <= value <= REMAINS_HIGH
    }
    if remains:
        says = "The part would be scaled to many times its size"
        yield slip("shrinkage-fraction", "fails", remains, says, "given as what remains of 100 %")
    try:
        low, high = ends(setup, "shrinkage")
    except Missing:
        return
    if low is None or high is None:
        return
    small = {
        name: Slip(value, value * 100, LEAST)
        for name, value in values.items()
        if 0 < value < LEAST and low / 2 <= value * 100 <= high * 2
    }
    if small:
        says = "Parts come out smaller than drawn, for hardly any shrinkage is made up for"
        yield slip("shrinkage-fraction", "differs", small, says, "written as a fraction of one")


RULE = Rule(
    code="shrinkage-fraction",
    question="Is shrinkage in percent of loss, or does it stand as a fraction or as what remains?",
    needs=(*NAMES, "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ASA", "feedstock.shrinkage_plan": "0.6 %", "feedstock.shrinkage_height": "0 %"},
    bad={"feedstock.family": "ASA", "feedstock.shrinkage_plan": "99.4 %"},
    severity="fails",
    explains=("*",),
    formula="loss = 100 % - remainder = 100 x fraction",
)
