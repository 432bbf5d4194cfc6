"""Size: shrinkage, scale against offset, contraction, first-layer height."""

from __future__ import annotations

from convert.physics import OutOfRange, finite, not_negative, positive, within


def shrink_scale(shrinkage: float) -> float:
    """Scale that makes up for shrinkage: 1/(1 - S).

    shrinkage: share lost in cooling, -0.5..0.5. Derived.

    >>> round(shrink_scale(0.007), 5)
    1.00705
    """
    within(-0.5, 0.5, shrinkage=shrinkage)
    return 1 / (1 - shrinkage)


def size_scale(small: float, small_measured: float, large: float, large_measured: float) -> float:
    """True scale from two sizes of one test part: s = (M2 - M1)/(L2 - L1), free of any offset.

    small, small_measured, large, large_measured: mm, large above small. Derived (M = s L + 2 o).

    >>> round(size_scale(20, 20.06, 100, 99.82), 4)
    0.997
    """
    positive(small=small, small_measured=small_measured, large=large, large_measured=large_measured)
    if large <= small:
        raise OutOfRange("large", large, f"above the small size, {small:.6g}")
    return (large_measured - small_measured) / (large - small)


def size_offset(small: float, small_measured: float, large: float, large_measured: float) -> float:
    """Offset in mm per side from two sizes: o = (M1 - s L1)/2.

    small, small_measured, large, large_measured: mm, large above small. Derived.

    >>> round(size_offset(20, 20.06, 100, 99.82), 4)
    0.06
    """
    return (small_measured - size_scale(small, small_measured, large, large_measured) * small) / 2


def contraction(expansion: float, part_length: float, rise: float) -> float:
    """Free change of length in mm: alpha L dT, the drive of warping.

    expansion: um/(m.K); part_length: mm; rise: K. Derived (the definition).

    >>> round(contraction(90, 200, 80), 2), round(contraction(68, 200, 35), 3)
    (1.44, 0.476)
    """
    not_negative(expansion=expansion, part_length=part_length)
    finite(rise=rise)
    return expansion * 1e-6 * part_length * rise


def patch_offset(offset: float, patch_thickness: float, wanted_thickness: float) -> float:
    """New Z offset in mm from the thickness of one-layer patches: old - (measured - wanted).

    offset, patch_thickness, wanted_thickness: mm. Derived.

    >>> round(patch_offset(-1.42, 0.27, 0.20), 4)
    -1.49
    """
    finite(offset=offset)
    positive(patch_thickness=patch_thickness, wanted_thickness=wanted_thickness)
    return offset - (patch_thickness - wanted_thickness)


def screw_turn(change: float, pitch: float) -> float:
    """Turn in deg of a bed screw: dz/p 360.

    change: mm; pitch: mm. Derived.

    >>> round(screw_turn(0.12, 0.5), 1)
    86.4
    """
    finite(change=change)
    positive(pitch=pitch)
    return change / pitch * 360
