"""Derived quantities of the two sides, before and after.

>>> from fractions import Fraction
>>> old = {"layer.height": Fraction(1, 5), "width.default": Fraction(9, 20), "wall.count": Fraction(3)}
>>> view = View(old, {**old, "wall.count": Fraction(2)})
>>> [round(value, 4) for value in view.both("wall_stack")]
[1.2642, 0.8571]
>>> [(one.quantity, round(one.before, 3), round(one.after, 3)) for one in figures(view)]
[('wall_stack', 1.264, 0.857)]
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import isfinite
from typing import NamedTuple

from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.physics import OutOfRange
from convert.rules.derived import QUANTITIES
from convert.rules.laid import laid
from convert.rules.quantities import FEATURES
from convert.rules.setup import Missing, Setup

ALSO = {"effective_speed": ("travel",), "reach_distance": ("travel",), "peak_speed_20": ("travel",)}
"""Quantities that mean something for travels too."""

MAIN = (
    "time_block", "time_tower", "time_tile", "mass_block", "mass_tower", "mass_tile", "price_block",
    "wall_stack", "roof_thickness", "floor_thickness", "infill_spacing", "retraction_time",
)  # fmt: skip
"""What a reader wants to see first, in this order."""

EQUAL = 1e-9
"""Relative difference below which two figures are one: rounding of doubles."""


class Figure(NamedTuple):
    """One quantity before and after, None where it cannot be computed; `tool` counts from 1."""

    quantity: str
    feature: str | None
    before: float | None
    after: float | None
    unit: str
    tool: int = 1

    @property
    def moved(self) -> bool:
        return not same(self.before, self.after)


def same(before: float | None, after: float | None) -> bool:
    """Whether two figures are one."""
    if before is None or after is None:
        return before is after
    return abs(after - before) <= EQUAL * max(abs(before), abs(after))


class View:
    """The two sides as setups of one tool, with quantities on demand."""

    def __init__(self, old: Mapping[str, Value], new: Mapping[str, Value], tool: int = 0) -> None:
        self.old, self.new, self.tool = Setup(old, tool), Setup(new, tool), tool

    @property
    def mass_unit(self) -> str:
        """The unit in which plastic is told: g, or cm3 unless both sides state the density."""
        both = all(side.get("feedstock.density") is not None for side in (self.old, self.new))
        return "g" if both else "cm3"

    def one(self, setup: Setup, quantity: str, feature: str | None = None) -> float | None:
        """A quantity of one side; None where it cannot be computed."""
        try:
            found = QUANTITIES[quantity](setup, feature)
        except (Missing, OutOfRange, ArithmeticError):
            return None
        return found if isfinite(found) else None

    def both(self, quantity: str, feature: str | None = None) -> tuple[float, float] | None:
        """A quantity before and after; None unless both can be computed."""
        before = self.one(self.old, quantity, feature)
        after = self.one(self.new, quantity, feature) if before is not None else None
        return None if before is None or after is None else (before, after)

    def numbers(self, setting: str) -> tuple[float, float] | None:
        """A setting's resolved number before and after; None unless both are finite numbers."""
        found = []
        if setting not in SETTINGS:  # not every feature has every setting
            return None
        for side in (self.old, self.new):
            try:
                found.append(side.number(setting))
            except Missing:
                return None
        return (found[0], found[1]) if isfinite(found[0]) and isfinite(found[1]) else None


def figures(view: View, everything: bool = False, brief: bool = False) -> list[Figure]:
    """All quantities that can be computed for at least one side, of the features that one of them lays; unchanged ones
    only with `everything`, and then of all features. With `brief` only the MAIN ones.
    """
    if everything:
        return list(_figures(view, FEATURES, QUANTITIES))
    if brief:
        return [one for one in _figures(view, (), MAIN) if one.moved]
    printed = {*laid(view.old), *laid(view.new)}
    features = tuple(one for one in FEATURES if one in printed)
    return [one for one in _figures(view, features, QUANTITIES) if one.moved]


def _figures(view: View, features: tuple[str, ...], names: Iterable[str]) -> Iterator[Figure]:
    for row in (QUANTITIES[name] for name in names):
        chosen: tuple[str | None, ...] = (*features, *ALSO.get(row.name, ())) if row.per_feature else (None,)
        for feature in chosen:
            before, after = view.one(view.old, row.name, feature), view.one(view.new, row.name, feature)
            if before is not None or after is not None:
                yield Figure(row.name, feature, before, after, row.unit, view.tool + 1)
