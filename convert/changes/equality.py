"""When two values of a setting are one value.

Numbers are one number if they agree to 15 digits, if the one is the other after rounding to single precision (many
programs compute in it), or if they are closer than any machine tells apart (TOLERANCES). Outlines are one outline
wherever they start and whichever way they run.

>>> from fractions import Fraction
>>> same_resolved("layer.height", Fraction("0.2"), Fraction("0.20000000298"))
True
>>> same_resolved("layer.height", Fraction("0.2"), Fraction("0.201"))
False
>>> same_resolved("fan.max", Fraction(40), Fraction("40.1"))
True
"""

from __future__ import annotations

from fractions import Fraction

from convert.model.setting import SETTINGS
from convert.model.value import Value

SINGLE = 2**23
"""One part of so many: two roundings to the 24 bits of a single-precision number (IEEE 754)."""

TOLERANCES = {
    "fan.": Fraction(1, 5),  # %: a fan is switched in 255 steps of 0.39 %, so half a step is never heard of
    "heat.": Fraction(1, 100),  # K: sensors and controllers work in tenths
    "speed.": Fraction(1, 1000),  # mm/s: 0.06 mm/min, below what a feed word says
    "acceleration.": Fraction(1, 10),  # mm/s2: controllers keep whole numbers
}
"""Start of an id -> difference in the schema's unit that no machine tells apart."""


def tolerance(name: str) -> Fraction:
    """The difference below which two values of a setting are one, in its unit; 0 where only rounding is forgiven."""
    return TOLERANCES.get(name[: name.find(".") + 1], Fraction(0)) if name != "speed.flow_cap" else Fraction(0)


def same_resolved(name: str, one: Value, two: Value) -> bool:
    """Whether two resolved values of a setting are one value. A list of equal values is that value."""
    if SETTINGS[name].kind == "outline":
        return same_outline(one, two)
    if isinstance(one, tuple) or isinstance(two, tuple):
        first, second = _listed(one), _listed(two)
        if len(first) != len(second):
            if len(first) > 1 and len(second) > 1:
                return False
            longer, single = (first, second[0]) if len(first) > 1 else (second, first[0])
            return all(same_resolved(name, item, single) for item in longer)
        return all(same_resolved(name, a, b) for a, b in zip(first, second, strict=True))
    if isinstance(one, Fraction) and isinstance(two, Fraction):
        return _same_numbers(name, one, two)
    return type(one) is type(two) and one == two


def _listed(value: Value) -> tuple[Value, ...]:
    return value if isinstance(value, tuple) and value else (value,)


def _same_numbers(name: str, one: Fraction, two: Fraction) -> bool:
    shared = one.denominator * two.denominator
    first, second = one.numerator * two.denominator, two.numerator * one.denominator
    apart = abs(first - second)
    if apart * SINGLE <= max(abs(first), abs(second)):
        return True
    least = tolerance(name)
    return apart * least.denominator <= least.numerator * shared


def same_outline(one: Value, two: Value) -> bool:
    """Whether two outlines, or lists of them, enclose the same area.

    >>> square = ((0, 0), (9, 0), (9, 9), (0, 9))
    >>> a = tuple((Fraction(x), Fraction(y)) for x, y in square)
    >>> same_outline(a, a[2:] + a[:2]), same_outline(a, a[::-1] + a[-1:]), same_outline(a, a[:3])
    (True, True, False)
    """
    return sorted(_rings(one)) == sorted(_rings(two))


Point = tuple[int, int]


def _rings(value: Value) -> list[tuple[Point, ...]]:
    """Each outline from its least point, counter-clockwise, in hundredths of a micrometre; corners only."""
    if not isinstance(value, tuple) or not value:
        return []
    several = isinstance(value[0], tuple) and bool(value[0]) and isinstance(value[0][0], tuple)
    return [_ring(ring) for ring in (value if several else (value,)) if isinstance(ring, tuple)]


def _ring(points: tuple[Value, ...]) -> tuple[Point, ...]:
    found: list[Point] = []
    for point in points:
        if isinstance(point, tuple) and len(point) == 2:
            x, y = (round(number * 100_000) if isinstance(number, Fraction) else 0 for number in point)
            if not found or found[-1] != (x, y):
                found.append((x, y))
    if len(found) > 1 and found[0] == found[-1]:
        found.pop()
    corners = [
        here
        for before, here, after in zip(found[-1:] + found[:-1], found, found[1:] + found[:1], strict=True)
        if _turn(before, here, after)
    ] or found
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    if area < 0:
        corners.reverse()
    start = corners.index(min(corners)) if corners else 0
    return tuple(corners[start:] + corners[:start])


def _turn(a: Point, b: Point, c: Point) -> int:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
