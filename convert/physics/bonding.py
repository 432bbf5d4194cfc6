"""Temperatures where beads meet, and how far they weld.

Without air cooling these are upper bounds: measured welds of ABS fall by about 100 K/s and stay above the glass
transition for about 1 s (quoted: Seppala, Migler, Additive Manufacturing 12 (2016) 71-76, abstract). Weld shares
serve for sign and ratio, not for MPa.
"""

from __future__ import annotations

from math import erf, exp, sqrt

from convert.physics import OutOfRange, not_negative, positive, within
from convert.physics.pressure import GAS_CONSTANT, ZERO_CELSIUS


def effusivity(conductivity: float, density: float, heat_capacity: float) -> float:
    """Effusivity in W.s^(1/2)/(m2.K): e = sqrt(k rho c); it decides who warms whom on contact.

    conductivity: W/(m.K); density: g/cm3; heat_capacity: J/(g.K). Derived (the definition).

    >>> round(effusivity(1.0, 2.5, 0.84))
    1449
    """
    positive(conductivity=conductivity, density=density, heat_capacity=heat_capacity)
    return sqrt(conductivity * density * 1000 * heat_capacity * 1000)


def contact_temperature(
    hot_temperature: float, cold_temperature: float, hot_effusivity: float = 1.0, cold_effusivity: float = 1.0
) -> float:
    """Temperature in Cel where two bodies first touch: (e1 T1 + e2 T2)/(e1 + e2); the mean for like materials.

    hot_temperature, cold_temperature: Cel; hot_effusivity, cold_effusivity: W.s^(1/2)/(m2.K), or any numbers in that
    ratio. Derived (two half-spaces, heat equation).

    >>> contact_temperature(210, 60), round(contact_temperature(240, 100, 520, 1449), 1)
    (135.0, 137.0)
    """
    within(-273.15, 2000, hot_temperature=hot_temperature, cold_temperature=cold_temperature)
    positive(hot_effusivity=hot_effusivity, cold_effusivity=cold_effusivity)
    return (hot_effusivity * hot_temperature + cold_effusivity * cold_temperature) / (hot_effusivity + cold_effusivity)


def conduction_time(height: float, diffusivity: float) -> float:
    """Time scale in s for heat to cross a layer: h^2/alpha.

    height: mm; diffusivity: mm2/s. Derived.

    >>> round(conduction_time(0.2, 0.05824), 4)
    0.6868
    """
    positive(height=height, diffusivity=diffusivity)
    return height * height / diffusivity


def depth_share(depth: float, diffusivity: float, time: float) -> float:
    """Share of a surface's temperature jump not yet felt at a depth: erf(x/(2 sqrt(alpha t))).

    depth: mm; diffusivity: mm2/s; time: s. Derived (half-space, heat equation).

    >>> round(depth_share(0.2, 0.05824, 1), 4)
    0.4421
    """
    not_negative(depth=depth)
    positive(diffusivity=diffusivity, time=time)
    return erf(depth / (2 * sqrt(diffusivity * time)))


def weld_temperature(
    laid_temperature: float, below_temperature: float, height: float, diffusivity: float, time: float
) -> float:
    """Temperature in Cel under a freshly laid layer: T_b + (T_l - T_b)/2 erf(h/sqrt(alpha t)).

    laid_temperature, below_temperature: Cel; height: mm; diffusivity: mm2/s; time: s since it was laid. Derived: heat
    equation, layer mirrored at its insulated top, on a half-space of the same material.

    >>> [round(weld_temperature(230, 80, 0.2, 0.09, t), 1) for t in (0.1, 0.5, 1, 2)]
    [154.8, 141.3, 129.1, 117.1]
    """
    within(-273.15, 2000, laid_temperature=laid_temperature, below_temperature=below_temperature)
    positive(height=height, diffusivity=diffusivity, time=time)
    share = erf(height / sqrt(diffusivity * time))
    return below_temperature + (laid_temperature - below_temperature) / 2 * share


def weld_duration(
    laid_temperature: float, below_temperature: float, height: float, diffusivity: float, temperature: float
) -> float:
    """Time in s that the weld stays above a temperature: `weld_temperature` solved for the time, by halving.

    laid_temperature, below_temperature, temperature: Cel, the last between the second and the mean of both; height: mm;
    diffusivity: mm2/s. Derived.

    >>> round(weld_duration(230, 80, 0.2, 0.09, 105), 3)
    4.791
    """
    within(-273.15, 2000, laid_temperature=laid_temperature, below_temperature=below_temperature)
    mean = (laid_temperature + below_temperature) / 2
    positive(height=height, diffusivity=diffusivity)
    if laid_temperature <= below_temperature or not below_temperature < temperature < mean:
        raise OutOfRange("temperature", temperature, f"between {below_temperature:.6g} and {mean:.6g}, ends excluded")
    wanted = (temperature - below_temperature) / (mean - below_temperature)
    low, high = 0.0, 6.0  # erf(6) is 1 in doubles
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if erf(middle) < wanted else (low, middle)
    if high == 0 or not (height / high) ** 2 / diffusivity < float("inf"):
        raise OutOfRange("temperature", temperature, f"farther above {below_temperature:.6g}")
    return (height / high) ** 2 / diffusivity


def weld_time(temperature: float, reference_temperature: float, reference_time: float, energy: float) -> float:
    """Time in s for a full weld at a temperature: t_ref exp(E/R (1/T - 1/T_ref)) (Arrhenius).

    temperature, reference_temperature: Cel; reference_time: s, full weld at the reference; energy: kJ/mol. Published
    form; the parameters are fits of one material.

    >>> round(weld_time(210, 230, 0.1, 100), 4)
    0.269
    """
    within(-273, 2000, temperature=temperature, reference_temperature=reference_temperature)
    positive(reference_time=reference_time)
    not_negative(energy=energy)
    inverse = 1 / (temperature + ZERO_CELSIUS) - 1 / (reference_temperature + ZERO_CELSIUS)
    return reference_time * exp(energy * 1000 / GAS_CONSTANT * inverse)


def weld_share(
    start_temperature: float,
    air_temperature: float,
    tau: float,
    time: float,
    reference_temperature: float,
    reference_time: float,
    energy: float,
) -> float:
    """Share of the bulk strength that a weld reaches while it cools: min(1, (integral dt/t_w(T))^(1/4)).

    start_temperature, air_temperature: Cel and tau: s, of T = T_air + (T_0 - T_air) exp(-t/tau); time: s;
    reference_temperature, reference_time, energy as in `weld_time`. Derived: integral by Simpson's rule; the exponent
    1/4 comes from reptation theory (from memory: Wool, O'Connor, J. Appl. Phys. 52 (1981) 5953).

    >>> [round(weld_share(t, 80, 0.7, 6, 230, 0.1, 100), 4) for t in (210, 220, 230)]
    [0.809, 0.9077, 1.0]
    """
    within(-273, 2000, start_temperature=start_temperature, air_temperature=air_temperature)
    positive(tau=tau, time=time)
    steps = 2 * max(50, min(2000, int(50 * time / tau)))
    total = 0.0
    for step in range(steps + 1):
        weight = 1 if step in (0, steps) else 4 if step % 2 else 2
        now = air_temperature + (start_temperature - air_temperature) * exp(-time * step / steps / tau)
        total += weight / weld_time(now, reference_temperature, reference_time, energy)
    return float(min(1.0, total * time / steps / 3) ** 0.25)
