"""Physics against numerical oracles: scipy integrates the differential equations, shapely measures the areas."""

from __future__ import annotations

from math import atan2, cos, degrees, exp, hypot, pi, radians, sin, sqrt

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import erf, j1, jn_zeros
from shapely import LineString, Point, Polygon, box
from shapely.affinity import translate

from convert.physics import (
    bead,
    bonding,
    cooling,
    corner,
    heat,
    infill,
    motion,
    paths,
    pressure,
    retraction,
    ringing,
    shells,
    surface,
)

ROUND = 512  # segments of a quarter circle: areas to 1e-6


def stadium(width: float, height: float) -> Polygon:
    """Section of a bead whose centre is the origin."""
    half = (width - height) / 2
    if half == 0:
        return Point(0, 0).buffer(height / 2, quad_segs=ROUND)
    return LineString([(-half, 0), (half, 0)]).buffer(height / 2, quad_segs=ROUND)


beads = st.tuples(st.floats(0.05, 1.0), st.floats(1.0, 6.0)).map(lambda pair: (pair[0] * pair[1], pair[0]))
few = settings(max_examples=40, deadline=None)


# --- beads ---------------------------------------------------------------------------------------------------------


@few
@given(beads)
def test_bead_section_and_perimeter(size: tuple[float, float]) -> None:
    width, height = size
    shape = stadium(width, height)
    assert bead.section(width, height) == pytest.approx(shape.area, rel=1e-5)
    assert cooling.exposed_perimeter(width, height) == pytest.approx(shape.length - (width - height), rel=1e-5)


@few
@given(beads)
def test_touching_beads_leave_the_void(size: tuple[float, float]) -> None:
    width, height = size
    pitch = bead.spacing(width, height, overlap=0)
    pair = stadium(width, height).union(translate(stadium(width, height), pitch))
    window = box(0, -height / 2, pitch, height / 2)  # one pitch, centre to centre
    void = window.difference(pair).area
    assert bead.void_area(height, 0) == pytest.approx(void, rel=1e-4)
    assert bead.void_share(width, height, 0) == pytest.approx(void / window.area, rel=1e-4)


@few
@given(beads, st.floats(0, 1))
def test_laid_plastic_fills_what_is_not_void(size: tuple[float, float], overlap: float) -> None:
    width, height = size
    pitch = bead.spacing(width, height, overlap)
    laid = stadium(width, height).area / (pitch * height)
    assert laid == pytest.approx(1 - bead.void_share(width, height, overlap), rel=1e-4)


@few
@given(beads, st.integers(1, 8))
def test_wall_stack_of_touching_beads(size: tuple[float, float], count: int) -> None:
    width, height = size
    pitch = shells.wall_stack(width, width, height, 2, 0) - shells.wall_stack(width, width, height, 1, 0)
    shape = Polygon()
    for number in range(count):
        shape = shape.union(translate(stadium(width, height), number * pitch))
    left, _, right, _ = shape.bounds
    assert shells.wall_stack(width, width, height, count, 0) == pytest.approx(right - left, rel=1e-9)


def test_full_walls_hold_the_plastic_of_their_beads() -> None:
    # a ring of n walls, each path laid with its own section, against the ring's volume less its two rounded edges
    x, y, width, height, count = 60.0, 40.0, 0.45, 0.2, 4
    thickness = shells.wall_stack(width, width, height, count)
    pitch = bead.spacing(width, height)
    laid = 0.0
    for number in range(count):
        inset = width / 2 + number * pitch
        laid += box(inset, inset, x - inset, y - inset).exterior.length * bead.section(width, height)
    ring = box(0, 0, x, y).difference(box(thickness, thickness, x - thickness, y - thickness))
    rounded = bead.ENDS * height**2 / 2 * (ring.exterior.length + ring.interiors[0].length)
    corners = 4 * count * width**2  # a bead that turns a corner laps itself
    assert laid == pytest.approx(ring.area * height - rounded, abs=corners * height)


