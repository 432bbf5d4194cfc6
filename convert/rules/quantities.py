"""What the settings of a setup come to: the functions behind the table of derived quantities (`derived`).

A quantity is computed when somebody asks, from the setup's own numbers; a missing input raises `Missing` with its name.
Those per feature take one of FEATURES. `explain` prints them, rules judge them, and a comparison shows them before and
after.
"""

from __future__ import annotations

import math

from convert.physics import bead, corner, flow, infill, lead, motion, retraction, ringing, shells, surface
from convert.rules.setup import Missing, Setup, once

FEATURES = (
    "outer_wall",
    "inner_wall",
    "infill",
    "solid",
    "top",
    "first_layer",
    "bridge",
    "support",
    "interface",
    "outline",
)
"""Kinds of bead that have a width; slits, small outlines and overhangs take the inner or outer wall's."""

WIDTH_OF = {"gap": "inner_wall", "small": "outer_wall", "overhang": "outer_wall"}


def width(setup: Setup, feature: str) -> float:
    """Bead width of a feature, mm."""
    return setup.number(f"width.{WIDTH_OF.get(feature, feature)}")


def height(setup: Setup, feature: str) -> float:
    """Layer height under a feature, mm."""
    if feature == "first_layer":
        first = setup.get("layer.first")
        if first is not None:
            return first
    return setup.number("layer.height")


def speed(setup: Setup, feature: str) -> float:
    """Speed asked for, mm/s."""
    return setup.number(f"speed.{feature}")


@once
def acceleration(setup: Setup, feature: str) -> float:
    """Acceleration in force, mm/s2: asked, then the machine-wide and the weaker axis' limit."""
    asked = setup.number(f"acceleration.{feature}")
    kind = "travel" if feature == "travel" else "print"
    return min(
        asked, setup.get(f"limit.acceleration.{kind}", math.inf) or math.inf, axis_limit(setup, "max_acceleration")
    )


@once
def axis_limit(setup: Setup, part: str) -> float:
    """The smaller of the X and the Y limit; inf where none is stated."""
    found = [setup.get(f"axis.{axis}.{part}") for axis in "xy"]
    return min((value for value in found if value), default=math.inf)


@once
def flow_factor(setup: Setup, feature: str) -> float:
    """All flow factors multiplied, 1 = as computed."""
    own = setup.number(f"flow.{feature}") / 100
    return setup.number("flow.factor") / 100 * own


@once
def section(setup: Setup, feature: str) -> float:
    """Bead section, mm2, flow factors left out."""
    w, h = width(setup, feature), height(setup, feature)
    if w < h:
        raise Missing(f"a section: {feature} is {w:g} mm wide and {h:g} mm high, which is a free strand")
    return bead.section(w, h)


@once
def flow_asked(setup: Setup, feature: str) -> float:
    """Volume flow asked for, mm3/s, before any limit."""
    return section(setup, feature) * speed(setup, feature) * flow_factor(setup, feature)


def flow_limits(setup: Setup) -> dict[str, float]:
    """Every stated limit on volume flow, mm3/s, by the setting it comes from."""
    found: dict[str, float] = {}
    for name in ("speed.flow_cap", "hotend.melt_rate", "feedstock.melt_rate"):
        value = setup.get(name)
        if value is not None and value != math.inf:
            found[name] = value
    diameter = setup.get("feedstock.diameter")
    if diameter:
        area = flow.filament_area(diameter)
        for name in ("feed.max_speed", "axis.e.max_speed"):
            value = setup.get(name)
            if value:
                found[name] = value * area
    return found


def flow_allowed(setup: Setup) -> float:
    """The smallest stated limit on volume flow, mm3/s. Missing where none is stated."""
    limits = flow_limits(setup)
    if not limits:
        raise Missing("hotend.melt_rate or feedstock.melt_rate")
    return min(limits.values())


def melt_allowed(setup: Setup) -> float:
    """What hot end and filament can melt, mm3/s, the process' own cap left out. Missing where not stated."""
    found = [setup.get(name) for name in ("hotend.melt_rate", "feedstock.melt_rate")]
    known = [value for value in found if value is not None]
    if not known:
        raise Missing("hotend.melt_rate or feedstock.melt_rate")
    return min(known)


def volume_flow(setup: Setup, feature: str) -> float:
    """Volume flow commanded, mm3/s: asked, after speed.flow_cap."""
    asked, cap = flow_asked(setup, feature), setup.get("speed.flow_cap")
    return asked if cap is None else min(asked, cap)


