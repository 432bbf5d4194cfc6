"""Volume flow, filament, mass and price."""

from __future__ import annotations

from math import pi

from convert.physics import not_negative, positive
from convert.physics.bead import section


def volume_flow(width: float, height: float, speed: float, factor: float = 1.0) -> float:
    """Volume flow in mm3/s that a bead asks for: Q = A v f.

    width, height: mm, width >= height; speed: mm/s; factor: flow factor, 1 as computed. Derived.

    >>> round(volume_flow(0.45, 0.2, 60), 3)
    4.885
    """
    positive(factor=factor)
    not_negative(speed=speed)
    return section(width, height) * speed * factor


def speed_at_flow(flow: float, width: float, height: float, factor: float = 1.0) -> float:
    """Speed in mm/s at which a bead takes exactly this flow: v = Q/(A f).

    flow: mm3/s; width, height: mm, width >= height; factor: flow factor. Derived.

    >>> round(speed_at_flow(12, 0.45, 0.2), 1)
    147.4
    """
    positive(factor=factor)
    not_negative(flow=flow)
    return flow / (section(width, height) * factor)


def filament_area(diameter: float) -> float:
    """Section of the filament in mm2: pi d^2/4.

    diameter: mm. Derived.

    >>> round(filament_area(1.75), 4)
    2.4053
    """
    positive(diameter=diameter)
    return pi / 4 * diameter * diameter


def filament_speed(flow: float, diameter: float) -> float:
    """Speed in mm/s at which filament is fed: u = Q/(pi d^2/4).

    flow: mm3/s; diameter: mm. Derived.

    >>> round(filament_speed(4.885, 1.75), 3)
    2.031
    """
    not_negative(flow=flow)
    return flow / filament_area(diameter)


def flow_at_feed(filament_speed: float, diameter: float) -> float:
    """Volume flow in mm3/s of filament fed at a speed: Q = u pi d^2/4.

    filament_speed: mm/s; diameter: mm. Derived.

    >>> round(flow_at_feed(5, 1.75), 3)
    12.026
    """
    not_negative(filament_speed=filament_speed)
    return filament_speed * filament_area(diameter)


def filament_length(volume: float, diameter: float) -> float:
    """Length in mm of the filament that holds a volume: L = V/(pi d^2/4).

    volume: mm3; diameter: mm. Derived.

    >>> round(filament_length(10_000, 1.75), 0)
    4158.0
    """
    not_negative(volume=volume)
    return volume / filament_area(diameter)


def mass(volume: float, density: float) -> float:
    """Mass in g: m = rho V.

    volume: mm3; density: g/cm3. Derived.

    >>> round(mass(10_000, 1.24), 2)
    12.4
    """
    not_negative(volume=volume)
    positive(density=density)
    return volume * density / 1000


def price(mass: float, price_per_mass: float) -> float:
    """Price of a mass of filament, in the currency of the price per kilogram.

    mass: g; price_per_mass: 1/kg. Derived.

    >>> round(price(12.4, 25), 4)
    0.31
    """
    not_negative(mass=mass, price_per_mass=price_per_mass)
    return mass * price_per_mass / 1000


def spool_length(mass: float, density: float, diameter: float) -> float:
    """Length in mm of the filament on a spool: L = m/(rho pi d^2/4).

    mass: g; density: g/cm3; diameter: mm. Derived.

    >>> round(spool_length(1000, 1.24, 1.75) / 1000, 1), round(spool_length(1000, 1.24, 2.85) / 1000, 1)
    (335.3, 126.4)
    """
    not_negative(mass=mass)
    positive(density=density)
    return filament_length(mass / density * 1000, diameter)


def bead_mass(width: float, height: float, density: float, factor: float = 1.0) -> float:
    """Mass per length of a bead in g/m: rho A f.

    width, height: mm, width >= height; density: g/cm3; factor: flow factor. Derived (mm2 times g/cm3 is g/m).

    >>> round(bead_mass(0.45, 0.2, 1.24), 5)
    0.10096
    """
    positive(density=density, factor=factor)
    return section(width, height) * density * factor


def diameter_flow(true_diameter: float, set_diameter: float) -> float:
    """True over computed flow when the filament is not as thick as set: (d_true/d_set)^2, since feeding is by length.

    true_diameter, set_diameter: mm. Derived.

    >>> round(diameter_flow(1.80, 1.75), 5), round(diameter_flow(2.85, 1.75), 3)
    (1.05796, 2.652)
    """
    positive(true_diameter=true_diameter, set_diameter=set_diameter)
    return (true_diameter / set_diameter) ** 2


def purge_feed(width: float, height: float, line_length: float, diameter: float) -> float:
    """Filament in mm that a purge line takes: A L/(pi d^2/4).

    width, height: mm, width >= height; line_length, diameter: mm. Derived.

    >>> round(purge_feed(0.6, 0.28, 180, 1.75), 1)
    11.3
    """
    not_negative(line_length=line_length)
    return filament_length(section(width, height) * line_length, diameter)