@few
@given(beads, st.floats(0.05, 1), st.integers(1, 3))
def test_infill_lines_lay_their_share(size: tuple[float, float], fill: float, families: int) -> None:
    width, height = size
    pitch = infill.infill_spacing(width, height, fill, families)
    lines = [LineString([(0, (i + 0.5) * pitch), (100, (i + 0.5) * pitch)]) for i in range(20)]
    area = 20 * pitch * 100
    laid = families * sum(line.length for line in lines) * stadium(width, height).area
    assert laid / (area * height) == pytest.approx(fill, rel=1e-4)


@few
@given(st.floats(5, 85))
def test_slopes_by_their_outline(slope: float) -> None:
    height = 0.2
    rise, out = height, height * sin(radians(slope)) / cos(radians(slope))
    stair = Polygon([(0, 0), (out, 0), (out, rise)])  # what a step adds to the slope
    hypotenuse = LineString([(0, 0), (out, rise)])
    assert surface.step_tread(height, slope) == pytest.approx(out)
    assert surface.cusp_height(height, slope) == pytest.approx(hypotenuse.distance(Point(out, 0)))
    # Ra of a sawtooth is a quarter of its depth: mean distance of a ramp 0..d from its middle
    depth = 2 * stair.area / hypotenuse.length
    ra = quad(lambda u: abs(u * depth - depth / 2), 0, 1, points=[0.5])[0]
    assert surface.stair_roughness(height, slope) == pytest.approx(ra * 1000, rel=1e-6)


def test_ripple_of_half_circles() -> None:
    def profile(x: float) -> float:
        return sqrt(max(0.0, 1 - x * x))

    mean = quad(profile, -1, 1)[0] / 2
    cross = sqrt(1 - mean * mean)
    ra = quad(lambda x: abs(profile(x) - mean), -1, 1, points=[-cross, cross])[0] / 2
    rq = sqrt(quad(lambda x: (profile(x) - mean) ** 2, -1, 1)[0] / 2)
    assert surface.ripple_roughness(0.2) == pytest.approx(ra * 100, rel=1e-5)
    assert surface.ripple_rms(0.2) == pytest.approx(rq * 100, rel=1e-5)


# --- motion --------------------------------------------------------------------------------------------------------


def travel_time(length: float, speed: float, acceleration: float, start: float, end: float) -> float:
    """dt = dx/v under the highest speed that start, end and limit allow at x."""

    def slowness(u: float) -> float:
        x = length * (3 * u * u - 2 * u**3)  # flattens the poles of 1/v at an end at rest
        rate = min(speed, sqrt(start**2 + 2 * acceleration * x), sqrt(end**2 + 2 * acceleration * (length - x)))
        return length * 6 * u * (1 - u) / rate if rate else 0.0

    return float(quad(slowness, 0, 1, limit=400)[0])


@few
@given(st.floats(0.2, 200), st.floats(5, 600), st.floats(100, 20_000), st.floats(0, 1), st.floats(0, 1))
def test_line_time(length: float, speed: float, acceleration: float, first: float, last: float) -> None:
    reach = sqrt(2 * acceleration * length)
    start = min(speed, reach) * first
    end = min(speed, reach) * last
    if abs(end**2 - start**2) > 2 * acceleration * length:
        end = start
    truth = travel_time(length, speed, acceleration, start, end)
    assert motion.line_time(length, speed, acceleration, start, end) == pytest.approx(truth, rel=2e-3)


@few
@given(st.floats(1, 100), st.floats(100, 20_000), st.floats(100, 20_000))
def test_uneven_peak(length: float, up: float, down: float) -> None:
    peak = brentq(lambda v: v * v / (2 * up) + v * v / (2 * down) - length, 0, 1e5)
    assert motion.uneven_peak(length, up, down) == pytest.approx(peak, rel=1e-9)


