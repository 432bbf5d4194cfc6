"""Shear, pressure and feed force in the nozzle, and what the filament can bear.

Melts are shear thinning: viscosity eta = K g^(n-1) over the shear rate g. `consistency` K is the viscosity (Pa.s) at a
shear rate of 1 1/s, `exponent` n is 1 for a Newtonian liquid and 0.2..0.8 for melts. Published fits (one review table,
Materials 16 (2023) 7664): ABS n 0.42..0.49 with K 6678..12189, PLA n 0.29..0.37; temperatures differ between studies,
so they give the order of size only.
"""

from __future__ import annotations

from math import exp, pi

from convert.physics import OutOfRange, finite, not_negative, positive, within
from convert.physics.flow import filament_area

GAS_CONSTANT = 8.314462618
"""J/(mol.K) (published: CODATA 2018)."""

ZERO_CELSIUS = 273.15
"""K at 0 Cel (published: definition of the degree Celsius)."""


def apparent_shear_rate(flow: float, bore: float) -> float:
    """Shear rate in 1/s at the wall of a round bore, as if Newtonian: g = 32 Q/(pi d^3) = 4 Q/(pi R^3).

    flow: mm3/s; bore: mm. Derived (textbook).

    >>> round(apparent_shear_rate(8, 0.4))
    1273
    """
    not_negative(flow=flow)
    positive(bore=bore)
    return 32 * flow / (pi * bore**3)


def wall_shear_rate(flow: float, bore: float, exponent: float) -> float:
    """Shear rate in 1/s at the wall for a power-law melt: (3n + 1)/(4n) times the apparent one (Rabinowitsch).

    flow: mm3/s; bore: mm; exponent: above 0. Derived (textbook).

    >>> round(wall_shear_rate(8, 0.4, 0.4))
    1751
    """
    positive(exponent=exponent)
    return (3 * exponent + 1) / (4 * exponent) * apparent_shear_rate(flow, bore)


def viscosity(consistency: float, exponent: float, shear_rate: float) -> float:
    """Viscosity in Pa.s at a shear rate: eta = K g^(n-1).

    consistency: Pa.s at 1 1/s; exponent: above 0; shear_rate: 1/s, above 0. Published form (Ostwald and de Waele).

    >>> round(viscosity(6000, 0.4, 1750.7), 2)
    67.96
    """
    positive(consistency=consistency, exponent=exponent, shear_rate=shear_rate)
    return float(consistency * shear_rate ** (exponent - 1))


def wall_stress(consistency: float, exponent: float, shear_rate: float) -> float:
    """Shear stress in MPa at the wall: tau = K g^n.

    consistency: Pa.s at 1 1/s; exponent: above 0; shear_rate: 1/s, above 0. Published form (Ostwald and de Waele).

    >>> round(wall_stress(6000, 0.4, 1750.7), 4)
    0.119
    """
    return viscosity(consistency, exponent, shear_rate) * shear_rate / 1e6


def land_pressure(flow: float, bore: float, land: float, consistency: float, exponent: float) -> float:
    """Pressure drop in MPa along the straight land of a nozzle: dp = 4 L tau/d.

    flow: mm3/s, above 0; bore, land: mm; consistency: Pa.s at 1 1/s; exponent: above 0. Derived (balance of forces on
    the melt); steady, isothermal, no slip, no entrance loss.

    >>> round(land_pressure(8, 0.4, 0.6, 6000, 0.4), 4)
    0.7138
    """
    positive(flow=flow, land=land)
    return 4 * land / bore * wall_stress(consistency, exponent, wall_shear_rate(flow, bore, exponent))


def newtonian_pressure(flow: float, bore: float, land: float, viscosity: float) -> float:
    """Pressure drop in MPa of a Newtonian liquid in a round bore: dp = 128 eta L Q/(pi d^4) (Hagen and Poiseuille).

    flow: mm3/s; bore, land: mm; viscosity: Pa.s. Published (Crane, technical paper 410, ex. 4-9, comes out);
    laminar, long bore.

    >>> round(newtonian_pressure(8, 0.4, 0.6, 1000), 3)
    7.639
    """
    not_negative(flow=flow)
    positive(bore=bore, land=land, viscosity=viscosity)
    return 128 * viscosity * land * flow / (pi * bore**4) / 1e6


