"""What the rules on slips share: a stated number is implausible, and in another unit it is plausible.

A class of settings has a plausible range, the rows `plausible.<class>.low` and `.high` of the limits table. Only
numbers that the files state are judged: a percent of a setting goes wrong with that setting.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from convert.model.setting import SETTINGS
from convert.rules.finding import Finding, Repair, margin_above, margin_below
from convert.rules.quantities import FEATURES, WIDTH_OF
from convert.rules.setup import Setup
from convert.rules.words import exact, listed, num

SOURCE = "derived: units; plausible ranges are common practice"

PRINT_SPEEDS = tuple(f"speed.{name}" for name in ("default", *FEATURES, *WIDTH_OF) if name != "first_layer")
FIRST_SPEEDS = ("speed.first_layer", "speed.first_layer_area")
TRAVEL_SPEEDS = ("speed.travel", "speed.first_layer_travel")
AXIS_SPEEDS = ("axis.x.max_speed", "axis.y.max_speed")
PULL_SPEEDS = ("retract.speed", "retract.return_speed")


class Slip(NamedTuple):
    """One number: as it stands, as it was probably meant, and the end of the plausible range that it is beyond."""

    stated: float
    meant: float
    limit: float


def stated(setup: Setup, names: Sequence[str]) -> dict[str, float]:
    """The numbers that the setup itself states for this tool; relations and states are left out."""
    found: dict[str, float] = {}
    for name in names:
        value = setup.values.get(name)
        if isinstance(value, tuple) and SETTINGS[name].per_tool and value:
            value = value[min(setup.tool, len(value) - 1)]
        if isinstance(value, Fraction):
            found[name] = float(value)
    return found


def mistaken(
    setup: Setup, classes: Mapping[str, Sequence[str]], meant: Callable[[float], float], upwards: bool
) -> dict[str, Slip]:
    """The stated numbers beyond the upper (or lower) end of their class that `meant` brings into it."""
    found: dict[str, Slip] = {}
    for word, names in classes.items():
        low, high = setup.limit(f"plausible.{word}.low"), setup.limit(f"plausible.{word}.high")
        for name, value in stated(setup, names).items():
            beyond = value > high if upwards else 0 < value < low
            if beyond and low <= meant(value) <= high:
                found[name] = Slip(value, meant(value), high if upwards else low)
    return found


def _neat(value: float) -> float:
    """The number with three digits where that is as good: 40.02 comes from a rounded 0.667.

    >>> _neat(40.02), _neat(205.75)
    (40.0, 205.75)
    """
    short = float(f"{value:.3g}")
    return short if abs(short - value) <= 0.001 * abs(value) else value


def slip(code: str, severity: str, found: Mapping[str, Slip], says: str, reads_as: str) -> Finding:
    """One finding for all settings that slipped alike, the first of them named with its numbers."""
    name, first = next(iter(found.items()))
    unit = SETTINGS[name].unit
    sign = "°C" if unit == "Cel" else unit
    others = [other for other in found if other != name]
    more = f" So does {others[0]}." if len(others) == 1 else f" So do {listed(others)}." if others else ""
    shown = f"{name} is {num(first.stated)} {sign}, which looks like {num(_neat(first.meant))} {sign} {reads_as}"
    margin = margin_above if first.stated > first.limit else margin_below
    return Finding(
        rule=code,
        severity=severity,
        settings=tuple(found),
        says=f"{says}: {shown}.{more}",
        value=first.stated,
        limit=first.limit,
        unit=unit,
        margin=margin(first.stated, first.limit),
        source=SOURCE,
        repair=tuple(Repair(other, exact(_neat(one.meant), SETTINGS[other].unit)) for other, one in found.items()),
    )
