"""The layers of a reference body: which kinds there are, and what one of each takes in time and plastic."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from math import ceil
from typing import Any, NamedTuple, TypeVar

from convert.physics.bead import ENDS
from convert.physics.bodies import TRAVELS, Body
from convert.physics.flow import filament_area
from convert.physics.paths import lines_time, path_time
from convert.physics.printing import Print, bead_limits


class Kind(NamedTuple):
    """Layers that are alike: what they are, their height, which way their lines run first."""

    name: str
    solid: bool
    height: float
    turned: bool


Laid = tuple[dict[str, float], dict[str, float]]
"""Seconds and mm3 by feature."""
Result = TypeVar("Result")


class Layers:
    """The layers of a body in a print. What they have in common is computed once (`once`)."""

    def __init__(self, body: Body, print_: Print) -> None:
        self.body, self.print = body, print_
        self._known: dict[object, Any] = {}

    def once(self, step: Callable[..., Result], *more: Hashable) -> Result:
        """What step(self, *more) gives."""
        key = step, more
        if key not in self._known:
            self._known[key] = step(self, *more)
        found: Result = self._known[key]
        return found

    def kinds(self) -> dict[Kind, int]:
        """The kinds of layers and how many there are of each."""
        body, print_ = self.body, self.print
        above = (body.z - print_.first_height) / print_.layer_height
        layers = 1 + max(0, ceil(above - 1e-9))
        lower = max(1, print_.lower_layers)
        roof = layers - print_.upper_layers
        turns = body.x != body.y  # in a square both ways are alike
        first_solid = print_.lower_layers > 0 or roof <= 0
        kinds = {Kind("first", first_solid, min(print_.first_height, body.z), False): 1}

        def add(name: str, start: int, stop: int, height: float) -> None:
            for turned in (False, True) if turns else (False,):
                count = len(range(start + (start % 2 != turned), stop, 2)) if turns else stop - start
                if count > 0:
                    kind = Kind(name, name != "infill", height, turned)
                    kinds[kind] = kinds.get(kind, 0) + count

        last = layers - 1
        add("solid", 1, min(lower, last), print_.layer_height)
        add("infill", max(1, lower), min(roof, last), print_.layer_height)
        add("solid", max(1, lower, roof), last, print_.layer_height)
        if last:
            name = "top" if print_.upper_layers else "solid" if last < lower else "infill"
            add(name, last, layers, body.z - print_.first_height - (last - 1) * print_.layer_height)
        return kinds

    def layer(self, kind: Kind) -> tuple[dict[str, float], dict[str, float], bool]:
        """Seconds and mm3 of a layer by feature, the least layer time kept; and whether it had to be stretched."""
        print_ = self.print
        travel = self.once(_travel, kind.name == "first")
        laid, volumes = _laid(self, kind, 0.0)
        if "retraction" in travel and print_.overfeed:
            volumes["retraction"] = TRAVELS * print_.overfeed * filament_area(print_.diameter)
        aside, printing = sum(travel.values()), sum(laid.values())
        least = print_.least_layer_time
        if printing + aside >= least:
            return {**laid, **travel}, volumes, False
        slow = _laid(self, kind, print_.slowest)[0] if print_.slowest else {}
        slowest = sum(slow.values())
        if printing and (not slow or slowest + aside >= least):
            share = (least - aside) / printing
            return {name: value * share for name, value in laid.items()} | travel, volumes, True
        laid = slow or laid
        wait = {"wait": least - aside - sum(laid.values())} if print_.wait else {}
        return {**laid, **travel, **wait}, volumes, print_.wait or slowest > printing


def _laid(layers: Layers, kind: Kind, slowest: float) -> Laid:
    """Seconds and mm3 of a layer's print moves by feature; at the slowest speed if that is not 0."""
    first = kind.name == "first"
    walls, wall_volumes = layers.once(_walls, first, kind.height, slowest)
    seconds, volumes = dict(walls), dict(wall_volumes)
    name = "first_layer" if first else kind.name
    for time, volume in layers.once(_area, kind, slowest):
        seconds[name] = seconds.get(name, 0.0) + time
        volumes[name] = volumes.get(name, 0.0) + volume
    return seconds, volumes


