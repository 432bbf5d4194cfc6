"""Ringing: the swing of an axis after a ramp, its mark on the wall, and impulses that cancel it."""

from __future__ import annotations

from math import exp, pi, sin, sqrt

from convert.physics import not_negative, positive, within


def ring_wavelength(speed: float, frequency: float) -> float:
    """Distance in mm between ringing waves on a wall: v/f.

    speed: mm/s; frequency: Hz. Derived. On one machine the waves' drive frequency doubled with the speed, model within
    3 % (quoted: Zou, Miao, Huang, Li, Gu, Machines 2026, summary).

    >>> round(ring_wavelength(100, 45), 3)
    2.222
    """
    not_negative(speed=speed)
    positive(frequency=frequency)
    return speed / frequency


def ring_frequency(speed: float, waves: float, distance: float) -> float:
    """Frequency in Hz from waves counted on a wall: f = v N/l.

    speed: mm/s, the true speed there; waves: counted; distance: mm they span. Derived.

    >>> round(ring_frequency(100, 8, 14), 1)
    57.1
    """
    positive(speed=speed, waves=waves, distance=distance)
    return speed * waves / distance


def natural_frequency(stiffness: float, moved_mass: float) -> float:
    """Natural frequency in Hz: sqrt(k/m)/(2 pi).

    stiffness: N/mm; moved_mass: kg. Derived (spring and mass).

    >>> round(natural_frequency(40, 0.5), 2)
    45.02
    """
    positive(stiffness=stiffness, moved_mass=moved_mass)
    return sqrt(stiffness * 1000 / moved_mass) / (2 * pi)


def static_deflection(acceleration: float, frequency: float) -> float:
    """Deflection in mm of the axis under steady acceleration: a/omega^2, omega = 2 pi f.

    acceleration: mm/s2; frequency: Hz. Derived.

    >>> round(static_deflection(3000, 45), 5)
    0.03753
    """
    not_negative(acceleration=acceleration)
    positive(frequency=frequency)
    return acceleration / (2 * pi * frequency) ** 2


def residual_swing(acceleration: float, frequency: float, speed: float) -> float:
    """Amplitude in mm left after a ramp to a speed, undamped: 2 a/omega^2 |sin(omega T/2)|, T = v/a.

    acceleration: mm/s2; frequency: Hz; speed: mm/s. Derived: response of a spring and mass to a pulse of acceleration;
    no shaping.

    >>> round(residual_swing(3000, 45, 100), 5), round(residual_swing(4500, 45, 100), 5)
    (0.07505, 0.0)
    """
    positive(acceleration=acceleration, frequency=frequency)
    not_negative(speed=speed)
    return 2 * static_deflection(acceleration, frequency) * abs(sin(pi * frequency * speed / acceleration))


def worst_swing(acceleration: float, frequency: float) -> float:
    """Largest amplitude in mm that a ramp of any length can leave: 2 a/omega^2.

    acceleration: mm/s2; frequency: Hz. Derived.

    >>> round(worst_swing(3000, 45), 5)
    0.07505
    """
    return 2 * static_deflection(acceleration, frequency)


def acceleration_for_swing(swing: float, frequency: float) -> float:
    """Acceleration in mm/s2 that never leaves more than this amplitude: x omega^2/2.

    swing: mm; frequency: Hz. Derived: `worst_swing` turned round.

    >>> round(acceleration_for_swing(0.02, 45), 1)
    799.4
    """
    not_negative(swing=swing)
    positive(frequency=frequency)
    return swing * (2 * pi * frequency) ** 2 / 2


def quiet_acceleration(speed: float, frequency: float, periods: float = 1.0) -> float:
    """Acceleration in mm/s2 whose ramp to a speed lasts n whole periods, so that the swing cancels: v f/n.

    speed: mm/s; frequency: Hz; periods: 1, 2, ... Derived; one speed only, undamped.

    >>> quiet_acceleration(100, 45)
    4500.0
    """
    positive(speed=speed, frequency=frequency, periods=periods)
    return speed * frequency / periods


def swing_decay(damping: float, frequency: float, time: float) -> float:
    """Share of the amplitude left after a time: exp(-zeta omega t).

    damping: ratio, 0..1; frequency: Hz; time: s. Derived (damped oscillator).

    >>> round(swing_decay(0.05, 45, 0.1), 4)
    0.2432
    """
    within(0, 1, damping=damping)
    positive(frequency=frequency)
    not_negative(time=time)
    return exp(-damping * 2 * pi * frequency * time)


def impulse_ratio(damping: float) -> float:
    """Second impulse over the first that cancel each other's swing: K = exp(-pi zeta/sqrt(1 - zeta^2)).

    damping: ratio, 0 to below 1. Derived (damped oscillator), the two-impulse shaper of Singer and Seering,
    J. Dyn. Syst. Meas. Control 112 (1990) 76 (from memory). Also the share of amplitude left after half a swing.

    >>> round(impulse_ratio(0.10), 3)
    0.729
    """
    within(0, 0.999, damping=damping)
    return exp(-pi * damping / sqrt(1 - damping * damping))


def first_impulse(damping: float) -> float:
    """Share of the motion that the first of two impulses carries: 1/(1 + K).

    damping: ratio, 0 to below 1. Derived, as `impulse_ratio`.

    >>> round(first_impulse(0.10), 3)
    0.578
    """
    return 1 / (1 + impulse_ratio(damping))


def impulse_delay(frequency: float, damping: float = 0.0) -> float:
    """Time in s from the first impulse to the second, half a damped period: 1/(2 f sqrt(1 - zeta^2)).

    frequency: Hz, undamped; damping: ratio, 0 to below 1. Derived, as `impulse_ratio`.

    >>> round(impulse_delay(48, 0.10) * 1000, 2)
    10.47
    """
    positive(frequency=frequency)
    within(0, 0.999, damping=damping)
    return 1 / (2 * frequency * sqrt(1 - damping * damping))


def path_rounding(speed: float, delay: float) -> float:
    """Length in mm of path over which two impulses blur a corner: v dt.

    speed: mm/s; delay: s. Derived (order of size).

    >>> round(path_rounding(100, 0.01047), 3)
    1.047
    """
    not_negative(speed=speed, delay=delay)
    return speed * delay
