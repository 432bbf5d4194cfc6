"""Roughness that layers leave. Measured surfaces rank bore and layer height first (quoted: Alsoufi, Elsayed, Am. J.
Mech. Eng. 5 (2017) 211-222, abstract); down-facing ones are rougher than these figures."""

from __future__ import annotations

from math import asin, cos, pi, radians, sin, sqrt, tan

from convert.physics import positive, within

_MEAN = pi / 4  # height of a half circle of radius 1 over its diameter, on the mean
_CROSS = sqrt(1 - _MEAN * _MEAN)  # where it crosses that mean

RIPPLE_RA = asin(_CROSS) - _MEAN * _CROSS
"""Mean distance of a half circle of radius 1 from its mean line: 0.18130."""

RIPPLE_RQ = sqrt(2 / 3 - _MEAN * _MEAN)
"""Its root mean square distance: 0.22320."""


def cusp_height(height: float, slope: float) -> float:
    """Depth in mm of the steps on a slope, normal to it: h sin(a).

    height: mm; slope: deg from vertical, 0..90. Derived (sharp steps); at 0 deg `ripple_roughness` remains.

    >>> round(cusp_height(0.2, 30), 4)
    0.1
    """
    positive(height=height)
    within(0, 90, slope=slope)
    return height * sin(radians(slope))


def step_tread(height: float, slope: float) -> float:
    """Width in mm of the steps on a slope, seen from above: h tan(a).

    height: mm; slope: deg from vertical, 0 to below 90. Derived.

    >>> round(step_tread(0.2, 60), 4)
    0.3464
    """
    positive(height=height)
    within(0, 89.999, slope=slope)
    return height * tan(radians(slope))


def stair_roughness(height: float, slope: float) -> float:
    """Mean roughness Ra in um of a slope: h sin(a)/4, that of a sawtooth.

    height: mm; slope: deg from vertical, 0..90. Derived.

    >>> [round(stair_roughness(0.2, slope), 2) for slope in (60, 45, 30)]
    [43.3, 35.36, 25.0]
    """
    return cusp_height(height, slope) / 4 * 1000


def ripple_roughness(height: float) -> float:
    """Mean roughness Ra in um of a vertical wall of touching half-round beads: 0.18130 h/2.

    height: mm. Derived (half circles about their mean line); an upper bound, since beads merge.

    >>> round(ripple_roughness(0.2), 2)
    18.13
    """
    positive(height=height)
    return RIPPLE_RA * height / 2 * 1000


def ripple_rms(height: float) -> float:
    """Root mean square roughness Rq in um of that wall: sqrt(2/3 - pi^2/16) h/2 = 0.22320 h/2.

    height: mm. Derived.

    >>> round(ripple_rms(0.2), 2)
    22.32
    """
    positive(height=height)
    return RIPPLE_RQ * height / 2 * 1000


def fitted_roughness(height: float, slope: float, fit: float = 71.0) -> float:
    """Mean roughness Ra in um by a fit to measured slopes: 69.3..72.4 h/cos(a).

    height: mm; slope: deg from vertical, 0..70; fit: um/mm. From memory: Pandey, Reddy, Dhande 2003, one machine,
    ABS.

    >>> round(fitted_roughness(0.25, 30), 1)
    20.5
    """
    positive(height=height, fit=fit)
    within(0, 70, slope=slope)
    return fit * height / cos(radians(slope))
