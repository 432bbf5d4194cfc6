"""What the time model has to know of a print, as plain numbers, and the speeds that its limits leave."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from math import pi, sqrt
from typing import NamedTuple

from convert.physics import OutOfRange, finite, not_negative, whole, within

_LEAST, _MOST = 1e-3, 1e6  # beyond, no speed, acceleration or flow is meant and doubles lose their digits
_RIGHT = sqrt(0.5)  # sine of half a right angle


class Feature(NamedTuple):
    """How one kind of bead is laid, percents and fallbacks resolved."""

    width: float
    """mm, at least the height of its layers"""
    speed: float
    """mm/s, as asked"""
    acceleration: float
    """mm/s2, as asked"""
    jump: float | None = None
    """mm/s, instant change of velocity; without it and without a corner deviation corners are full stops"""
    flow: float = 1.0
    """flow factor, all factors multiplied"""


@dataclass(slots=True, eq=False)
class Print:
    """All that the time model needs, plain numbers; None: no such limit (or, for density and price, not known)."""

    layer_height: float
    first_height: float
    outer_wall: Feature
    inner_wall: Feature
    solid: Feature
    top: Feature
    infill: Feature
    first_layer: Feature
    travel_speed: float
    travelling_acceleration: float
    wall_count: int = 2
    lower_layers: int = 4
    """solid layers at the bottom, the first one included"""
    upper_layers: int = 4
    """solid layers at the top, the topmost (`top`) included"""
    fill: float = 0.2
    """share of the inside filled, 0..1"""
    families: int = 1
    """line directions of the infill pattern laid in every layer"""
    first_area: Feature | None = None
    """solid lines of the first layer, where they differ from its walls"""
    first_travel_speed: float | None = None
    retraction: float = 0.0
    retraction_speed: float | None = None
    return_speed: float | None = None
    overfeed: float = 0.0
    shortest_travel: float = 0.0
    """shorter travels are made without retraction and hop"""
    hop: float = 0.0
    lift_speed: float | None = None
    """Z speed of the hop, None: instant"""
    lift_acceleration: float | None = None
    pullback_acceleration: float | None = None
    """mm/s2 of filament while it is pulled back and returned"""
    corner_deviation: float | None = None
    """mm; rules the corners where given, else the jumps do"""
    axis_speed: float | None = None
    """mm/s, the slower of X and Y"""
    axis_acceleration: float | None = None
    """mm/s2, the weaker of X and Y; a machine-wide limit goes into the features' and the travel's own"""
    axis_jump: float | None = None
    """mm/s, the smaller of X and Y"""
    flow_cap: float | None = None
    """mm3/s, of the process"""
    melt_rate: float | None = None
    """mm3/s, of hot end and filament, the smaller"""
    feed_speed: float | None = None
    """mm/s of filament"""
    feed_acceleration: float | None = None
    """mm/s2 of filament"""
    least_layer_time: float = 0.0
    slowest: float = 0.0
    """mm/s, print speed below which a quick layer is not slowed"""
    wait: bool = False
    """pause until the least layer time is up where slowing is not enough"""
    diameter: float = 1.75
    density: float | None = None
    """g/cm3"""
    price_per_mass: float | None = None
    """per kg"""

    def __post_init__(self) -> None:
        for check in CHECKS:
            check(self)


def _check(test: Callable[..., None], name: str, print_: Print) -> None:
    value = getattr(print_, name)
    if value is not None:
        test(**{name: value})


def _check_feature(name: str, print_: Print) -> None:
    feature = getattr(print_, name)
    if feature is None:
        return
    height = print_.first_height if name.startswith("first_") else print_.layer_height
    within(0.01, 100, **{f"{name}.width": feature.width})
    if feature.width < height:
        raise OutOfRange(f"{name}.width", feature.width, f"at least the layer height, {height:.6g}")
    for part in ("speed", "acceleration", "flow"):
        within(_LEAST, _MOST, **{f"{name}.{part}": getattr(feature, part)})
    if feature.jump is not None:
        not_negative(**{f"{name}.jump": feature.jump})


def _sane(**arguments: float) -> None:
    within(_LEAST, _MOST, **arguments)


def _sane_or_off(**arguments: float) -> None:
    _sane(**{name: value or 1.0 for name, value in arguments.items()})


_TESTS: tuple[tuple[Callable[..., None], tuple[str, ...]], ...] = (
    (partial(within, 0.001, 100), ("layer_height", "first_height")),
    (whole, ("wall_count", "lower_layers", "upper_layers")),
    (partial(whole, 1), ("families",)),
    (partial(within, 0, 1), ("fill",)),
    (partial(within, 0, 1000), ("wall_count", "families")),
    (_sane, ("travel_speed", "travelling_acceleration", "diameter")),
    (_sane_or_off, ("slowest",)),
    (finite, ("overfeed",)),
    (not_negative, (
        "retraction", "shortest_travel", "hop", "corner_deviation", "axis_jump", "least_layer_time", "price_per_mass",
    )),
    (_sane, (
        "first_travel_speed", "retraction_speed", "return_speed", "lift_speed", "lift_acceleration", "axis_speed",
        "axis_acceleration", "pullback_acceleration", "flow_cap", "melt_rate", "feed_speed", "feed_acceleration",
        "density",
    )),
)  # fmt: skip
_FEATURES = ("outer_wall", "inner_wall", "solid", "top", "infill", "first_layer", "first_area")

CHECKS: tuple[Callable[[Print], None], ...] = (
    *(partial(_check, test, name) for test, names in _TESTS for name in names),
    *(partial(_check_feature, name) for name in _FEATURES),
)
"""What must hold of a print; each raises OutOfRange where it does not."""


def bead_limits(print_: Print, feature: Feature, height: float) -> tuple[float, float, float, float]:
    """Speed (mm/s), acceleration (mm/s2), corner speed (mm/s) and laid section (mm2, flow factor in) of a feature,
    limits applied.

    >>> slim = Feature(width=0.45, speed=300, acceleration=5000, jump=8)
    >>> p = Print(0.2, 0.2, slim, slim, slim, slim, slim, slim, 300, 5000, flow_cap=12)
    >>> [round(v, 4) for v in bead_limits(p, slim, 0.2)]
    [147.3913, 5000, 5.6569, 0.0814]
    """
    laid = (height * (feature.width - height) + pi / 4 * height * height) * feature.flow
    feed = pi / 4 * print_.diameter**2
    speed, acceleration = feature.speed, feature.acceleration
    of_axes, of_feed = print_.axis_speed, print_.feed_speed
    if of_axes is not None and of_axes < speed:
        speed = of_axes
    for flow in (print_.flow_cap, print_.melt_rate, None if of_feed is None else of_feed * feed):
        if flow is not None and flow < speed * laid:
            speed = flow / laid
    of_axes, of_feed = print_.axis_acceleration, print_.feed_acceleration
    if of_axes is not None and of_axes < acceleration:
        acceleration = of_axes
    if of_feed is not None and of_feed * feed < acceleration * laid:
        acceleration = of_feed * feed / laid
    return speed, acceleration, min(speed, _corner(print_, feature, acceleration)), laid


def _corner(print_: Print, feature: Feature, acceleration: float) -> float:
    deviation = print_.corner_deviation
    if deviation is not None:
        return sqrt(acceleration * deviation * _RIGHT / (1 - _RIGHT))
    jumps = [jump for jump in (feature.jump, print_.axis_jump) if jump is not None]
    return min(jumps) * _RIGHT if jumps else 0.0
