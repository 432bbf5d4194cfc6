"""What a hot end can melt: power, residence, conduction to the core of the filament."""

from __future__ import annotations

from math import exp, log, pi

from convert.physics import not_negative, positive, within

FIRST_WEIGHT, FIRST_RATE = 1.6019746969280, 5.7831859629468
"""First term of the series below: 2/(z J1(z)) and z^2 at z = 2.4048255577, the first zero of J0."""

BESSEL_ZEROS = (
    2.404825557696, 5.520078110286, 8.653727912911, 11.791534439014, 14.930917708488,
    18.071063967911, 21.211636629879, 24.352471530749, 27.493479132040, 30.634606468432,
    33.775820213574, 36.917098353664, 40.058425764628, 43.199791713177, 46.341188371662,
    49.482609897398, 52.624051841115, 55.765510755020, 58.906983926081, 62.048469190227,
)  # fmt: skip
"""Zeros z of the Bessel function J0 (computed; held to scipy's by the tests)."""

BESSEL_SLOPES = (
    0.519147497289, -0.340264806558, 0.271452299928, -0.232459831365, 0.206546433078,
    -0.187728803040, 0.173265894229, -0.161701550689, 0.152181213771, -0.144165977686,
    0.137296943409, -0.131324626669, 0.126069497127, -0.121398624772, 0.117211198891,
    -0.113429192616, 0.109991143046, -0.106847888255, 0.103959572869, -0.101293498934,
)  # fmt: skip
"""J1 at those zeros (computed; held to scipy's)."""


def melt_power(
    flow: float, density: float, heat_capacity: float, rise: float, crystallinity: float = 0.0, fusion_heat: float = 0.0
) -> float:
    """Power in W that goes into the melt: P = rho Q (c dT + X dH).

    flow: mm3/s; density: g/cm3; heat_capacity: J/(g.K), mean over the rise; rise: K; crystallinity: crystalline share
    of the feed, 0 if amorphous; fusion_heat: J/g of the full crystal. Derived (energy balance); losses to block and fan
    come on top.

    >>> round(melt_power(10, 1.24, 1.8, 185), 3), round(melt_power(10, 0.905, 2.2, 210, 0.5, 207), 3)
    (4.129, 5.118)
    """
    not_negative(flow=flow, rise=rise, fusion_heat=fusion_heat)
    positive(density=density, heat_capacity=heat_capacity)
    within(0, 1, crystallinity=crystallinity)
    return density / 1000 * flow * (heat_capacity * rise + crystallinity * fusion_heat)


def flow_by_power(
    power: float,
    density: float,
    heat_capacity: float,
    rise: float,
    efficiency: float = 0.7,
    crystallinity: float = 0.0,
    fusion_heat: float = 0.0,
) -> float:
    """Volume flow in mm3/s that the heater can keep hot: Q = eta P/(rho (c dT + X dH)).

    power: W, rated; density: g/cm3; heat_capacity: J/(g.K); rise: K; efficiency: share that reaches the filament,
    0.5..0.8 (from memory); crystallinity, fusion_heat as in `melt_power`. Derived. Conduction usually binds first.

    >>> round(flow_by_power(30, 1.24, 1.8, 185), 2)
    50.86
    """
    positive(power=power, rise=rise)
    within(0, 1, efficiency=efficiency)
    return efficiency * power / melt_power(1.0, density, heat_capacity, rise, crystallinity, fusion_heat)


def heater_power(voltage: float, resistance: float) -> float:
    """Electric power in W of a heater: P = U^2/R.

    voltage: V; resistance: Ohm. Derived (Ohm's law).

    >>> round(heater_power(24, 14.4), 4)
    40.0
    """
    not_negative(voltage=voltage)
    positive(resistance=resistance)
    return voltage * voltage / resistance


def residence_time(diameter: float, heated_length: float, flow: float) -> float:
    """Time in s that the filament spends in the heated zone: t = A_f L/Q.

    diameter, heated_length: mm; flow: mm3/s. Derived. Minutes at nozzle temperature degrade most melts (common
    practice).

    >>> round(residence_time(1.75, 20, 10), 3)
    4.811
    """
    positive(diameter=diameter, heated_length=heated_length, flow=flow)
    return pi / 4 * diameter * diameter * heated_length / flow


def diffusivity(conductivity: float, density: float, heat_capacity: float) -> float:
    """Thermal diffusivity in mm2/s: alpha = k/(rho c).

    conductivity: W/(m.K); density: g/cm3; heat_capacity: J/(g.K). Derived (the definition).

    >>> round(diffusivity(0.13, 1.24, 1.8), 5)
    0.05824
    """
    positive(conductivity=conductivity, density=density, heat_capacity=heat_capacity)
    return conductivity / (density * heat_capacity)


