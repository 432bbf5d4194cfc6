"""Walls, skins and layers: how counts become thicknesses and back."""

from __future__ import annotations

from math import ceil, floor

from convert.physics import not_negative, positive, whole
from convert.physics.bead import check_bead, spacing

_SLACK = 1e-9
"""What decimal settings lose in binary: 20.05 mm of 0.2 mm layers must not count one layer more."""


def wall_stack(outer_width: float, inner_width: float, height: float, count: float, overlap: float = 1.0) -> float:
    """Thickness in mm of a stack of walls: T = w_o + (n - 1) (w_i - o (1 - pi/4) h).

    outer_width, inner_width, height: mm, widths >= height; count: walls, 0 or more; overlap: 1 the beads fill the
    stack, 0 they only touch. Derived.

    >>> round(wall_stack(0.45, 0.45, 0.2, 3), 4), round(wall_stack(0.45, 0.45, 0.2, 3, overlap=0), 4)
    (1.2642, 1.35)
    """
    whole(count=count)
    check_bead(height, outer_width=outer_width, inner_width=inner_width)
    pitch = spacing(inner_width, height, overlap)
    return outer_width + (count - 1) * pitch if count else 0.0


def walls_in(thickness: float, width: float, height: float, overlap: float = 1.0) -> float:
    """Whole beads that a wall of this thickness holds: n = 1 + floor((t - w)/s), 0 if not even one fits.

    thickness, width, height: mm, width >= height; overlap: 0..1. Derived.

    >>> walls_in(1.27, 0.45, 0.2), walls_in(1.26, 0.45, 0.2), walls_in(0.4, 0.45, 0.2)
    (3.0, 2.0, 0.0)
    """
    not_negative(thickness=thickness)
    pitch = spacing(width, height, overlap)
    return max(0.0, 1.0 + floor((thickness - width) / pitch + _SLACK))


def wall_rest(thickness: float, width: float, height: float, overlap: float = 1.0) -> float:
    """Gap in mm that whole beads leave in a wall of this thickness: t - T(n).

    thickness, width, height: mm, width >= height; overlap: 0..1. Derived.

    >>> round(wall_rest(1.4, 0.45, 0.2), 4)
    0.1358
    """
    count = walls_in(thickness, width, height, overlap)
    return max(0.0, thickness - wall_stack(width, width, height, count, overlap))


def layer_count(part_height: float, first_height: float, height: float) -> float:
    """Layers needed to reach a height: N = 1 + ceil((H - h1)/h).

    part_height, first_height, height: mm. Derived. Some programs leave a partial last layer out.

    >>> layer_count(20, 0.25, 0.2), layer_count(20.05, 0.25, 0.2)
    (100.0, 100.0)
    """
    positive(part_height=part_height, first_height=first_height, height=height)
    return 1.0 + max(0, ceil((part_height - first_height) / height - _SLACK))


def built_height(part_height: float, first_height: float, height: float) -> float:
    """Height in mm of a part made of whole layers: h1 + (N - 1) h.

    part_height, first_height, height: mm. Derived.

    >>> round(built_height(20, 0.25, 0.2), 4)
    20.05
    """
    return first_height + (layer_count(part_height, first_height, height) - 1) * height


def floor_thickness(count: float, first_height: float, height: float) -> float:
    """Thickness in mm of the solid bottom: h1 + (n - 1) h.

    count: solid layers, 0 or more; first_height, height: mm. Derived.

    >>> round(floor_thickness(5, 0.25, 0.2), 4)
    1.05
    """
    positive(first_height=first_height, height=height)
    whole(count=count)
    return first_height + (count - 1) * height if count else 0.0


def roof_thickness(count: float, height: float, least_thickness: float = 0.0) -> float:
    """Thickness in mm of the solid top: n h, with as many layers as the least thickness needs.

    count: solid layers, 0 or more; height, least_thickness: mm. Derived.

    >>> round(roof_thickness(4, 0.2), 4), round(roof_thickness(4, 0.2, 0.9), 4)
    (0.8, 1.0)
    """
    whole(count=count)
    not_negative(least_thickness=least_thickness)
    return max(count, layers_for(least_thickness, height)) * height


def layers_for(thickness: float, height: float) -> float:
    """Layers that make at least this thickness: ceil(t/h).

    thickness, height: mm. Derived.

    >>> layers_for(0.8, 0.2), layers_for(0.81, 0.2)
    (4.0, 5.0)
    """
    positive(height=height)
    not_negative(thickness=thickness)
    return float(ceil(thickness / height - _SLACK))


def step_residue(height: float, step: float) -> float:
    """Distance in mm from a height to the nearest multiple of the full step of the Z axis (0: no banding from
    microsteps).

    height, step: mm. Derived; that multiples show less banding is common practice.

    >>> round(step_residue(0.25, 0.04), 4), round(step_residue(0.24, 0.04), 4)
    (0.01, 0.0)
    """
    positive(height=height, step=step)
    rest = height / step - floor(height / step)
    return min(rest, 1 - rest) * step