@once
def effective_speed(setup: Setup, feature: str) -> float:
    """Speed after speed.flow_cap and the axis limits, mm/s."""
    asked = min(speed(setup, feature), axis_limit(setup, "max_speed"))
    cap = setup.get("speed.flow_cap")
    if feature == "travel" or cap is None or cap == math.inf:
        return asked
    return min(asked, cap / (section(setup, feature) * flow_factor(setup, feature)))


def filament_speed(setup: Setup, feature: str) -> float:
    """Filament speed, mm/s, at the commanded flow."""
    return flow.filament_speed(volume_flow(setup, feature), setup.number("feedstock.diameter"))


def reach_distance(setup: Setup, feature: str) -> float:
    """Distance to reach the effective speed from rest, mm: v^2/2a."""
    return motion.reach_distance(effective_speed(setup, feature), acceleration(setup, feature))


def peak_speed(setup: Setup, feature: str, length: float) -> float:
    """Highest speed on a line of that length, rest to rest, mm/s."""
    return motion.peak_speed(length, effective_speed(setup, feature), acceleration(setup, feature))


def corner_speed(setup: Setup, feature: str) -> float:
    """Speed through a 90 degree corner, mm/s."""
    deviation = setup.get("motion.corner_deviation")
    top = effective_speed(setup, feature)
    if deviation:
        return min(top, corner.deviation_speed(acceleration(setup, feature), deviation))
    jumps = [setup.get(f"jump.{feature}"), setup.get("axis.x.max_jump"), setup.get("axis.y.max_jump")]
    known = [value for value in jumps if value is not None]
    if not known:
        raise Missing("motion.corner_deviation or jump.default")
    return min(top, corner.jump_speed(min(known)))


def wall_stack(setup: Setup) -> float:
    """Thickness of the walls, mm: outer bead + (n-1)(inner bead - h(1 - pi/4))."""
    count = setup.number("wall.count")
    if count < 1:
        return 0.0
    return shells.wall_stack(
        width(setup, "outer_wall"), width(setup, "inner_wall"), setup.number("layer.height"), int(count)
    )


def roof_thickness(setup: Setup) -> float:
    """Solid roof, mm."""
    layers, least = setup.get("cover.upper_layers"), setup.get("cover.upper_thickness") or 0.0
    if layers is None and not least:
        raise Missing("cover.upper_layers or cover.upper_thickness")
    return shells.roof_thickness(int(layers or 0), setup.number("layer.height"), least)


def floor_thickness(setup: Setup) -> float:
    """Solid floor, mm."""
    layers, least = setup.get("cover.lower_layers"), setup.get("cover.lower_thickness")
    if layers is None:
        if least is None:
            raise Missing("cover.lower_layers or cover.lower_thickness")
        return least
    if layers < 1:
        return least or 0.0
    stack = shells.floor_thickness(int(layers), height(setup, "first_layer"), setup.number("layer.height"))
    return max(stack, least or 0.0)


def line_families(setup: Setup) -> int:
    """Directions of lines that the infill pattern lays in every layer; 1 where the pattern is not stated."""
    return infill.FAMILIES.get(setup.text("infill.pattern"), 1)


def infill_spacing(setup: Setup) -> float:
    """Distance between infill lines of one direction, mm."""
    density = setup.number("infill.density") / 100
    if density <= 0:
        raise Missing("infill.density above 0")
    return infill.infill_spacing(width(setup, "infill"), setup.number("layer.height"), density, line_families(setup))


def lead_length(setup: Setup, feature: str) -> float:
    """Filament that the pressure lead moves ahead, mm."""
    return lead.lead_length(setup.number("flow.lead"), filament_speed(setup, feature))


def retraction_time(setup: Setup) -> float:
    """Time of one retraction and return, s, ramps left out."""
    length = setup.number("retract.length")
    if not length:
        return 0.0
    pull = setup.number("retract.speed")
    back = setup.get("retract.return_speed") or pull
    return retraction.retraction_time(length, pull, back, setup.get("retract.overfeed") or 0.0)


def ring_wavelength(setup: Setup, feature: str) -> float:
    """Spacing of ringing on the wall, mm, for the lower of the measured resonances."""
    found = [setup.get("motion.resonance_x"), setup.get("motion.resonance_y")]
    known = [value for value in found if value]
    if not known:
        raise Missing("motion.resonance_x or motion.resonance_y")
    return ringing.ring_wavelength(effective_speed(setup, feature), min(known))


def slope_roughness(setup: Setup) -> float:
    """Roughness Ra of a slope of 45 degrees, um: stair steps of the layers."""
    return surface.stair_roughness(setup.number("layer.height"), 45.0)


def bead_mass(setup: Setup, feature: str) -> float:
    """Mass of a metre of bead, g, flow factors in."""
    return section(setup, feature) * flow_factor(setup, feature) * setup.number("feedstock.density")