@few
@given(st.floats(5, 500), st.floats(200, 20_000), st.floats(1e4, 1e6))
def test_smooth_ramp_by_integration(speed: float, acceleration: float, jerk: float) -> None:
    total = motion.smooth_time(speed, acceleration, jerk)
    peak = motion.smooth_peak_acceleration(speed, acceleration, jerk)
    rise = peak / jerk

    def push(t: float) -> float:
        return jerk * min(t, rise, total - t) if t < total else 0.0

    stops = [rise, total - rise]
    reached = quad(push, 0, total, points=stops)[0]
    # x = integral of v dt = integral of a (total - t) dt
    distance = quad(lambda t: push(t) * (total - t), 0, total, points=stops)[0]
    assert reached == pytest.approx(speed, rel=1e-6)
    assert motion.smooth_distance(speed, acceleration, jerk) == pytest.approx(distance, rel=1e-6)
    assert peak <= acceleration * (1 + 1e-12)


@few
@given(
    st.lists(st.floats(0.05, 80), min_size=1, max_size=12), st.floats(5, 400), st.floats(100, 9000), st.floats(0, 60)
)
def test_chains_of_lines_by_the_slowest_bound(
    lengths: list[float], speed: float, acceleration: float, at_corner: float
) -> None:
    # the highest speed at any place is the least of what every corner, however far, lets through
    nodes = [0.0]
    for length in lengths:
        nodes.append(nodes[-1] + length)
    caps = [0.0, *[min(speed, at_corner)] * (len(lengths) - 1), 0.0]
    places = set(nodes)  # and wherever two of the bounds cross, so that v^2 is straight in between
    for node, cap in zip(nodes, caps, strict=True):
        ramp = (speed**2 - cap**2) / (2 * acceleration)
        places |= {node - ramp, node + ramp}
        for other, limit in zip(nodes, caps, strict=True):
            places.add((node + other) / 2 + (limit**2 - cap**2) / (4 * acceleration))
    grid = numpy.array(sorted(place for place in places if 0 <= place <= nodes[-1]))
    square = numpy.full(grid.shape, speed**2)
    for node, cap in zip(nodes, caps, strict=True):
        square = numpy.minimum(square, cap**2 + 2 * acceleration * numpy.abs(grid - node))
    rates = numpy.sqrt(square)
    steps = numpy.diff(grid)
    truth = float(numpy.sum(2 * steps[steps > 0] / (rates[:-1] + rates[1:])[steps > 0]))
    assert paths.path_time(lengths, speed, acceleration, min(speed, at_corner)) == pytest.approx(truth, rel=1e-6)


@few
@given(st.floats(10, 170), st.floats(0.001, 0.1))
def test_corner_arc_passes_at_the_deviation(angle: float, deviation: float) -> None:
    half = radians(angle) / 2
    radius = corner.deviation_speed(1000, deviation, angle) ** 2 / 1000
    centre = Point(radius / sin(half), 0)  # on the bisector of two lines from the origin
    arm = LineString([(0, 0), (1e3 * cos(half), 1e3 * sin(half))])
    assert centre.distance(arm) == pytest.approx(radius, rel=1e-9)
    assert centre.distance(Point(0, 0)) - radius == pytest.approx(deviation, rel=1e-6)
    assert corner.corner_deviation(sqrt(1000 * radius), 1000, angle) == pytest.approx(deviation, rel=1e-9)


@few
@given(st.floats(0, 360), st.floats(5, 170), st.floats(1, 30), st.floats(1, 30))
def test_corner_jumps_by_their_vectors(heading: float, turn: float, jump_x: float, jump_y: float) -> None:
    before = (cos(radians(heading)), sin(radians(heading)))
    after = (cos(radians(heading + turn)), sin(radians(heading + turn)))
    change = (after[0] - before[0], after[1] - before[1])
    assert corner.jump_speed(jump_x, 180 - turn) * hypot(*change) == pytest.approx(jump_x, rel=1e-9)
    speed = corner.axis_jump_speed(jump_x, jump_y, heading, heading + turn)
    assert max(abs(change[0]) * speed / jump_x, abs(change[1]) * speed / jump_y) == pytest.approx(1, rel=1e-6)


