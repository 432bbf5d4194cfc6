"""The build area in plan: its corners as plain numbers, its box, and what lies in it."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from convert.model.phrase import is_points
from convert.model.value import Value
from convert.rules.setup import Missing, Setup

Point = tuple[float, float]
Ring = list[Point]
MOST_POINTS = 500
"""Outlines of build areas have few corners; crossings are looked for pair by pair."""


def _ring(points: Value) -> Ring:
    pairs: Iterable[tuple[Fraction, Fraction]] = points  # type: ignore[assignment]
    found = [(float(x), float(y)) for x, y in pairs]
    return found[:-1] if len(found) > 1 and found[0] == found[-1] else found


def outline(setup: Setup) -> Ring:
    """The corners of envelope.outline, not closed; empty where there is none."""
    value = setup.value("envelope.outline")
    return _ring(value) if value is not None and is_points(value) else []


def excluded(setup: Setup) -> list[Ring]:
    """The areas of envelope.excluded."""
    value = setup.value("envelope.excluded")
    if not isinstance(value, tuple) or not value:
        return []
    if is_points(value):
        return [_ring(value)]
    return [_ring(one) for one in value if is_points(one)]


def box(ring: Ring) -> tuple[float, float, float, float]:
    """Least and most x, least and most y.

    >>> box([(0.0, 0.0), (3.0, 1.0)])
    (0.0, 3.0, 0.0, 1.0)
    """
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return min(xs), max(xs), min(ys), max(ys)


def area(ring: Ring) -> float:
    """Area enclosed, mm2.

    >>> area([(0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)])
    6.0
    """
    turns = zip(ring, [*ring[1:], *ring[:1]], strict=True)
    return abs(sum(x * v - u * y for (x, y), (u, v) in turns)) / 2


def crosses_itself(ring: Ring) -> bool:
    """Whether two sides cross. Raises Missing for an outline of very many corners.

    >>> crosses_itself([(0, 0), (1, 1), (1, 0), (0, 1)]), crosses_itself([(0, 0), (1, 0), (1, 1)])
    (True, False)
    """
    if len(ring) > MOST_POINTS:
        raise Missing(f"an outline of at most {MOST_POINTS} corners")
    sides = list(zip(ring, [*ring[1:], *ring[:1]], strict=True))
    return any(_cross(*one, *other) for at, one in enumerate(sides) for other in sides[at + 2 :])


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Point, b: Point, c: Point) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (turn > 0) - (turn < 0)


def plan(setup: Setup) -> tuple[float, float, float, float]:
    """The box of the build area in machine coordinates. Raises Missing."""
    ring = outline(setup)
    if len(ring) > 2 and setup.text("envelope.shape") in ("outline", ""):
        return box(ring)
    x, y = setup.number("envelope.x"), setup.number("envelope.y")
    if setup.word("envelope.origin") == "centre":
        return -x / 2, x / 2, -y / 2, y / 2
    return 0.0, x, 0.0, y
