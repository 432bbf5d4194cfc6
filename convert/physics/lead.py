"""Pressure lead: the filament stored in the feed path before a flow is steady.

First-order linear model (compliance times resistance), the one in common use; real melts are shear thinning, so the
best lead falls as flow rises.
"""

from __future__ import annotations

from convert.physics import not_negative, positive
from convert.physics.bead import section
from convert.physics.flow import filament_area


def lead_length(lead: float, filament_speed: float) -> float:
    """Filament in mm that is pushed ahead before a flow is steady: dL = K u.

    lead: s; filament_speed: mm/s. Derived (linear model).

    >>> lead_length(0.05, 5)
    0.25
    """
    not_negative(lead=lead, filament_speed=filament_speed)
    return lead * filament_speed


def lag_volume(lead: float, flow: float) -> float:
    """Volume in mm3 that an uncompensated start lacks: K Q.

    lead: s; flow: mm3/s. Derived (first-order lag).

    >>> round(lag_volume(0.05, 12), 4)
    0.6
    """
    not_negative(lead=lead, flow=flow)
    return lead * flow


def starved_length(lead: float, flow: float, width: float, height: float) -> float:
    """Length in mm of bead that volume would make: K Q/A.

    lead: s; flow: mm3/s; width, height: mm, width >= height. Derived.

    >>> round(starved_length(0.05, 12, 0.45, 0.2), 2)
    7.37
    """
    return lag_volume(lead, flow) / section(width, height)


def lead_feed_speed(
    filament_speed: float, lead: float, acceleration: float, width: float, height: float, diameter: float
) -> float:
    """Fastest filament speed in mm/s while speeding up with lead: u + K a A/A_f.

    filament_speed: mm/s, steady; lead: s; acceleration: mm/s2; width, height: mm, width >= height; diameter: mm.
    Derived.

    >>> round(lead_feed_speed(10.1555, 0.035, 10_000, 0.45, 0.2, 1.75), 1)
    22.0
    """
    not_negative(filament_speed=filament_speed, lead=lead, acceleration=acceleration)
    return filament_speed + lead * feed_acceleration(acceleration, width, height, diameter)


def feed_acceleration(acceleration: float, width: float, height: float, diameter: float) -> float:
    """Filament acceleration in mm/s2 that goes with a head acceleration: a A/A_f.

    acceleration: mm/s2; width, height: mm, width >= height; diameter: mm. Derived.

    >>> round(feed_acceleration(10_000, 0.45, 0.2, 1.75))
    338
    """
    not_negative(acceleration=acceleration)
    positive(diameter=diameter)
    return acceleration * section(width, height) / filament_area(diameter)


def lead_from_tower(start_lead: float, lead_per_height: float, best_height: float) -> float:
    """Lead in s read from a test tower whose lead grows with height: K_0 + k z.

    start_lead: s; lead_per_height: s/mm; best_height: mm. Derived.

    >>> round(lead_from_tower(0, 0.002, 17.5), 4)
    0.035
    """
    not_negative(start_lead=start_lead, lead_per_height=lead_per_height, best_height=best_height)
    return start_lead + lead_per_height * best_height