def taper_pressure(
    flow: float, entry_bore: float, bore: float, taper_length: float, consistency: float, exponent: float
) -> float:
    """Pressure drop in MPa along a taper: dp = 2 K C^n/(3 n t) (r2^(-3n) - r1^(-3n)), C = (3n+1) Q/(n pi), t = (r1 -
    r2)/L.

    flow: mm3/s; entry_bore > bore, taper_length: mm; consistency: Pa.s at 1 1/s; exponent: above 0. Derived:
    `land_pressure` of thin slices, summed; good for small angles, indicative at the usual 60 deg tip.

    >>> round(taper_pressure(8, 2.0, 0.4, 1.386, 6000, 0.4), 4)
    0.2937
    """
    positive(
        flow=flow,
        entry_bore=entry_bore,
        bore=bore,
        taper_length=taper_length,
        consistency=consistency,
        exponent=exponent,
    )
    if entry_bore <= bore:
        raise OutOfRange("entry_bore", entry_bore, f"above the bore, {bore:.6g}")
    n, wide, narrow = exponent, entry_bore / 2, bore / 2
    slope = (wide - narrow) / taper_length
    rate = (3 * n + 1) * flow / (n * pi)  # 1/s times r^3
    return float(2 * consistency * rate**n / (3 * n * slope) * (narrow ** (-3 * n) - wide ** (-3 * n)) / 1e6)


def viscosity_shift(temperature: float, reference_temperature: float, energy: float) -> float:
    """Viscosity at a temperature over that at another: exp(E/R (1/T - 1/T_ref)) (Arrhenius).

    temperature, reference_temperature: Cel; energy: kJ/mol, 40..100 for usual melts (from memory). The form is
    published; more than about 100 K above the glass transition, else `glass_shift`.

    >>> round(viscosity_shift(230, 210, 60), 4)
    0.5523
    """
    within(-273, 2000, temperature=temperature, reference_temperature=reference_temperature)
    finite(energy=energy)
    inverse = 1 / (temperature + ZERO_CELSIUS) - 1 / (reference_temperature + ZERO_CELSIUS)
    return exp(energy * 1000 / GAS_CONSTANT * inverse)


def glass_shift(temperature: float, glass_transition: float) -> float:
    """Viscosity at a temperature over that at the glass transition: log10 = -17.44 (T - Tg)/(51.6 + T - Tg).

    temperature, glass_transition: Cel, from the glass transition to 100 K above. Published, with these mean constants:
    Williams, Landel, Ferry, J. Am. Chem. Soc. 77 (1955) 3701; Rosen, Fundamental Principles of Polymeric Materials, 2nd
    ed., page 339; single polymers differ.

    >>> float(f"{glass_shift(125, 105):.4g}")
    1.344e-05
    """
    finite(temperature=temperature, glass_transition=glass_transition)
    above = temperature - glass_transition
    if not 0 <= above <= 100:
        raise OutOfRange("temperature", temperature, f"{glass_transition:.6g}..{glass_transition + 100:.6g}")
    return float(10 ** (-17.44 * above / (51.6 + above)))


def feed_force(pressure: float, diameter: float) -> float:
    """Force in N that pushes filament against a pressure: F = p pi d^2/4.

    pressure: MPa; diameter: mm. Derived; friction, backflow and unmelted core come on top, totals of 10..60 N are usual
    (from memory).

    >>> round(feed_force(1.0074, 1.75), 3)
    2.423
    """
    not_negative(pressure=pressure)
    return pressure * filament_area(diameter)


def feed_torque(force: float, gear_radius: float) -> float:
    """Torque in N.m of the feed motor: M = F r.

    force: N; gear_radius: mm, effective. Derived.

    >>> round(feed_torque(60, 4), 4)
    0.24
    """
    not_negative(force=force)
    positive(gear_radius=gear_radius)
    return force * gear_radius / 1000


def second_moment(diameter: float) -> float:
    """Second moment of area in mm4 of round filament: I = pi d^4/64.

    diameter: mm. Derived.

    >>> round(second_moment(1.75), 4)
    0.4604
    """
    positive(diameter=diameter)
    return pi * diameter**4 / 64


def buckling_force(modulus: float, second_moment: float, free_length: float, end_factor: float = 1.0) -> float:
    """Force in N at which a slender column buckles: F = pi^2 E I/(k L)^2 (Euler).

    modulus: MPa; second_moment: mm4; free_length: mm, above about 5 diameters (shorter ones crush or kink first);
    end_factor: 1 both ends pinned, 0.5 both clamped, 0.699 one of each, 2 one end free. Derived (textbook).

    >>> round(buckling_force(3000, 0.46038, 10), 1), round(buckling_force(50, 0.46038, 5, 0.5), 2)
    (136.3, 36.35)
    """
    positive(modulus=modulus, second_moment=second_moment, free_length=free_length, end_factor=end_factor)
    return pi * pi * modulus * second_moment / (end_factor * free_length) ** 2


def buckling_pressure(modulus: float, diameter: float, free_length: float, end_factor: float = 1.0) -> float:
    """Melt pressure in MPa at which filament buckles before the hot end: p = pi^2 E d^2/(16 (k L)^2).

    modulus: MPa; diameter, free_length: mm; end_factor as in `buckling_force`. Derived: `buckling_force` over the
    section.

    >>> round(buckling_pressure(3000, 1.75, 10), 2)
    56.67
    """
    return buckling_force(modulus, second_moment(diameter), free_length, end_factor) / filament_area(diameter)