@few
@given(st.integers(3, 90), st.floats(1, 100))
def test_chords_of_a_circle(chords: int, radius: float) -> None:
    points = [(radius * cos(2 * pi * i / chords), radius * sin(2 * pi * i / chords)) for i in range(chords)]
    first, second = points[0], points[1]
    assert corner.chord(radius, chords) == pytest.approx(Point(first).distance(Point(second)))
    assert corner.chord_error(radius, chords) == pytest.approx(
        radius - Polygon(points).exterior.distance(Point(0, 0)), abs=1e-9
    )
    turn = degrees(atan2(second[1] - first[1], second[0] - first[0])) - 90
    assert 180 - 360 / chords == pytest.approx(180 - 2 * turn, abs=1e-6)  # the inner angle that the speed rule takes


# --- vibration -----------------------------------------------------------------------------------------------------


@few
@given(st.floats(500, 20_000), st.floats(20, 120), st.floats(20, 400))
def test_residual_swing_by_integration(acceleration: float, frequency: float, speed: float) -> None:
    omega, ramp = 2 * pi * frequency, speed / acceleration
    state = solve_ivp(
        lambda t, y: (y[1], -(omega**2) * y[0] - acceleration), (0, ramp), (0, 0), rtol=1e-9, atol=1e-12
    ).y[:, -1]
    amplitude = hypot(state[0], state[1] / omega)
    assert ringing.residual_swing(acceleration, frequency, speed) == pytest.approx(amplitude, rel=1e-5, abs=1e-8)
    assert amplitude <= ringing.worst_swing(acceleration, frequency) * (1 + 1e-6)


@few
@given(st.floats(20, 120), st.floats(0, 0.5))
def test_two_impulses_cancel(frequency: float, damping: float) -> None:
    omega = 2 * pi * frequency
    free = lambda t, y: (y[1], -(omega**2) * y[0] - 2 * damping * omega * y[1])  # noqa: E731
    first = ringing.first_impulse(damping)
    delay = ringing.impulse_delay(frequency, damping)
    later = solve_ivp(free, (0, delay), (0, first), rtol=1e-10, atol=1e-14).y[:, -1]
    later[1] += 1 - first
    assert hypot(later[0] * omega, later[1]) < 1e-6
    whole = solve_ivp(free, (0, delay), (0, 1.0), rtol=1e-10, atol=1e-14).y[:, -1]
    assert abs(whole[1]) == pytest.approx(ringing.impulse_ratio(damping), rel=1e-6)


# --- heat ----------------------------------------------------------------------------------------------------------


def test_bessel_tables() -> None:
    zeros = jn_zeros(0, 20)
    assert pytest.approx(zeros, rel=1e-12) == heat.BESSEL_ZEROS
    assert pytest.approx(j1(zeros), rel=1e-10) == heat.BESSEL_SLOPES


@few
@given(st.floats(0, 3))
def test_core_series_against_many_terms(fourier: float) -> None:
    zeros = jn_zeros(0, 300)
    truth = float(numpy.sum(2 / (zeros * j1(zeros)) * numpy.exp(-(zeros**2) * fourier))) if fourier > 1e-3 else 1.0
    assert heat.core_coldness(fourier) == pytest.approx(truth, abs=1e-8)


@pytest.mark.parametrize("fourier", [0.05, 0.1, 0.366, 1.0])
def test_core_of_a_heated_cylinder_by_finite_volumes(fourier: float) -> None:
    cells = 120
    faces = numpy.linspace(0, 1, cells + 1)
    middle = (faces[1:] + faces[:-1]) / 2
    volume = (faces[1:] ** 2 - faces[:-1] ** 2) / 2

    def change(_: float, cold: numpy.ndarray) -> numpy.ndarray:
        inner = -faces[1:-1] * numpy.diff(cold) / (middle[1] - middle[0])
        outer = faces[-1] * cold[-1] / (1 - middle[-1])
        return -numpy.diff(numpy.concatenate([[0.0], inner, [outer]])) / volume

    cold = solve_ivp(change, (0, fourier), numpy.ones(cells), method="BDF", rtol=1e-6, atol=1e-9).y[:, -1]
    assert heat.core_coldness(fourier) == pytest.approx(cold[0], abs=2e-3)


