"""Motion along a straight line under constant acceleration (or constant jerk), and the drive behind it."""

from __future__ import annotations

from math import pi, sqrt

from convert.physics import OutOfRange, not_negative, positive


def ramp_distance(speed: float, acceleration: float, start_speed: float = 0.0) -> float:
    """Distance in mm over which speed changes: |v^2 - v0^2|/(2a).

    speed, start_speed: mm/s; acceleration: mm/s2. Derived.

    >>> round(ramp_distance(150, 3000), 3)
    3.75
    """
    not_negative(speed=speed, start_speed=start_speed)
    positive(acceleration=acceleration)
    return abs(speed * speed - start_speed * start_speed) / (2 * acceleration)


def ramp_time(speed: float, acceleration: float, start_speed: float = 0.0) -> float:
    """Time in s in which speed changes: |v - v0|/a.

    speed, start_speed: mm/s; acceleration: mm/s2. Derived.

    >>> round(ramp_time(150, 3000), 4)
    0.05
    """
    not_negative(speed=speed, start_speed=start_speed)
    positive(acceleration=acceleration)
    return abs(speed - start_speed) / acceleration


def reach_distance(speed: float, acceleration: float) -> float:
    """Distance in mm needed to reach a speed from rest: v^2/(2a).

    speed: mm/s; acceleration: mm/s2. Derived.

    >>> round(reach_distance(150, 3000), 3)
    3.75
    """
    return ramp_distance(speed, acceleration)


def shortest_line(speed: float, acceleration: float) -> float:
    """Shortest line in mm, rest to rest, on which a speed is reached at all: v^2/a.

    speed: mm/s; acceleration: mm/s2. Derived.

    >>> round(shortest_line(150, 3000), 3)
    7.5
    """
    return 2 * ramp_distance(speed, acceleration)


def _check_ends(length: float, speed: float, acceleration: float, start_speed: float, end_speed: float) -> None:
    positive(speed=speed, acceleration=acceleration)
    not_negative(length=length, start_speed=start_speed, end_speed=end_speed)
    for name, value in (("start_speed", start_speed), ("end_speed", end_speed)):
        if value > speed:
            raise OutOfRange(name, value, f"at most the speed, {speed:.6g}")
    needed = ramp_distance(end_speed, acceleration, start_speed)
    if needed > length * (1 + 1e-9):
        raise OutOfRange("length", length, f"at least {needed:.6g} for these end speeds")


def peak_speed(
    length: float, speed: float, acceleration: float, start_speed: float = 0.0, end_speed: float = 0.0
) -> float:
    """Highest speed in mm/s on a line: min(v, sqrt(a L + (v0^2 + v1^2)/2)).

    length: mm; speed, start_speed, end_speed: mm/s; acceleration: mm/s2. Derived; the ends must be reachable, |v1^2 -
    v0^2| <= 2 a L.

    >>> round(peak_speed(4, 150, 3000), 1), round(peak_speed(5, 150, 3000, 20, 40), 1), peak_speed(40, 150, 3000)
    (109.5, 126.5, 150)
    """
    _check_ends(length, speed, acceleration, start_speed, end_speed)
    return min(speed, sqrt(acceleration * length + (start_speed**2 + end_speed**2) / 2))


def line_time(
    length: float, speed: float, acceleration: float, start_speed: float = 0.0, end_speed: float = 0.0
) -> float:
    """Time in s along a line: ramp up, cruise if there is room, ramp down.

    (v_p - v0)/a + (v_p - v1)/a + cruise/v, v_p the `peak_speed`. length: mm; speed, start_speed, end_speed: mm/s;
    acceleration: mm/s2. Derived. Rest to rest it is L/v + v/a, or 2 sqrt(L/a) on a line too short for the speed.

    >>> round(line_time(40, 150, 3000), 4), round(line_time(4, 150, 3000), 5)
    (0.3167, 0.07303)
    >>> round(line_time(5, 150, 3000, 20, 40), 5), round(line_time(30, 150, 3000, 12, 12), 4)
    (0.06433, 0.2423)
    """
    peak = peak_speed(length, speed, acceleration, start_speed, end_speed)
    ramps = (2 * peak * peak - start_speed**2 - end_speed**2) / (2 * acceleration)
    cruise = max(0.0, length - ramps) / peak if peak else 0.0
    return (2 * peak - start_speed - end_speed) / acceleration + cruise


