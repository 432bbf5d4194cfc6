"""Where the nozzle may go: the build area in plan, areas that must stay free, and the shape of arcs. All lengths in mm.

Pure functions on plain numbers. A path is judged piece by piece: it is cut where it meets the edges of a polygon, and
the middle of each piece decides for the piece, so concave outlines and paths through corners are judged exactly.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, cos, hypot, inf, isfinite, pi, sin, sqrt

Point = tuple[float, float]
Polygon = tuple[Point, ...]
SLACK = 1e-6  # mm; rounding, not play


@dataclass(frozen=True, slots=True)
class Area:
    """The build area in machine coordinates; infinite where a size is not known."""

    x: Point = (-inf, inf)
    y: Point = (-inf, inf)
    height: float = inf
    round: bool = False
    outline: Polygon = ()
    excluded: tuple[Polygon, ...] = ()

    @property
    def plain(self) -> bool:
        """Whether the four sides say everything."""
        return not (self.round or self.outline or self.excluded)


def area(values: Mapping[str, object]) -> Area:
    """The area that the settings `envelope.*` describe.

    >>> area({"envelope.x": 200, "envelope.y": 180, "envelope.origin": "centre"}).y
    (-90.0, 90.0)
    """
    centre = values.get("envelope.origin") == "centre"
    sides = []
    for name in ("envelope.x", "envelope.y"):
        size = _number(values.get(name))
        sides.append((-inf, inf) if size is None else (-size / 2, size / 2) if centre else (0.0, size))
    height = _number(values.get("envelope.z"))
    shape = values.get("envelope.shape")
    outline = _polygon(values.get("envelope.outline")) if shape in (None, "outline") else ()
    if outline:
        sides = [(min(p[axis] for p in outline), max(p[axis] for p in outline)) for axis in (0, 1)]
    finite = all(abs(end) < inf for side in sides for end in side)
    return Area(
        sides[0],
        sides[1],
        inf if height is None else height,
        shape == "round" and finite,
        outline,
        _polygons(values.get("envelope.excluded")),
    )


def excess(area: Area, x: float, y: float) -> float:
    """How far outside the area a point lies, in mm; 0 inside and on the edge.

    >>> excess(Area((0, 200), (0, 200)), 203, 204)
    5.0
    """
    beyond = hypot(max(area.x[0] - x, 0.0, x - area.x[1]), max(area.y[0] - y, 0.0, y - area.y[1]))
    if area.round:
        # Scaled to a circle: exact for round areas, a close lower bound for oval ones.
        rx, ry = (area.x[1] - area.x[0]) / 2, (area.y[1] - area.y[0]) / 2
        out = hypot((x - (area.x[0] + area.x[1]) / 2) / rx, (y - (area.y[0] + area.y[1]) / 2) / ry) - 1
        beyond = max(beyond, out * min(rx, ry))
    if area.outline and not inside(area.outline, x, y):
        beyond = max(beyond, distance(area.outline, x, y))
    return beyond if beyond > SLACK else 0.0


def inside(polygon: Polygon, x: float, y: float) -> bool:
    """Whether a point lies in a polygon (even-odd rule); on the edge either may come out.

    >>> inside(((0, 0), (4, 0), (0, 4)), 1, 1), inside(((0, 0), (4, 0), (0, 4)), 3, 3)
    (True, False)
    """
    odd = False
    ax, ay = polygon[-1]
    for bx, by in polygon:
        if (ay > y) != (by > y) and x < (bx - ax) * (y - ay) / (by - ay) + ax:
            odd = not odd
        ax, ay = bx, by
    return odd


def distance(polygon: Polygon, x: float, y: float) -> float:
    """Distance from a point to the nearest edge of a polygon."""
    nearest = inf
    ax, ay = polygon[-1]
    for bx, by in polygon:
        dx, dy = bx - ax, by - ay
        length = dx * dx + dy * dy
        along = max(0.0, min(1.0, ((x - ax) * dx + (y - ay) * dy) / length)) if length else 0.0
        nearest = min(nearest, hypot(x - ax - along * dx, y - ay - along * dy))
        ax, ay = bx, by
    return nearest


def passes(polygon: Polygon, start: Point, end: Point, within: bool) -> Point | None:
    """A point of the straight path that lies inside (`within`) or outside the polygon by more than rounding, or None.

    >>> square = ((0, 0), (10, 0), (10, 10), (0, 10))
    >>> passes(square, (-5, 5), (15, 5), within=True), passes(square, (-5, -1), (15, -1), within=True)
    ((5.0, 5.0), None)
    """
    (px, py), (qx, qy) = start, end
    dx, dy = qx - px, qy - py
    cuts = [0.0, 1.0]
    ax, ay = polygon[-1]
    for bx, by in polygon:
        ex, ey = bx - ax, by - ay
        cross = dx * ey - dy * ex
        if cross:
            at = ((ax - px) * ey - (ay - py) * ex) / cross
            along = ((ax - px) * dy - (ay - py) * dx) / cross
            if 0.0 < at < 1.0 and -1e-9 <= along <= 1.0 + 1e-9:
                cuts.append(at)
        ax, ay = bx, by
    cuts.sort()
    for one, two in pairwise(cuts):
        middle = (one + two) / 2
        x, y = px + middle * dx, py + middle * dy
        if inside(polygon, x, y) == within and distance(polygon, x, y) > SLACK:
            return x, y
    return None


def centre_from_radius(start: Point, end: Point, radius: float, clockwise: bool) -> Point | None:
    """Centre of an arc given by its radius (NISTIR 6556, 3.5.3.1): up to 180 degrees if positive, beyond if negative.

    None if the ends coincide or lie farther apart than the diameter.

    >>> centre_from_radius((0, 0), (2, 0), 1, True)
    (1.0, 0.0)
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    chord = hypot(dx, dy)
    rise = radius * radius - chord * chord / 4
    if not chord or rise < -1e-6 * radius * radius:
        return None
    away = sqrt(max(rise, 0.0)) / chord
    if (radius > 0) == clockwise:
        away = -away
    return start[0] + dx / 2 - away * dy, start[1] + dy / 2 + away * dx


