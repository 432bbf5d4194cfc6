"""Infill: density, line spacing, and what it weighs.

Published order of influence on yield strength of PLA: skins, then walls at half of that, then infill share at half
again (Homrani et al., Polymers 16 (2024) 2253, abstract), so a wall more usually beats ten percent of infill more.
"""

from __future__ import annotations

from convert.physics import not_negative, positive, whole, within
from convert.physics.bead import section

FAMILIES = {
    "lines-alternating": 1,
    "lines-one-way": 1,
    "lines-joined": 1,
    "lines-square": 2,
    "lines-triangle": 3,
    "lines-kagome": 3,
    "cells-cube": 3,
    "cells-cube-open": 3,
    "cells-octet": 4,
}
"""Families of parallel lines laid in every layer, by pattern. Derived: a set of planes cuts each layer in one family,
and a cube on its corner has three sets, the octahedra and tetrahedra of the octet four. Other patterns count as 1: they
lay each length once."""


def infill_spacing(width: float, height: float, fill: float, families: float = 1.0) -> float:
    """Distance in mm between the parallel lines of a family: s = m A/(h phi).

    width, height: mm, width >= height; fill: share of the inside filled, above 0 to 1; families: line directions laid
    in every layer. Derived (volume laid per area). Crossing families lay their nodes twice.

    >>> [round(infill_spacing(0.45, 0.2, 0.2, m), 3) for m in (1, 2, 3)]
    [2.035, 4.071, 6.106]
    """
    positive(fill=fill)
    within(0, 1, fill=fill)
    whole(1, families=families)
    return families * section(width, height) / (height * fill)


def infill_share(width: float, height: float, line_spacing: float, families: float = 1.0) -> float:
    """Share of the inside that lines at this spacing fill: phi = m A/(h s); above 1 more is laid than fits.

    width, height: mm, width >= height; line_spacing: mm; families: line directions laid in every layer. Derived.

    >>> round(infill_share(0.45, 0.2, 2.0354), 4)
    0.2
    """
    positive(line_spacing=line_spacing)
    whole(1, families=families)
    return families * section(width, height) / (height * line_spacing)


def infill_length(width: float, height: float, fill: float, area: float) -> float:
    """Length in mm of infill line in one layer of an area: phi h S/A.

    width, height: mm, width >= height; fill: 0..1; area: mm2. Derived.

    >>> round(infill_length(0.45, 0.2, 0.2, 1000), 1)
    491.3
    """
    within(0, 1, fill=fill)
    not_negative(area=area)
    return fill * height * area / section(width, height)


def infill_void(width: float, height: float, fill: float, families: float = 1.0) -> float:
    """Free span in mm between neighbouring infill lines, which the roof must bridge: s - w.

    width, height: mm, width >= height; fill: above 0 to 1; families: line directions. Derived; never below 0.

    >>> round(infill_void(0.45, 0.2, 0.2), 3)
    1.585
    """
    return max(0.0, infill_spacing(width, height, fill, families) - width)


def box_volume(
    x: float, y: float, z: float, wall_thickness: float, floor_thickness: float, roof_thickness: float, fill: float
) -> float:
    """Plastic in mm3 of a box with walls, skins and infill: V_shell + phi V_core.

    x, y, z, wall_thickness, floor_thickness, roof_thickness: mm; fill: 0..1. Derived; air between touching beads not
    counted.

    >>> round(box_volume(40, 30, 20, 1.26425, 0.8, 0.8, 0.2))
    8847
    """
    positive(x=x, y=y, z=z)
    not_negative(wall_thickness=wall_thickness, floor_thickness=floor_thickness, roof_thickness=roof_thickness)
    within(0, 1, fill=fill)
    core_x, core_y = max(0.0, x - 2 * wall_thickness), max(0.0, y - 2 * wall_thickness)
    core = core_x * core_y * max(0.0, z - floor_thickness - roof_thickness)
    return x * y * z - core + fill * core
