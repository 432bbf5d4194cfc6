"""Time along the paths that a layer is made of; each starts and ends at rest and takes its corners at one speed."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from convert.physics import not_negative, positive

_EXACT_LINES = 4
"""So many lines are planned move by move; each one more adds what a line amid many takes."""


def path_time(lengths: Sequence[float], speed: float, acceleration: float, corner_speed: float) -> float:
    """Time in s of a chain of straight moves (mm), rest to rest, corners at corner_speed (mm/s) or what can be reached.

    speed: mm/s, above 0; acceleration: mm/s2, above 0. Derived: `line_time` of each move, with speeds at the corners
    limited by a pass forward (what was gained so far) and one backward (what can still be shed).

    >>> round(path_time([40], 150, 3000, 12), 4), round(path_time([40, 40], 150, 3000, 12), 4)
    (0.3167, 0.6257)
    """
    double = 2 * acceleration
    start, starts = 0.0, []
    for length in lengths:
        starts.append(start)
        start = min(corner_speed, sqrt(start * start + double * length))
    total = end = 0.0
    for i in range(len(lengths) - 1, -1, -1):
        length, start = lengths[i], starts[i]
        ends = end * end
        if start * start > ends + double * length:
            start = sqrt(ends + double * length)
        both = ends + start * start
        peak = sqrt(acceleration * length + both / 2)
        if peak > speed:
            total += (length - (2 * speed * speed - both) / double) / speed
            peak = speed
        total += (2 * peak - start - end) / acceleration
        end = start
    return total


def loop_time(side: float, other_side: float, speed: float, acceleration: float, corner_speed: float) -> float:
    """Time in s of one closed rectangular wall: rest, three corners at corner speed, rest.

    side, other_side: mm, of the path's centre line; speed, corner_speed: mm/s; acceleration: mm/s2. Derived:
    `path_time`.

    >>> round(loop_time(59.55, 39.55, 60, 2000, 10), 3), round(loop_time(59.55, 39.55, 60, 2000, 60), 3)
    (3.396, 3.333)
    """
    positive(speed=speed, acceleration=acceleration)
    not_negative(side=side, other_side=other_side, corner_speed=corner_speed)
    return path_time((side, other_side, side, other_side), speed, acceleration, min(speed, corner_speed))


def fill_time(
    line_length: float, line_spacing: float, count: float, speed: float, acceleration: float, corner_speed: float
) -> float:
    """Time in s of parallel lines joined at their ends by links as long as the spacing, all corners right angles.

    line_length, line_spacing: mm; count: lines, also a fraction (a mean over layers whose lines lie differently);
    speed, corner_speed: mm/s; acceleration: mm/s2. Derived: `path_time`; the time between whole counts is linear.

    >>> round(fill_time(40, 0.4, 1, 100, 2000, 10), 3), round(fill_time(40, 0.4, 90.5, 100, 2000, 10), 2)
    (0.45, 41.66)
    """
    positive(speed=speed, acceleration=acceleration)
    not_negative(line_length=line_length, line_spacing=line_spacing, count=count, corner_speed=corner_speed)
    return lines_time(line_length, line_spacing, count, speed, acceleration, min(speed, corner_speed))


def lines_time(
    length: float, spacing: float, count: float, speed: float, acceleration: float, corner_speed: float
) -> float:
    """`fill_time` without its checks."""
    whole = int(count)
    if whole >= _EXACT_LINES:
        few = path_time((length, spacing) * (_EXACT_LINES - 1) + (length,), speed, acceleration, corner_speed)
        one = _amid(length, speed, acceleration, corner_speed) + _amid(spacing, speed, acceleration, corner_speed)
        return few + (count - _EXACT_LINES) * one
    more = path_time((length, spacing) * whole + (length,), speed, acceleration, corner_speed)
    less = path_time((length, spacing) * (whole - 1) + (length,), speed, acceleration, corner_speed) if whole else 0.0
    return less + (count - whole) * (more - less)


def _amid(length: float, speed: float, acceleration: float, corner_speed: float) -> float:
    """A move between two corners, both taken at corner speed."""
    if acceleration * length >= speed * speed - corner_speed * corner_speed:
        return length / speed + (speed - corner_speed) ** 2 / (acceleration * speed)
    return 2 * (sqrt(corner_speed * corner_speed + acceleration * length) - corner_speed) / acceleration