@few
@given(st.floats(0.002, 0.5))
def test_fourier_needed_is_the_inverse(coldness: float) -> None:
    assert heat.core_coldness(heat.fourier_needed(coldness)) == pytest.approx(coldness, rel=0.005)
    flow = heat.flow_by_conduction(0.058, 20, coldness)
    assert heat.core_coldness(heat.fourier_number(0.058, 20, flow)) == pytest.approx(coldness, rel=0.005)


def test_lump_by_integration() -> None:
    tau = cooling.time_constant(1.24, 1.8, cooling.cooling_depth(0.45, 0.2), 60)
    area, perimeter = stadium(0.45, 0.2).area, stadium(0.45, 0.2).length - 0.25
    rate = 60e-6 * perimeter / (1.24e-3 * 1.8 * area)  # W/(mm2.K) mm / (g/mm3 J/(g.K) mm2)
    end = solve_ivp(lambda t, y: -rate * (y - 25), (0, 4), [210.0], rtol=1e-10).y[0, -1]
    assert cooling.lump_temperature(210, 25, tau, 4) == pytest.approx(end, rel=1e-5)
    assert cooling.cooling_time(210, 25, end, tau) == pytest.approx(4, rel=1e-4)


@few
@given(st.floats(0, 200), st.floats(5, 200))
def test_trail_solves_the_fin_equation(speed: float, film: float) -> None:
    decay = cooling.trail_decay(speed, 0.13, 1.24, 1.8, film, 0.0927)
    alpha, rate = 0.13 / (1.24 * 1.8), film / (1.24 * 1.8 * 0.0927 * 1000)
    assert decay > 0
    assert alpha * decay**2 + speed * decay == pytest.approx(rate, rel=1e-9)


def test_weld_under_a_layer_by_finite_volumes() -> None:
    height, alpha, cells, depth = 0.2, 0.09, 800, 4.0
    step = depth / cells
    start = numpy.where((numpy.arange(cells) + 0.5) * step < height, 230.0, 80.0)

    def change(_: float, now: numpy.ndarray) -> numpy.ndarray:
        flux = numpy.concatenate([[0.0], alpha * numpy.diff(now) / step, [0.0]])
        return numpy.diff(flux) / step

    times = [0.1, 0.5, 1.0, 2.0]
    found = solve_ivp(change, (0, 2), start, method="BDF", t_eval=times, rtol=1e-6, atol=1e-6).y
    edge = round(height / step)
    for column, time in enumerate(times):
        truth = (found[edge - 1, column] + found[edge, column]) / 2
        assert bonding.weld_temperature(230, 80, height, alpha, time) == pytest.approx(truth, abs=0.2)


@few
@given(st.floats(1, 74))
def test_weld_duration_is_the_inverse(above: float) -> None:
    time = bonding.weld_duration(230, 80, 0.2, 0.09, 80 + above)
    assert bonding.weld_temperature(230, 80, 0.2, 0.09, time) == pytest.approx(80 + above, abs=1e-6)
    truth = brentq(lambda t: 75 * erf(0.2 / sqrt(0.09 * t)) - above, 1e-6, 1e5, xtol=1e-12)
    assert time == pytest.approx(truth, rel=1e-6)


@few
@given(st.floats(190, 225), st.floats(0.3, 3), st.floats(0.5, 20))
def test_weld_share_by_quadrature(start: float, tau: float, time: float) -> None:
    def slowness(t: float) -> float:
        kelvin = 80 + (start - 80) * exp(-t / tau) + 273.15
        return 1 / (0.1 * exp(100_000 / 8.314462618 * (1 / kelvin - 1 / 503.15)))

    truth = min(1.0, quad(slowness, 0, time, limit=200)[0]) ** 0.25
    assert bonding.weld_share(start, 80, tau, time, 230, 0.1, 100) == pytest.approx(truth, rel=1e-4)