def fourier_number(diffusivity: float, heated_length: float, flow: float) -> float:
    """Fourier number of the filament's stay: Fo = alpha t/R^2 = pi alpha L/Q; its radius cancels.

    diffusivity: mm2/s; heated_length: mm; flow: mm3/s. Derived.

    >>> round(fourier_number(0.05824, 20, 10), 4)
    0.3659
    """
    positive(diffusivity=diffusivity, heated_length=heated_length, flow=flow)
    return pi * diffusivity * heated_length / flow


def core_coldness(fourier: float) -> float:
    """How cold the core still is, (T_w - T_c)/(T_w - T_0): sum of 2/(z J1(z)) exp(-z^2 Fo) over the zeros z of J0.

    fourier: 0 or more. Derived: heat equation of a cylinder whose surface jumps to T_w; perfect contact, plug flow, no
    latent heat (from memory: Carslaw and Jaeger, Conduction of Heat in Solids; Incropera, table 5.1, with
    1.6018 and 2.4050). Real hot ends squeeze the melt film and do about 1..2 times better (from memory).

    >>> round(core_coldness(0.3660), 4), round(core_coldness(0.02), 4)
    (0.1929, 1.0)
    """
    not_negative(fourier=fourier)
    if fourier < 0.005:  # below, the true value is 1 to more digits than twenty terms can give
        return 1.0
    terms = zip(BESSEL_ZEROS, BESSEL_SLOPES, strict=True)
    return sum(2 / (zero * slope) * exp(-zero * zero * fourier) for zero, slope in terms)


def core_temperature(nozzle_temperature: float, start_temperature: float, fourier: float) -> float:
    """Temperature in Cel of the filament's core on leaving the heated zone: T_c = T_w - theta (T_w - T_0).

    nozzle_temperature, start_temperature: Cel; fourier: 0 or more. Derived: `core_coldness`.

    >>> round(core_temperature(210, 25, 0.3660), 1)
    174.3
    """
    within(-273.15, 2000, nozzle_temperature=nozzle_temperature, start_temperature=start_temperature)
    return nozzle_temperature - core_coldness(fourier) * (nozzle_temperature - start_temperature)


def fourier_needed(coldness: float) -> float:
    """Fourier number at which the core has warmed so far: Fo = ln(1.60197/theta)/5.78319.

    coldness: (T_w - T_c)/(T_w - T_0), above 0 to 0.5. Derived: first term of `core_coldness`, right within 0.5 % there.

    >>> round(fourier_needed(0.1), 4)
    0.4796
    """
    positive(coldness=coldness)
    within(0, 0.5, coldness=coldness)
    return log(FIRST_WEIGHT / coldness) / FIRST_RATE


def flow_by_conduction(diffusivity: float, heated_length: float, coldness: float = 0.1) -> float:
    """Volume flow in mm3/s at which the core leaves with this coldness: Q = pi alpha L/Fo.

    diffusivity: mm2/s; heated_length: mm; coldness: above 0 to 0.5. Derived. Doubling the heated length doubles it; the
    bore does not enter.

    >>> round(flow_by_conduction(0.05824, 20), 2)
    7.63
    """
    positive(diffusivity=diffusivity, heated_length=heated_length)
    return pi * diffusivity * heated_length / fourier_needed(coldness)


def penetration_time(diameter: float, diffusivity: float) -> float:
    """Time scale in s for heat to reach the core: R^2/alpha.

    diameter: mm; diffusivity: mm2/s. Derived.

    >>> round(penetration_time(1.75, 0.05824), 2)
    13.15
    """
    positive(diameter=diameter, diffusivity=diffusivity)
    return diameter * diameter / 4 / diffusivity


def peclet_number(filament_speed: float, diameter: float, diffusivity: float) -> float:
    """Heat carried along over heat conducted inwards: Pe = u R/alpha.

    filament_speed: mm/s; diameter: mm; diffusivity: mm2/s. Derived. Feeding jams at a critical value that depends on
    the wall temperature (quoted: Luo, Wang, Migler, Seppala, Additive Manufacturing 2020, 101019, abstract; the
    value was not seen).

    >>> round(peclet_number(4.1575, 1.75, 0.05824), 2)
    62.46
    """
    not_negative(filament_speed=filament_speed)
    positive(diameter=diameter, diffusivity=diffusivity)
    return filament_speed * diameter / 2 / diffusivity