def arc_points(start: Point, end: Point, centre: Point, clockwise: bool) -> list[Point]:
    """Points along an arc: its extreme points in u and v exactly, chords within 0.02 mm between, and the end.

    Equal ends make a full circle (centre form).

    >>> [(round(u, 6), round(v, 6)) for u, v in arc_points((1, 0), (-1, 0), (0, 0), False) if v > 0.999999]
    [(-0.0, 1.0)]
    """
    cu, cv = centre
    radius = hypot(start[0] - cu, start[1] - cv)
    if not isfinite(radius):
        return [end]
    first = atan2(start[1] - cv, start[0] - cu)
    last = atan2(end[1] - cv, end[0] - cu)
    sweep = (first - last if clockwise else last - first) % (2 * pi)
    if sweep < 1e-9 or (hypot(end[0] - start[0], end[1] - start[1]) < 1e-9):
        sweep = 2 * pi
    chords = max(1, ceil(min(180.0, sweep / 2 * sqrt(radius / (2 * 0.02))))) if radius else 1
    turn = -1.0 if clockwise else 1.0
    angles = [sweep * step / chords for step in range(1, chords)]
    for quarter in range(4):
        angle = (turn * (quarter * pi / 2 - first)) % (2 * pi)
        if angle < sweep:
            angles.append(angle)
    angles = sorted({round(angle, 12) for angle in angles})
    points = [(cu + radius * cos(first + turn * angle), cv + radius * sin(first + turn * angle)) for angle in angles]
    return [*points, end]


def _number(value: object) -> float | None:
    if isinstance(value, bool) or value is None or isinstance(value, str | list | tuple):
        return None
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        return None
    return number if abs(number) < inf else None


def _polygon(value: object) -> Polygon:
    """A list of points; () if it is none or has fewer than three corners."""
    points: list[Point] = []
    if not isinstance(value, Sequence) or isinstance(value, str):
        return ()
    for corner in value:
        if not isinstance(corner, Sequence) or isinstance(corner, str) or len(corner) != 2:
            return ()
        x, y = _number(corner[0]), _number(corner[1])
        if x is None or y is None:
            return ()
        points.append((x, y))
    return tuple(points) if len(points) > 2 else ()


def _polygons(value: object) -> tuple[Polygon, ...]:
    """A polygon or a list of polygons."""
    one = _polygon(value)
    if one:
        return (one,)
    if isinstance(value, Sequence) and not isinstance(value, str):
        return tuple(polygon for polygon in map(_polygon, value) if polygon)
    return ()
