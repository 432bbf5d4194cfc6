"""Areas and arcs against shapely and against plain trigonometry."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, radians, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from convert.program.geometry import Area, arc_points, area, centre_from_radius, distance, excess, inside, passes

NUMBERS = st.integers(-50, 50).map(float)
POINTS = st.tuples(NUMBERS, NUMBERS)


@st.composite
def stars(draw: st.DrawFn) -> tuple[tuple[float, float], ...]:
    """Polygons that do not cross themselves, concave ones too: corners at rising angles."""
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.integers(5, 60), min_size=count, max_size=count))
    return tuple(
        (radius * cos(2 * pi * index / count), radius * sin(2 * pi * index / count))
        for index, radius in enumerate(radii)
    )


@given(stars(), POINTS)
def test_points_against_shapely(polygon: tuple[tuple[float, float], ...], point: tuple[float, float]) -> None:
    shape, place = Polygon(polygon), Point(point)
    assert distance(polygon, *point) == pytest.approx(shape.exterior.distance(place), abs=1e-9)
    assume(shape.exterior.distance(place) > 1e-6)
    assert inside(polygon, *point) == shape.contains(place)
    assert excess(Area(outline=polygon), *point) == pytest.approx(shape.distance(place), abs=1e-6)


@given(stars(), POINTS, POINTS)
def test_paths_against_shapely(
    polygon: tuple[tuple[float, float], ...], start: tuple[float, float], end: tuple[float, float]
) -> None:
    assume(start != end)
    shape, line = Polygon(polygon), LineString([start, end])
    within = shape.intersection(line).length
    # Pieces near the length of rounding may be judged either way.
    assume(within > 1e-2 or within == 0)
    assume(line.length - within > 1e-2 or line.length - within < 1e-9)
    deep = shape.buffer(-1e-3).intersection(line).length
    if deep > 1e-2:
        assert passes(polygon, start, end, within=True) is not None
    if within == 0:
        assert passes(polygon, start, end, within=True) is None
    if line.difference(shape.buffer(1e-3)).length > 1e-2:
        assert passes(polygon, start, end, within=False) is not None
    if line.length - within < 1e-9:
        assert passes(polygon, start, end, within=False) is None


@given(POINTS, st.integers(1, 40), st.integers(0, 359), st.integers(1, 360), st.booleans())
def test_arcs_reach_their_extremes(
    centre: tuple[float, float], radius: int, first: int, sweep: int, clockwise: bool
) -> None:
    turn = -1 if clockwise else 1

    def at(degrees: float) -> tuple[float, float]:
        angle = radians(first + turn * degrees)
        return centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)

    fine = [at(sweep * step / 720) for step in range(721)]
    points = [at(0), *arc_points(at(0), at(sweep), centre, clockwise)]
    for axis in (0, 1):
        assert min(p[axis] for p in points) == pytest.approx(min(p[axis] for p in fine), abs=radius * 1e-4)
        assert max(p[axis] for p in points) == pytest.approx(max(p[axis] for p in fine), abs=radius * 1e-4)
    for x, y in points:
        assert hypot(x - centre[0], y - centre[1]) == pytest.approx(radius)
    chords = LineString(points)
    assert chords.length == pytest.approx(radius * radians(sweep), rel=2e-2)


@given(POINTS, POINTS, st.integers(1, 80), st.booleans(), st.booleans())
def test_radius_form(
    start: tuple[float, float], end: tuple[float, float], size: int, clockwise: bool, beyond: bool
) -> None:
    chord = hypot(end[0] - start[0], end[1] - start[1])
    centre = centre_from_radius(start, end, -size if beyond else size, clockwise)
    if not chord or chord > 2 * size:
        assert centre is None or chord <= 2 * size * (1 + 1e-6)
        return
    assert centre is not None
    for place in (start, end):
        assert hypot(place[0] - centre[0], place[1] - centre[1]) == pytest.approx(size, abs=1e-6)
    if chord < 2 * size * 0.999:
        turned = atan2(end[1] - centre[1], end[0] - centre[0]) - atan2(start[1] - centre[1], start[0] - centre[0])
        sweep = (-turned if clockwise else turned) % (2 * pi)
        assert (sweep > pi) == beyond


def test_areas_from_settings() -> None:
    assert area({}).plain
    assert area({"envelope.x": 200, "envelope.y": 100, "envelope.z": 90}) == Area((0, 200), (0, 100), 90)
    round_one = area({"envelope.x": 100, "envelope.y": 100, "envelope.shape": "round"})
    assert excess(round_one, 50, 0) == 0
    assert excess(round_one, 100, 100) == pytest.approx(50 * 2**0.5 - 50)
    assert excess(round_one, 200, 50) == pytest.approx(100)
    assert area({"envelope.outline": [[0, 0], [1, 0]]}).outline == ()
    assert area({"envelope.outline": "0/0 1/1"}).outline == ()
    corner = ((0.0, 0.0), (4.0, 0.0), (0.0, 4.0))
    assert area({"envelope.excluded": [[[0, 0], [4, 0], [0, 4]]]}).excluded == (corner,)
    assert area({"envelope.excluded": [[0, 0], [4, 0], [0, 4]]}).excluded == (corner,)
    assert area({"envelope.outline": [[0, 0], [4, 0], [0, 4]]}).x == (0, 4)


def test_huge_numbers_do_no_harm() -> None:
    assert arc_points((0, 0), (1e308, 0), (1e308, 1e308), True)[-1] == (1e308, 0)
    assert arc_points((0, 0), (1e307, 0), (5e306, 0), True)[-1] == (1e307, 0)
    assert excess(Area((0, 1), (0, 1)), 1e308, 1e308) > 1e308