def _stack(layers: Layers, first: bool, height: float) -> tuple[list[float], float]:
    """How far inside the body's side the middle of each wall lies, and how thick the walls are, mm."""
    body, print_ = layers.body, layers.print
    outer = print_.first_layer if first else print_.outer_wall
    inner = print_.first_layer if first else print_.inner_wall
    pitch = inner.width - ENDS * height
    offset = outer.width / 2
    offsets: list[float] = []
    while len(offsets) < print_.wall_count and offset * 2 < min(body.x, body.y):
        offsets.append(offset)
        offset += pitch if len(offsets) > 1 else pitch + (outer.width - inner.width) / 2
    return offsets, outer.width + (len(offsets) - 1) * pitch if offsets else 0.0


def _walls(layers: Layers, first: bool, height: float, slowest: float) -> Laid:
    """Seconds and mm3 of a layer's walls."""
    body = layers.body
    seconds: dict[str, float] = {}
    volumes: dict[str, float] = {}
    offsets, _ = layers.once(_stack, first, height)
    for at, offset in enumerate(offsets):
        name = "first_layer" if first else "inner_wall" if at else "outer_wall"
        speed, acceleration, corner, section = layers.once(_limits, name, height, slowest)
        x, y = body.x - 2 * offset, body.y - 2 * offset
        seconds[name] = seconds.get(name, 0.0) + path_time((x, y, x, y), speed, acceleration, corner)
        volumes[name] = volumes.get(name, 0.0) + 2 * (x + y) * section
    return seconds, volumes


def _area(layers: Layers, kind: Kind, slowest: float) -> list[tuple[float, float]]:
    """Seconds and mm3 of the lines inside a layer's walls, for each way that they run."""
    body, print_, height = layers.body, layers.print, kind.height
    first = kind.name == "first"
    _, stack = layers.once(_stack, first, height)
    core_x, core_y = body.x - 2 * stack, body.y - 2 * stack
    if core_x <= 0 or core_y <= 0 or not (kind.solid or print_.fill):
        return []
    name = kind.name if not first else "first_area" if print_.first_area else "first_layer"
    speed, acceleration, corner, section = layers.once(_limits, name, height, slowest)
    spacing = getattr(print_, name).width - ENDS * height
    families = 1 if kind.solid else print_.families
    if not kind.solid:
        spacing *= families / print_.fill
    found = []
    for family in range(families):
        length, across = (core_y, core_x) if (family % 2 != kind.turned) else (core_x, core_y)
        count = across / spacing
        time = lines_time(length, spacing, count, speed, acceleration, corner)
        found.append((time, length * count * section))
    return found


def _limits(layers: Layers, name: str, height: float, slowest: float) -> tuple[float, float, float, float]:
    """`bead_limits` of a feature, at the slowest speed if that is not 0."""
    speed, acceleration, corner, section = bead_limits(layers.print, getattr(layers.print, name), height)
    if slowest and slowest < speed:
        return slowest, acceleration, min(corner, slowest), section
    return speed, acceleration, corner, section


def _travel(layers: Layers, first: bool) -> dict[str, float]:
    """Seconds of a layer's travels, by travel, retraction and hop."""
    body, print_ = layers.body, layers.print
    asked = print_.first_travel_speed if first and print_.first_travel_speed else print_.travel_speed
    speed = _least(asked, print_.axis_speed)
    acceleration = _least(print_.travelling_acceleration, print_.axis_acceleration)
    seconds = {"travel": TRAVELS * _rest_to_rest(body.travel, speed, acceleration)}
    if print_.retraction > 0 and body.travel >= print_.shortest_travel:
        rate = _least(print_.pullback_acceleration, print_.feed_acceleration)
        pull = _least(print_.retraction_speed, print_.feed_speed)
        push = _least(print_.return_speed or print_.retraction_speed, print_.feed_speed)
        moved = _rest_to_rest(print_.retraction, pull, rate)
        moved += _rest_to_rest(print_.retraction + print_.overfeed, push, rate)
        seconds["retraction"] = TRAVELS * moved
        seconds["hop"] = TRAVELS * 2 * _rest_to_rest(print_.hop, print_.lift_speed, print_.lift_acceleration)
    return seconds


def _rest_to_rest(length: float, speed: float | None, acceleration: float | None) -> float:
    """A lone move; without a speed it takes no time, without an acceleration no ramps."""
    if speed is None or length <= 0:
        return 0.0
    return length / speed if acceleration is None else path_time((length,), speed, acceleration, 0.0)


def _least(*limits: float | None) -> float | None:
    return min((limit for limit in limits if limit is not None), default=None)
