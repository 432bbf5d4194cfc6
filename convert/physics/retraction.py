"""Retraction: what is stored between gear and nozzle must be taken back before pressure drops.

Trade values: 0.4..1.5 mm with the drive on the head, 3..7 mm through a long guide (common practice). Too much draws the
hot end of the strand into the cold zone and jams it.
"""

from __future__ import annotations

from math import radians

from convert.physics import not_negative, positive
from convert.physics.flow import filament_area


def guide_compression(pressure: float, guide_length: float, modulus: float) -> float:
    """Shortening in mm of the filament in its guide: p L/E.

    pressure: MPa; guide_length: mm; modulus: MPa. Derived (Hooke's law).

    >>> round(guide_compression(5, 400, 3000), 4)
    0.6667
    """
    not_negative(pressure=pressure, guide_length=guide_length)
    positive(modulus=modulus)
    return pressure * guide_length / modulus


def melt_compression(pressure: float, heated_length: float, compressibility: float = 0.001) -> float:
    """Shortening in mm of the melt column: kappa p L.

    pressure: MPa; heated_length: mm; compressibility: 1/MPa, of melts 0.0007 (PA, PC, POM, PS) to 0.0012
    (PE) and 0.002 (PP) (published: Danner, High, Handbook of Polymer Solution Thermodynamics, table 3B-1). Derived.

    >>> round(melt_compression(5, 20), 4)
    0.1
    """
    not_negative(pressure=pressure, heated_length=heated_length, compressibility=compressibility)
    return compressibility * pressure * heated_length


def bend_slack(bend_angle: float, guide_bore: float, diameter: float) -> float:
    """Slack in mm of the filament in a bent guide, from its inner to its outer side: angle (D - d).

    bend_angle: deg in all; guide_bore, diameter: mm. Derived.

    >>> round(bend_slack(180, 2.0, 1.75), 4)
    0.7854
    """
    not_negative(bend_angle=bend_angle)
    positive(guide_bore=guide_bore, diameter=diameter)
    return radians(bend_angle) * max(0.0, guide_bore - diameter)


def stored_length(
    pressure: float,
    guide_length: float,
    modulus: float,
    heated_length: float,
    bend_angle: float,
    guide_bore: float,
    diameter: float,
) -> float:
    """Retraction in mm that undoes guide, melt and slack together.

    pressure, modulus: MPa; guide_length, heated_length, guide_bore, diameter: mm; bend_angle: deg. Derived: the sum of
    the three above.

    >>> round(stored_length(5, 400, 3000, 20, 180, 2.0, 1.75), 3)
    1.552
    """
    return (
        guide_compression(pressure, guide_length, modulus)
        + melt_compression(pressure, heated_length)
        + bend_slack(bend_angle, guide_bore, diameter)
    )


def retraction_time(retraction: float, retraction_speed: float, return_speed: float, overfeed: float = 0.0) -> float:
    """Time in s of one retraction and return, ramps left out: L/v_r + (L + o)/v_b.

    retraction, overfeed: mm; retraction_speed, return_speed: mm/s. Derived.

    >>> round(retraction_time(0.8, 40, 40), 4)
    0.04
    """
    not_negative(retraction=retraction)
    positive(retraction_speed=retraction_speed, return_speed=return_speed)
    return retraction / retraction_speed + max(0.0, retraction + overfeed) / return_speed


def retraction_volume(retraction: float, diameter: float) -> float:
    """Volume in mm3 moved by a retraction: L pi d^2/4.

    retraction, diameter: mm. Derived.

    >>> round(retraction_volume(0.8, 1.75), 2)
    1.92
    """
    not_negative(retraction=retraction)
    return retraction * filament_area(diameter)
