"""How a bead cools, and what the shortest layer time does to speed."""

from __future__ import annotations

from math import exp, log, pi, sqrt

from convert.physics import OutOfRange, not_negative, positive, within
from convert.physics.bead import section


def exposed_perimeter(width: float, height: float) -> float:
    """Perimeter in mm of a bead that meets the air, its top and both round sides: (w - h) + pi h.

    width, height: mm, width >= height. Derived.

    >>> round(exposed_perimeter(0.45, 0.2), 4)
    0.8783
    """
    section(width, height)
    return width - height + pi * height


def cooling_depth(width: float, height: float) -> float:
    """Section over exposed perimeter in mm, the depth that one side of cooling has to serve.

    width, height: mm, width >= height. Derived.

    >>> round(cooling_depth(0.45, 0.2), 5)
    0.0927
    """
    return section(width, height) / exposed_perimeter(width, height)


def biot_number(film: float, depth: float, conductivity: float) -> float:
    """Biot number h l/k; below 0.1 a body cools as a lump.

    film: W/(m2.K), 10 still air .. 100 strong fan (from memory); depth: mm, volume over surface; conductivity: W/(m.K).
    Derived (the definition).

    >>> round(biot_number(60, 0.0927, 0.13), 4)
    0.0428
    """
    not_negative(film=film)
    positive(depth=depth, conductivity=conductivity)
    return film * depth / 1000 / conductivity


def time_constant(density: float, heat_capacity: float, depth: float, film: float) -> float:
    """Time constant in s of a cooling lump: tau = rho c l/h.

    density: g/cm3; heat_capacity: J/(g.K); depth: mm, volume over cooled surface; film: W/(m2.K). Derived (energy
    balance); valid for a Biot number below 0.1.

    >>> round(time_constant(1.24, 1.8, 0.0927, 60), 3)
    3.448
    """
    positive(density=density, heat_capacity=heat_capacity, depth=depth, film=film)
    return density * heat_capacity * depth * 1000 / film


def lump_temperature(start_temperature: float, air_temperature: float, tau: float, time: float) -> float:
    """Temperature in Cel of a lump after a time: T_air + (T_0 - T_air) exp(-t/tau).

    start_temperature, air_temperature: Cel; tau, time: s. Derived.

    >>> round(lump_temperature(210, 25, 3.448, 5.741), 1)
    60.0
    """
    within(-273.15, 2000, start_temperature=start_temperature, air_temperature=air_temperature)
    positive(tau=tau)
    not_negative(time=time)
    return air_temperature + (start_temperature - air_temperature) * exp(-time / tau)


def cooling_time(start_temperature: float, air_temperature: float, temperature: float, tau: float) -> float:
    """Time in s until a lump has this temperature: tau ln((T_0 - T_air)/(T - T_air)).

    start_temperature, air_temperature, temperature: Cel, the last between the others; tau: s. Derived.

    >>> round(cooling_time(210, 25, 60, 3.448), 3)
    5.741
    """
    positive(tau=tau)
    within(-273.15, 2000, start_temperature=start_temperature, air_temperature=air_temperature)
    whole_way, rest = start_temperature - air_temperature, temperature - air_temperature
    if whole_way == 0 or not 0 < rest / whole_way <= 1:
        allowed = f"between {air_temperature:.6g} (excluded) and {start_temperature:.6g}"
        raise OutOfRange("temperature", temperature, allowed)
    return tau * log(whole_way / rest)


def trail_decay(
    speed: float, conductivity: float, density: float, heat_capacity: float, film: float, depth: float
) -> float:
    """Decay in 1/mm of the temperature behind the nozzle: m = (sqrt(v^2 + 4 alpha b) - v)/(2 alpha), b = h/(rho c l).

    speed: mm/s (0: a plain fin); conductivity: W/(m.K); density: g/cm3; heat_capacity: J/(g.K); film: W/(m2.K); depth:
    mm, section over cooled perimeter. Derived: fin equation alpha T'' + v T' = b (T - T_air), seen from the nozzle.

    >>> round(trail_decay(60, 0.13, 1.24, 1.8, 60, 0.0927) * 1000, 3)
    4.833
    """
    positive(conductivity=conductivity)
    not_negative(speed=speed)
    alpha = conductivity / (density * heat_capacity)
    rate = 1 / time_constant(density, heat_capacity, depth, film)
    return 2 * rate / (sqrt(speed * speed + 4 * alpha * rate) + speed)


def trail_temperature(start_temperature: float, air_temperature: float, decay: float, distance: float) -> float:
    """Temperature in Cel of the bead at a distance behind the nozzle: T_air + (T_0 - T_air) exp(-m x).

    start_temperature, air_temperature: Cel; decay: 1/mm; distance: mm. Derived: `trail_decay`.

    >>> round(trail_temperature(210, 25, 0.004833, 30), 1)
    185.0
    """
    within(-273.15, 2000, start_temperature=start_temperature, air_temperature=air_temperature)
    not_negative(decay=decay, distance=distance)
    return air_temperature + (start_temperature - air_temperature) * exp(-decay * distance)


def slow_share(print_time: float, travel_time: float, least_time: float) -> float:
    """Share of its speed at which a quick layer is printed: k = t_print/(t_min - t_travel), at most 1.

    print_time, travel_time, least_time: s. Derived; ramps count as if they stretched too. Flow falls by the same share.

    >>> round(slow_share(3.5, 0.5, 8), 4), slow_share(9, 0.5, 8)
    (0.4667, 1.0)
    """
    positive(print_time=print_time)
    not_negative(travel_time=travel_time, least_time=least_time)
    if print_time + travel_time >= least_time:
        return 1.0
    return print_time / (least_time - travel_time)


def shortest_path(slowest_speed: float, least_time: float) -> float:
    """Shortest path in mm of a layer that can still fill the least layer time: v_min t_min.

    slowest_speed: mm/s; least_time: s. Derived.

    >>> shortest_path(10, 8)
    80
    """
    not_negative(slowest_speed=slowest_speed, least_time=least_time)
    return slowest_speed * least_time