def test_contact_of_two_bodies_balances_their_flux() -> None:
    hot, cold = bonding.effusivity(0.2, 1.04, 1.3), bonding.effusivity(1.0, 2.5, 0.84)
    between = bonding.contact_temperature(240, 100, hot, cold)
    assert hot * (240 - between) == pytest.approx(cold * (between - 100))


# --- pressure ------------------------------------------------------------------------------------------------------


@few
@given(st.floats(0.2, 1.0), st.floats(0.5, 40), st.floats(0.15, 1.0))
def test_power_law_flow_by_its_profile(exponent: float, flow: float, bore: float) -> None:
    # shear rate falls with r^(1/n) from the wall; the velocity profile it makes must carry the flow
    radius = bore / 2
    at_wall = pressure.wall_shear_rate(flow, bore, exponent)

    def velocity(r: float) -> float:
        return quad(lambda q: at_wall * (q / radius) ** (1 / exponent), r, radius)[0]

    carried = quad(lambda r: 2 * pi * r * velocity(r), 0, radius)[0]
    assert carried == pytest.approx(flow, rel=1e-6)


@few
@given(st.floats(0.2, 1.0), st.floats(0.2, 0.9), st.floats(1.0, 3.0), st.floats(0.5, 5.0))
def test_taper_is_the_sum_of_its_slices(exponent: float, bore: float, entry: float, length: float) -> None:
    def slope(x: float) -> float:
        local = entry + (bore - entry) * x / length
        return pressure.land_pressure(8, local, 1.0, 6000, exponent)

    truth = quad(slope, 0, length, limit=200)[0]
    assert pressure.taper_pressure(8, entry, bore, length, 6000, exponent) == pytest.approx(truth, rel=1e-6)


def test_a_newtonian_power_law_is_newtonian() -> None:
    assert pressure.land_pressure(8, 0.4, 0.6, 1000, 1) == pytest.approx(pressure.newtonian_pressure(8, 0.4, 0.6, 1000))


@pytest.mark.parametrize(("end_factor", "clamped"), [(1.0, False), (0.5, True)])
def test_buckling_is_the_least_eigenvalue(end_factor: float, clamped: bool) -> None:
    # w'''' = -lambda w'' by finite differences; F = E I lambda
    count, length = 400, 10.0
    step = length / count
    inner = count - 1
    second = (numpy.diag(-2 * numpy.ones(inner)) + numpy.diag(numpy.ones(inner - 1), 1)
              + numpy.diag(numpy.ones(inner - 1), -1)) / step**2  # fmt: skip
    fourth = second @ second
    if clamped:  # the mirrored point beyond a clamped end, w' = 0 there
        fourth[0, 0] += 2 / step**4
        fourth[-1, -1] += 2 / step**4
    least = min(numpy.linalg.eigvals(numpy.linalg.solve(-second, fourth)).real)
    moment = pressure.second_moment(1.75)
    assert pressure.buckling_force(3000, moment, length, end_factor) == pytest.approx(3000 * moment * least, rel=0.01)


def test_second_moment_by_integration() -> None:
    truth = quad(lambda y: y * y * 2 * sqrt(0.875**2 - y * y), -0.875, 0.875)[0]
    assert pressure.second_moment(1.75) == pytest.approx(truth, rel=1e-6)


def test_slack_of_a_bent_guide() -> None:
    # half a circle of filament along the inner side of its guide, against one along the outer side
    inner = Point(0, 0).buffer(50, quad_segs=ROUND).exterior.length / 2
    outer = Point(0, 0).buffer(50 + 2.0 - 1.75, quad_segs=ROUND).exterior.length / 2
    assert retraction.bend_slack(180, 2.0, 1.75) == pytest.approx(outer - inner, rel=1e-4)
