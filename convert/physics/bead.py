"""The bead: one laid strand, taken as a rectangle with half-round ends (a stadium).

A stadium conserves mass and lets width, height and flow be turned into each other. It is no promise of the measured
width: simulated strands run from nearly round (fast, large gap) to a flat cuboid (slow, small gap), by the ratios
gap/bore and plate speed/nozzle speed alone (quoted: Comminal, Serdeczny, Pedersen, Spangenberg, Additive
Manufacturing 2018, 68-76, abstract).
"""

from __future__ import annotations

from math import pi, radians, tan

from convert.physics import OutOfRange, finite, positive, within

ENDS = 1 - pi / 4
"""What the two half-round ends lack of a rectangle, in squares of the height: 0.2146."""


def check_bead(height: float, **widths: float) -> None:
    """Refuse beads narrower than their layer: they have no flat contact, and no section that width and height
    define."""
    positive(**widths, height=height)
    for name, width in widths.items():
        if width < height:
            raise OutOfRange(name, width, f"at least the height, {height:.6g}: a narrower bead is a free strand")


def section(width: float, height: float) -> float:
    """Section of a bead in mm2: A = h (w - h) + pi h^2/4.

    width, height: mm, width >= height (equal: a circle). Derived: a rectangle and a circle.

    >>> round(section(0.45, 0.20), 7)
    0.0814159
    """
    check_bead(height, width=width)
    return height * (width - height) + pi / 4 * height * height


def rectangle(width: float, height: float) -> float:
    """Section in mm2 where a program takes the bead as a plain rectangle: A = w h.

    width, height: mm. Derived.

    >>> round(rectangle(0.45, 0.20), 4)
    0.09
    """
    positive(width=width, height=height)
    return width * height


def section_ratio(width: float, height: float) -> float:
    """Stadium over rectangle: the flow factor that makes a rectangle program lay the plastic of a stadium program.

    1 - (1 - pi/4) h/w; width, height: mm, width >= height. Derived.

    >>> round(section_ratio(0.45, 0.20), 4)
    0.9046
    """
    check_bead(height, width=width)
    return 1 - ENDS * height / width


def width_of(section: float, height: float) -> float:
    """Width in mm of the bead that has this section: w = A/h + (1 - pi/4) h.

    section: mm2, at least the circle pi h^2/4; height: mm. Derived: `section` solved for the width.

    >>> round(width_of(0.09, 0.20), 4)
    0.4929
    """
    positive(section=section, height=height)
    least = pi / 4 * height * height
    if section < least * (1 - 1e-12):
        raise OutOfRange("section", section, f"at least that of a round strand as high as the layer, {least:.6g}")
    return section / height + ENDS * height


def spacing(width: float, height: float, overlap: float = 1.0) -> float:
    """Distance in mm between the centres of neighbouring beads: s = w - o (1 - pi/4) h.

    width, height: mm, width >= height; overlap: 0 (beads touch) to 1 (the laid area equals the layer's area). Derived.

    >>> [round(spacing(0.45, 0.20, o), 4) for o in (0, 0.5, 1)]
    [0.45, 0.4285, 0.4071]
    """
    check_bead(height, width=width)
    within(0, 1, overlap=overlap)
    return width - overlap * ENDS * height


def void_area(height: float, overlap: float = 0.0) -> float:
    """Empty area in mm2 per pitch between neighbouring beads: (1 - o) (1 - pi/4) h^2.

    height: mm; overlap: 0 (touching) to 1 (filled). Derived.

    >>> round(void_area(0.20), 6)
    0.008584
    """
    positive(height=height)
    within(0, 1, overlap=overlap)
    return (1 - overlap) * ENDS * height * height


def void_share(width: float, height: float, overlap: float = 0.0) -> float:
    """Empty share of a layer of parallel beads: (1 - o) c h / (w - o c h), c = 1 - pi/4.

    width, height: mm, width >= height; overlap: 0..1. Derived: `void_area` over pitch times height.

    >>> round(void_share(0.45, 0.20), 5)
    0.09538
    """
    return void_area(height, overlap) / (height * spacing(width, height, overlap))


def overlap_of(share: float, width: float, height: float) -> float:
    """Overlap (0 touching .. 1 filled) that "overlap by a share of the width" means: o = k w / ((1 - pi/4) h).

    share: s = w (1 - k); width, height: mm. Derived. Above 1 more plastic is laid than there is room for.

    >>> round(overlap_of(0.0477, 0.45, 0.20), 4)
    0.5001
    """
    check_bead(height, width=width)
    finite(share=share)
    return share * width / (ENDS * height)


def aspect(width: float, height: float) -> float:
    """Width over height of a bead; below about 1.2 it is a rope that bonds badly (common practice).

    width, height: mm. Derived.

    >>> round(aspect(0.45, 0.20), 2)
    2.25
    """
    positive(width=width, height=height)
    return width / height


def strand_section(bore: float, speed_ratio: float) -> float:
    """Section in mm2 of the strand behind a nozzle, by balance of mass: A = pi d^2/4 / (v/U).

    bore: mm; speed_ratio: print speed over mean speed in the nozzle. Derived.

    >>> round(strand_section(0.4, 1.0), 4)
    0.1257
    """
    positive(bore=bore, speed_ratio=speed_ratio)
    return pi / 4 * bore * bore / speed_ratio


def step_out(height: float, angle: float) -> float:
    """How far in mm each layer of a leaning wall steps out: h tan(phi).

    height: mm; angle: deg from vertical, 0 to below 90. Derived.

    >>> round(step_out(0.2, 45), 4)
    0.2
    """
    positive(height=height)
    within(0, 89.999, angle=angle)
    return height * tan(radians(angle))


def unsupported_share(height: float, width: float, angle: float) -> float:
    """Share of a bead that hangs over the one below: h tan(phi)/w (1 and more: it has nothing below).

    height, width: mm; angle: deg from vertical, 0 to below 90. Derived. One machine managed 45 deg (quoted: Mazlan
    et al., J. Adv. Ind. Technol. Appl. 2020, 38-47, abstract).

    >>> round(unsupported_share(0.2, 0.45, 45), 4)
    0.4444
    """
    positive(width=width)
    return step_out(height, angle) / width


def squeezed_width(width: float, height: float, factor: float) -> float:
    """Width in mm that a bead takes with a flow factor: w' = f A/h + (1 - pi/4) h.

    width, height: mm, width >= height; factor: 1 as computed. Derived: `section` times factor, then `width_of`.

    >>> round(squeezed_width(0.45, 0.2, 1.05), 4)
    0.4704
    """
    positive(factor=factor)
    return width_of(section(width, height) * factor, height)
