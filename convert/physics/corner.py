"""Speed at corners. Two rules are in use (common practice): a deviation from the corner, and an instant speed change.

The deviation rule scales with acceleration, the speed change does not: raising acceleration alone quickens corners only
under the first. Angles are those between the two lines: 180 deg straight on, 90 deg a right angle, 0 a reversal.
"""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, sqrt

from convert.physics import INFINITY, finite, not_negative, positive, whole, within


def deviation_speed(acceleration: float, deviation: float, corner_angle: float = 90.0) -> float:
    """Corner speed in mm/s by the deviation rule: sqrt(a R), R = delta s/(1 - s), s = sin(theta/2).

    acceleration: mm/s2; deviation: mm; corner_angle: deg, 0 (reversal: 0 mm/s) to below 180. Derived: an arc that
    passes the corner at the distance delta, taken at centripetal acceleration a.

    >>> [round(deviation_speed(3000, 0.02, angle), 2) for angle in (45, 90, 135)]
    [6.1, 12.04, 26.99]
    """
    positive(acceleration=acceleration)
    not_negative(deviation=deviation)
    within(0, 179.99, corner_angle=corner_angle)
    sine = sin(radians(corner_angle) / 2)
    return sqrt(acceleration * deviation * sine / (1 - sine))


def jump_speed(jump: float, corner_angle: float = 90.0) -> float:
    """Corner speed in mm/s at which the velocity changes by J: J/(2 sin(phi/2)) = J/(2 cos(theta/2)), phi = 180 -
    theta.

    jump: mm/s; corner_angle: deg, 0 to below 180. Derived (triangle of velocities).

    >>> round(jump_speed(8), 3), round(jump_speed(8, 135), 2)
    (5.657, 10.45)
    """
    not_negative(jump=jump)
    within(0, 179.99, corner_angle=corner_angle)
    return jump / (2 * cos(radians(corner_angle) / 2))


def axis_jump_speed(jump_x: float, jump_y: float, heading: float, next_heading: float) -> float:
    """Corner speed in mm/s where each axis may change by its own J: min(J_x/|dc_x|, J_y/|dc_y|), dc the change of
    direction.

    jump_x, jump_y: mm/s; heading, next_heading: deg from +X, different. Derived.

    >>> round(axis_jump_speed(8, 8, 0, 90), 3), round(axis_jump_speed(8, 8, 45, 135), 3)
    (8.0, 5.657)
    """
    positive(jump_x=jump_x, jump_y=jump_y)
    finite(heading=heading, next_heading=next_heading)
    first, second = radians(heading), radians(next_heading)
    change_x, change_y = abs(cos(first) - cos(second)), abs(sin(first) - sin(second))
    if hypot(change_x, change_y) < 1e-9:
        return INFINITY
    return min(jump / change for jump, change in ((jump_x, change_x), (jump_y, change_y)) if change > 1e-12)


def corner_deviation(speed: float, acceleration: float, corner_angle: float = 90.0) -> float:
    """Deviation in mm that gives this corner speed: v^2 (1 - s)/(a s), s = sin(theta/2); 0.4142 v^2/a at a right angle.

    speed: mm/s; acceleration: mm/s2; corner_angle: deg, above 0 to below 180. Derived: `deviation_speed` turned round.

    >>> round(corner_deviation(8, 3000), 6), round(corner_deviation(10, 10_000), 4)
    (0.008837, 0.0041)
    """
    not_negative(speed=speed)
    positive(acceleration=acceleration)
    within(0.01, 179.99, corner_angle=corner_angle)
    sine = sin(radians(corner_angle) / 2)
    return speed * speed * (1 - sine) / (acceleration * sine)


def centripetal_speed(radius: float, acceleration: float) -> float:
    """Speed in mm/s on an arc: sqrt(a R).

    radius: mm; acceleration: mm/s2. Derived.

    >>> round(centripetal_speed(10, 3000), 1)
    173.2
    """
    positive(radius=radius, acceleration=acceleration)
    return sqrt(acceleration * radius)


def chord(radius: float, chords: float) -> float:
    """Length in mm of each of n chords that stand for a circle: 2 R sin(pi/n).

    radius: mm; chords: 3 or more. Derived.

    >>> round(chord(10, 36), 3)
    1.743
    """
    positive(radius=radius)
    whole(3, chords=chords)
    return 2 * radius * sin(pi / chords)


def chord_error(radius: float, chords: float) -> float:
    """Largest distance in mm between a circle and its n chords: R (1 - cos(pi/n)).

    radius: mm; chords: 3 or more. Derived.

    >>> round(chord_error(10, 36), 4)
    0.0381
    """
    positive(radius=radius)
    whole(3, chords=chords)
    return radius * (1 - cos(pi / chords))


def polygon_speed(radius: float, chords: float, speed: float, acceleration: float, deviation: float) -> float:
    """Speed in mm/s round a circle of n chords: the least of v, the deviation rule at each vertex, and sqrt(a R).

    radius: mm; chords: 3 or more; speed: mm/s; acceleration: mm/s2; deviation: mm. Derived.

    >>> round(polygon_speed(10, 36, 200, 3000, 0.02), 1)
    125.3
    """
    positive(speed=speed)
    whole(3, chords=chords)
    inner = min(179.99, 180 - 360 / chords)
    return min(speed, deviation_speed(acceleration, deviation, inner), centripetal_speed(radius, acceleration))
