"""From a measurement on a test print to the setting that it asks for."""

from __future__ import annotations

from convert.physics import OutOfRange, not_negative, positive, within
from convert.physics.bead import check_bead, section


def flow_factor_by_width(factor: float, width: float, measured_width: float) -> float:
    """New flow factor from a measured single wall: f w/w_m, for a program that takes beads as rectangles.

    factor: in force while printing; width, measured_width: mm. Common practice.

    >>> round(flow_factor_by_width(0.97, 0.45, 0.48), 3)
    0.909
    """
    positive(factor=factor, width=width, measured_width=measured_width)
    return factor * width / measured_width


def flow_factor_by_bead(factor: float, width: float, measured_width: float, height: float) -> float:
    """New flow factor from a measured single wall: f A(w, h)/A(w_m, h).

    factor: in force while printing; width, measured_width, height: mm, widths >= height. Derived (stadium beads).

    >>> round(flow_factor_by_bead(0.97, 0.45, 0.48, 0.2), 3)
    0.903
    """
    positive(factor=factor)
    check_bead(height, width=width, measured_width=measured_width)
    return factor * section(width, height) / section(measured_width, height)


def flow_factor_by_diameter(set_diameter: float, measured_diameter: float) -> float:
    """Flow factor that makes up for filament of another thickness: (d_set/d_measured)^2.

    set_diameter, measured_diameter: mm. Derived.

    >>> round(flow_factor_by_diameter(1.75, 1.72), 4)
    1.0352
    """
    positive(set_diameter=set_diameter, measured_diameter=measured_diameter)
    return (set_diameter / measured_diameter) ** 2


def corrected_steps(steps: float, commanded: float, actual: float) -> float:
    """Feed steps per mm after feeding a marked length: steps times commanded/actual.

    steps: 1/mm; commanded, actual: mm. Derived.

    >>> round(corrected_steps(415, 100, 96.6), 1)
    429.6
    """
    positive(steps=steps, commanded=commanded, actual=actual)
    return steps * commanded / actual


def free_air_ratio(measured_mass: float, density: float, flow: float, time: float) -> float:
    """Extruded over asked mass of a free-air test: m/(rho Q t).

    measured_mass: g; density: g/cm3; flow: mm3/s; time: s. Derived.

    >>> round(free_air_ratio(2.4, 1.24, 20, 100), 3)
    0.968
    """
    not_negative(measured_mass=measured_mass)
    positive(density=density, flow=flow, time=time)
    return measured_mass / (density / 1000 * flow * time)


def flow_knee(flow: float, ratio: float, next_flow: float, next_ratio: float, knee_ratio: float = 0.95) -> float:
    """Flow in mm3/s at which a free-air test falls to the knee, between two readings: linear interpolation.

    flow, next_flow: mm3/s; ratio >= knee_ratio >= next_ratio: extruded over asked. Common practice; cap at 85..90 % of
    it, since the layer below presses back when printing.

    >>> round(flow_knee(20, 0.9677, 22, 0.9457), 1)
    21.6
    """
    positive(flow=flow, next_flow=next_flow)
    within(0, 2, ratio=ratio, next_ratio=next_ratio)
    if ratio <= next_ratio or not next_ratio <= knee_ratio <= ratio:
        raise OutOfRange("knee_ratio", knee_ratio, "between the two ratios, the second the smaller")
    return flow + (next_flow - flow) * (ratio - knee_ratio) / (ratio - next_ratio)


def reading_score(
    bond: float,
    worst_bond: float,
    best_bond: float,
    strings: float,
    most_strings: float,
    sag: float,
    most_sag: float,
    least_sag: float,
) -> float:
    """Score 0..1 of one step of a temperature series: geometric mean of bond, strings and sag, each scaled to 0..1.

    bond, worst_bond, best_bond: one unit; strings, most_strings: counted; sag, most_sag, least_sag: one unit.
    Common practice; a zero in one of them vetoes the step.

    >>> round(reading_score(31, 18, 32, 4, 15, 0.7, 2.0, 0.3), 3)
    0.805
    """
    positive(best_bond=best_bond, most_strings=most_strings, most_sag=most_sag)
    not_negative(bond=bond, worst_bond=worst_bond, strings=strings, sag=sag, least_sag=least_sag)
    if best_bond <= worst_bond:
        raise OutOfRange("best_bond", best_bond, f"above the worst bond, {worst_bond:.6g}")
    if most_sag <= least_sag:
        raise OutOfRange("most_sag", most_sag, f"above the least sag, {least_sag:.6g}")
    parts = (
        (bond - worst_bond) / (best_bond - worst_bond),
        1 - strings / most_strings,
        (most_sag - sag) / (most_sag - least_sag),
    )
    product = 1.0
    for part in parts:
        product *= min(1.0, max(0.0, part))
    return float(product ** (1 / 3))