def mean_speed(length: float, speed: float, acceleration: float) -> float:
    """Mean speed in mm/s on a line, rest to rest: L over `line_time`.

    length: mm, above 0; speed: mm/s; acceleration: mm/s2. Derived.

    >>> round(mean_speed(40, 150, 3000), 1), round(mean_speed(4, 150, 3000), 2)
    (126.3, 54.77)
    """
    positive(length=length)
    return length / line_time(length, speed, acceleration)


def uneven_peak(length: float, acceleration: float, deceleration: float) -> float:
    """Highest speed in mm/s on a line, rest to rest, with unlike rates: sqrt(2 a b L/(a + b)).

    length: mm; acceleration, deceleration: mm/s2. Derived.

    >>> round(uneven_peak(4, 3000, 1500), 2)
    89.44
    """
    not_negative(length=length)
    positive(acceleration=acceleration, deceleration=deceleration)
    return sqrt(2 * acceleration * deceleration * length / (acceleration + deceleration))


def smooth_time(speed: float, acceleration: float, jerk: float) -> float:
    """Time in s of a ramp from rest with limited jerk: v/a + a/j if v >= a^2/j, else 2 sqrt(v/j).

    speed: mm/s; acceleration: mm/s2; jerk: mm/s3 (the true jerk, not the speed step). Derived.

    >>> round(smooth_time(150, 3000, 2e5), 5), round(smooth_time(20, 3000, 2e5), 5)
    (0.065, 0.02)
    """
    not_negative(speed=speed)
    positive(acceleration=acceleration, jerk=jerk)
    if speed >= acceleration**2 / jerk:
        return speed / acceleration + acceleration / jerk
    return 2 * sqrt(speed / jerk)


def smooth_distance(speed: float, acceleration: float, jerk: float) -> float:
    """Distance in mm of that ramp: v t/2, since it is symmetric about its middle.

    speed: mm/s; acceleration: mm/s2; jerk: mm/s3. Derived.

    >>> round(smooth_distance(150, 3000, 2e5), 3)
    4.875
    """
    return speed * smooth_time(speed, acceleration, jerk) / 2


def smooth_peak_acceleration(speed: float, acceleration: float, jerk: float) -> float:
    """Highest acceleration in mm/s2 of that ramp: min(a, sqrt(v j)).

    speed: mm/s; acceleration: mm/s2; jerk: mm/s3. Derived.

    >>> smooth_peak_acceleration(20, 3000, 2e5)
    2000.0
    """
    not_negative(speed=speed)
    positive(acceleration=acceleration, jerk=jerk)
    return min(acceleration, sqrt(speed * jerk))


def axis_force(moved_mass: float, acceleration: float) -> float:
    """Force in N that accelerates an axis: F = m a.

    moved_mass: kg; acceleration: mm/s2. Derived.

    >>> axis_force(0.4, 5000)
    2.0
    """
    positive(moved_mass=moved_mass)
    not_negative(acceleration=acceleration)
    return moved_mass * acceleration / 1000


def belt_steps(motor_steps: float, microsteps: float, pitch: float, teeth: float) -> float:
    """Steps per mm of a belt axis: N u/(p z).

    motor_steps: per turn; microsteps: per step; pitch: mm; teeth: of the pulley. Derived.

    >>> belt_steps(200, 16, 2, 20)
    80.0
    """
    positive(motor_steps=motor_steps, microsteps=microsteps, pitch=pitch, teeth=teeth)
    return motor_steps * microsteps / (pitch * teeth)


def feed_steps(motor_steps: float, microsteps: float, gear_ratio: float, gear_diameter: float) -> float:
    """Steps per mm of filament: N u i/(pi d).

    motor_steps: per turn; microsteps: per step; gear_ratio: motor turns per gear turn; gear_diameter: mm, effective.
    Derived.

    >>> round(feed_steps(200, 16, 3, 7.31), 1)
    418.0
    """
    positive(motor_steps=motor_steps, microsteps=microsteps, gear_ratio=gear_ratio, gear_diameter=gear_diameter)
    return motor_steps * microsteps * gear_ratio / (pi * gear_diameter)


def screw_step(screw_lead: float, motor_steps: float) -> float:
    """Full step in mm of a screw axis: lead/N.

    screw_lead: mm per turn; motor_steps: full steps per turn. Derived.

    >>> screw_step(8, 200)
    0.04
    """
    positive(screw_lead=screw_lead, motor_steps=motor_steps)
    return screw_lead / motor_steps


def step_rate(speed: float, steps: float) -> float:
    """Step pulses per second: v times steps per mm.

    speed: mm/s; steps: 1/mm. Derived.

    >>> step_rate(500, 80)
    40000
    """
    not_negative(speed=speed)
    positive(steps=steps)
    return speed * steps
