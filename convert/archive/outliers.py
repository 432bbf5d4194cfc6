"""Values that stand alone: in a family, one that no relative has; over the archive, what a bare number must mean.

Numbers are compared by their ratio to the median. Where the ratio is that of two units or scales that people mix up,
and the number would stand among the others in the other unit, the slip is named. How far is far is measured by the
median deviation of the logarithms, which single strange values do not move.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from convert.model.setting import SETTINGS
from convert.model.slips import likely_slip

FACTORS = {
    "speed": ((60.0, "mm/min"), (1 / 60, "mm/s in a place for mm/min"), (1e-3, "m/s")),
    "acceleration": ((1e-3, "m/s2"), (1e3, "mm/s2 in a place for m/s2")),
    "length": ((1e3, "um"), (1e-3, "mm in a place for um"), (1 / 25.4, "[in_i]")),
    "percent": ((0.01, "a fraction"), (100.0, "a percent in a place for a fraction")),
    "time": ((1e3, "ms"), (1e-3, "s in a place for ms"), (1 / 60, "min"), (60.0, "s in a place for min")),
    "flow": ((60.0, "mm3/min"), (1 / 60, "mm3/s in a place for mm3/min")),
    "density": ((1e3, "kg/m3"),),
}
"""Kind -> (ratio of the slipped number to the right one, what was mixed up). By the definition of the units."""
CLOSE = 1.6
"""After a slip is undone, the number is within this factor of the median."""
LEAST = 5
"""Fewer values make no consensus."""
FAR = 6.0
"""Deviations, as multiples of the scaled median deviation, from which on a value is far from the others."""
LEAST_RATIO = 5.0
"""A value within this factor of the median is never strange."""
MOST_SHARE = 0.2
"""More than a fifth of the values is no dissent but another habit."""


@dataclass(frozen=True, slots=True)
class Strange:
    """A value far from the others. `says` is the likely slip, "" where none fits; `factor` is value / median."""

    at: int
    value: float
    median: float
    factor: float
    says: str


def strange(name: str, values: Sequence[tuple[int, float]]) -> list[Strange]:
    """The values of a setting that stand alone; `values` are (place, number).

    >>> found = strange("speed.travel", [(1, 150.0), (2, 180.0), (3, 150.0), (4, 9000.0), (5, 200.0), (6, 150.0)])
    >>> [(one.at, round(one.factor), one.says) for one in found]
    [(4, 55, '9000 looks like mm/min: 150 mm/s')]
    """
    kept = [(at, value) for at, value in values if value > 0]
    if len(kept) < LEAST:
        return []
    setting = SETTINGS[name]
    logs = {value: math.log(value) for _, value in kept}
    middle = median(logs[value] for _, value in kept)
    # 1.4826 makes the median deviation that of a normal distribution; below a tenth, writing habits are the spread.
    spread = max(1.4826 * median(abs(logs[value] - middle) for _, value in kept), 0.1)
    centre = math.exp(middle)
    found = []
    for at, value in kept:
        off = abs(logs[value] - middle)
        if off < math.log(LEAST_RATIO):
            continue
        says = _slip(name, value, centre)
        if says or (off > FAR * spread and setting.kind not in ("choice", "count")):
            found.append(Strange(at, value, centre, value / centre, says))
    return found if len(found) <= max(1.0, MOST_SHARE * len(kept)) else []


def _slip(name: str, value: float, centre: float) -> str:
    """What a number that is far off was mixed up with."""
    setting = SETTINGS[name]
    ratio = value / centre
    for factor, unit in FACTORS.get(setting.kind, ()):
        if abs(math.log(ratio / factor)) < math.log(CLOSE) and abs(math.log(factor)) > math.log(CLOSE):
            right = value / factor
            says = likely_slip(setting, Fraction(repr(value)))
            if says.startswith(f"{value:g} looks like {unit}:"):
                return says
            return f"{value:g} looks like {unit}: {right:.4g} {setting.unit}"
    return ""


def consensus(values: Sequence[float]) -> tuple[float, float, float]:
    """Median, and the range in which all but a twentieth on each side lie."""
    ordered = sorted(values)
    cut = len(ordered) // 20
    return median(ordered), ordered[cut], ordered[-1 - cut]
