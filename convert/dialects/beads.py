"""Counts and thicknesses of shells: the one is derived where a dialect states only the other.

How a stack of walls adds up depends on the dialect's bead model, which its table declares: beads that touch (each as
wide as stated) or beads with rounded sides that are pushed into each other (spacing = width - height (1 - pi/4);
elementary geometry of a bead with semicircular ends).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import NamedTuple

from convert.dialects.table import Table
from convert.model.resolve import effective
from convert.model.setting import SETTINGS
from convert.model.value import Value

ROUND_SIDE = 1 - Fraction("3.14159265358979323846") / 4

TWINS = {
    "wall.count": "wall.thickness",
    "wall.thickness": "wall.count",
    "cover.upper_layers": "cover.upper_thickness",
    "cover.upper_thickness": "cover.upper_layers",
    "cover.lower_layers": "cover.lower_thickness",
    "cover.lower_thickness": "cover.lower_layers",
}
"""Two ways to say how thick a shell is."""


class Made(NamedTuple):
    """A derived value and the settings it was derived from, in words."""

    value: Value
    sources: str


def read_counts(settings: Mapping[str, Value], table: Table) -> dict[str, Made]:
    """The counts that the dialect makes of thicknesses it states: only the dialect itself knows how it counts."""
    made = {}
    for name, twin in TWINS.items():
        if name.endswith("thickness") and name in settings and twin not in settings:
            found = derive(name, twin, settings, table.beads)
            if found is not None:
                made[twin] = found
    return made


def fill(
    wanted: Mapping[str, Value],
    context: Mapping[str, Value],
    table: Table,
    scopes: tuple[str, ...],
    derived: Collection[str] = (),
) -> dict[str, Made]:
    """The twins that the dialect can say, of values that it cannot. `derived` counts came from their twins
    themselves.
    """
    made = {}
    for name, twin in TWINS.items():
        if name in wanted and name not in table.by_setting and twin in table.by_setting:
            if SETTINGS[twin].scope not in scopes or (name in derived and twin in wanted):
                continue
            found = derive(name, twin, {**context, **wanted}, table.beads)
            if found is None:
                continue
            # Where count and least thickness are both stated, the one that asks for more layers rules.
            if twin not in wanted or (
                name.startswith("cover.") and _asks_more(name, twin, {**context, **wanted}, table)
            ):
                made[twin] = found
    return made


def _asks_more(name: str, twin: str, values: Mapping[str, Value], table: Table) -> bool:
    """Whether the cover that `name` asks for has more layers than the one that `twin` asks for."""
    layers: dict[str, Value | None] = {}
    for one in (name, twin):
        if one.endswith("_layers"):
            layers[one] = values[one]
        else:
            counted = derive(one, TWINS[one], values, table.beads)
            layers[one] = counted.value if counted is not None else None
    first, second = layers[name], layers[twin]
    return isinstance(first, Fraction) and isinstance(second, Fraction) and first > second


def recount(
    wanted: Mapping[str, Value], context: Mapping[str, Value], table: Table, derived: Collection[str]
) -> dict[str, Made]:
    """Thicknesses that this dialect would count otherwise than the source did: others, so that the count stays."""
    made = {}
    for name in derived:
        twin = TWINS[name]
        if not table.beads or name in table.by_setting or twin not in table.by_setting or twin not in wanted:
            continue
        values = {**context, **wanted}
        counted = derive(twin, name, values, table.beads)
        if counted is not None and counted.value != wanted.get(name):
            found = derive(name, twin, values, table.beads)
            if found is not None:
                made[twin] = Made(found.value, f"{found.sources}, so that the count stays {wanted[name]}")
    return made


def derive(name: str, twin: str, values: Mapping[str, Value], model: Mapping[str, str]) -> Made | None:
    """The twin's value, or None where an input is missing."""
    stated = values[name]
    if not isinstance(stated, Fraction):
        return None
    if name.startswith("wall."):
        outer, inner = _number(values, "width.outer_wall"), _number(values, "width.inner_wall")
        height = _number(values, "layer.height")
        if outer is None or inner is None or height is None:
            return None
        step = inner - (height * ROUND_SIDE if model.get("spacing") == "rounded" else 0)
        sources = f"{name}, bead widths" + (" and layer.height" if model.get("spacing") == "rounded" else "")
        if name == "wall.count":
            return Made(thickness(int(stated), outer, step, model.get("count", "nearest")), sources)
        return Made(Fraction(count(stated, outer, step, model.get("count", "nearest"))), sources)
    height = _number(values, "layer.height")
    if height is None or not height:
        return None
    first = _number(values, "layer.first") if "lower" in name else None
    first = height if first is None else first
    if name.endswith("_layers"):
        total = first + (stated - 1) * height if stated else Fraction(0)
        return Made(total, f"{name} and layer heights")
    layers = 0 if stated <= 0 else 1 + max(0, -((first - stated) // height) if stated > first else 0)
    return Made(Fraction(layers), f"{name} and layer heights")


def thickness(walls: int, outer: Fraction, step: Fraction, rounding: str) -> Fraction:
    """A thickness that this dialect counts as so many walls: to 0.01 mm, and up where it counts down.

    >>> float(thickness(3, Fraction("0.45"), Fraction("0.45") - Fraction("0.2") * ROUND_SIDE, "down"))
    1.27
    """
    if walls <= 0:
        return Fraction(0)
    exact = outer + (walls - 1) * step
    hundredths = exact * 100
    if rounding == "down":
        return Fraction(-(-hundredths // 1), 100)
    if rounding == "up":
        return Fraction(hundredths // 1, 100)
    return Fraction(round(hundredths), 100)


def count(total: Fraction, outer: Fraction, step: Fraction, rounding: str) -> int:
    """How many walls a thickness holds.

    >>> [count(Fraction("1.2"), Fraction("0.45"), Fraction("0.4071"), how) for how in ("down", "nearest", "up")]
    [2, 3, 3]
    """
    if total <= 0 or step <= 0:
        return 0
    walls = 1 + (total - outer) / step
    whole = walls // 1
    if rounding == "up":
        whole = -(-walls // 1)
    elif rounding == "nearest":
        whole = round(walls)
    return max(1, int(whole))


def _number(values: Mapping[str, Value], name: str) -> Fraction | None:
    value = effective(values, name)
    if isinstance(value, tuple):
        value = value[0]
    return value if isinstance(value, Fraction) else None
