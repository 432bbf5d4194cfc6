"""A filament density that stands in kg/m3 where g/cm3 is meant, or was taken so."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated


def check(setup: Setup) -> Iterator[Finding]:
    low, high = setup.limit("density.low"), setup.limit("density.high")
    for name, value in stated(setup, ("feedstock.density",)).items():
        for factor, limit in ((0.001, high), (1000.0, low)):
            beyond = value > high if factor < 1 else 0 < value < low
            if beyond and low <= value * factor <= high:
                found = {name: Slip(value, value * factor, limit)}
                times = "a thousand times" if factor < 1 else "a thousandth of"
                says = f"Mass and price of every part come out as {times} what they are"
                how = "written in kg/m3" if factor < 1 else "that was taken as kg/m3"
                yield slip("density-in-kilograms", "differs", found, says, how)


RULE = Rule(
    code="density-in-kilograms",
    question="Is the filament's density in g/cm3, or does it stand in kg/m3?",
    needs=("feedstock.density",),
    source=SOURCE,
    check=check,
    good={"feedstock.density": "1.24 g/cm3"},
    bad={"feedstock.density": "1240 g/cm3"},
    severity="differs",
    explains=("*",),
    formula="1 g/cm3 = 1000 kg/m3",
)
