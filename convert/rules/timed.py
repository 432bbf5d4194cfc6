"""A setup as the time model takes it, and what the reference bodies come to with it."""

from __future__ import annotations

import math
from collections.abc import Callable

from convert.physics import duration, shells
from convert.physics.bodies import body
from convert.physics.duration import Estimate
from convert.physics.printing import Feature, Print
from convert.rules.quantities import acceleration, axis_limit, flow_factor, height, line_families, speed, width
from convert.rules.setup import Missing, Setup, once


def _feature(setup: Setup, name: str) -> Feature:
    jump = setup.get(f"jump.{name}")
    return Feature(
        width=max(width(setup, name), height(setup, name)),
        speed=speed(setup, name),
        acceleration=acceleration(setup, name),
        jump=jump,
        flow=max(flow_factor(setup, name), 0.001),
    )


def _first_area(setup: Setup) -> Feature | None:
    """The filled area of the first layer, where it has a speed of its own."""
    if not setup.has("speed.first_layer_area"):
        return None
    first = _feature(setup, "first_layer")
    return Feature(first.width, setup.number("speed.first_layer_area"), first.acceleration, first.jump, first.flow)


def _layers(setup: Setup, side: str) -> int:
    """Solid layers: the stated count, or as many as the least thickness needs, whichever is more."""
    count, least = setup.get(f"cover.{side}_layers"), setup.get(f"cover.{side}_thickness")
    if count is None and least is None:
        raise Missing(f"cover.{side}_layers or cover.{side}_thickness")
    needed = shells.layers_for(least, setup.number("layer.height")) if least else 0
    return int(max(count or 0, needed))


def _retracting(setup: Setup, name: str) -> float:
    """A number that counts only where retraction is not off."""
    return (setup.get(name) or 0.0) if setup.value("retract.enabled") is not False else 0.0


def _finite(value: float | None) -> float | None:
    return None if value is None or value == math.inf else value


def _least(setup: Setup, *names: str) -> float | None:
    """The smallest of the limits that are stated and above 0; None where none is, or all are unlimited."""
    return _finite(min((value for value in map(setup.get, names) if value), default=None))


def _least_jump(setup: Setup) -> float | None:
    jumps = [setup.get("axis.x.max_jump"), setup.get("axis.y.max_jump")]
    return min((value for value in jumps if value is not None), default=None)


PARTS: dict[str, Callable[[Setup], object]] = {
    "melt_rate": lambda s: _least(s, "hotend.melt_rate", "feedstock.melt_rate"),
    "feed_speed": lambda s: _least(s, "feed.max_speed", "axis.e.max_speed"),
    "feed_acceleration": lambda s: _least(s, "feed.max_acceleration", "axis.e.max_acceleration"),
    "axis_jump": _least_jump,
    "first_area": _first_area,
    "layer_height": lambda s: s.number("layer.height"),
    "first_height": lambda s: height(s, "first_layer"),
    "outer_wall": lambda s: _feature(s, "outer_wall"),
    "inner_wall": lambda s: _feature(s, "inner_wall"),
    "solid": lambda s: _feature(s, "solid"),
    "top": lambda s: _feature(s, "top"),
    "infill": lambda s: _feature(s, "infill"),
    "first_layer": lambda s: _feature(s, "first_layer"),
    "travel_speed": lambda s: min(s.number("speed.travel"), axis_limit(s, "max_speed")),
    "travelling_acceleration": lambda s: acceleration(s, "travel"),
    "wall_count": lambda s: int(s.number("wall.count")),
    "lower_layers": lambda s: _layers(s, "lower"),
    "upper_layers": lambda s: _layers(s, "upper"),
    "fill": lambda s: s.number("infill.density") / 100,
    "families": line_families,
    "first_travel_speed": lambda s: s.get("speed.first_layer_travel"),
    "retraction": lambda s: _retracting(s, "retract.length"),
    "retraction_speed": lambda s: s.get("retract.speed"),
    "return_speed": lambda s: s.get("retract.return_speed") or s.get("retract.speed"),
    "overfeed": lambda s: s.get("retract.overfeed") or 0.0,
    "shortest_travel": lambda s: s.get("retract.shortest_travel") or 0.0,
    "hop": lambda s: _retracting(s, "travel.hop"),
    "lift_speed": lambda s: s.get("axis.z.max_speed"),
    "lift_acceleration": lambda s: s.get("axis.z.max_acceleration"),
    "pullback_acceleration": lambda s: s.get("limit.acceleration.pullback"),
    "corner_deviation": lambda s: s.get("motion.corner_deviation") or None,
    "axis_speed": lambda s: _finite(axis_limit(s, "max_speed")),
    "axis_acceleration": lambda s: _finite(axis_limit(s, "max_acceleration")),
    "flow_cap": lambda s: _finite(s.get("speed.flow_cap")),
    "least_layer_time": lambda s: s.get("cooling.min_layer_time") or 0.0,
    "slowest": lambda s: s.get("cooling.slowest") or 0.0,
    "wait": lambda s: s.is_on("cooling.wait_aside"),
    "diameter": lambda s: s.number("feedstock.diameter"),
    "density": lambda s: s.get("feedstock.density"),
    "price_per_mass": lambda s: s.get("feedstock.price"),
}
"""Each part of a Print, of a setup. Missing names the input that is not stated."""


@once
def print_of(setup: Setup) -> Print:
    """What the time model needs of a setup. Missing names the first input that is not stated."""
    return Print(**{name: part(setup) for name, part in PARTS.items()})  # type: ignore[arg-type]


@once
def estimate(setup: Setup, name: str) -> Estimate:
    """Time, plastic and price of a reference body."""
    return duration.estimate(body(name), print_of(setup))
