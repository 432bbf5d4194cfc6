"""The layers of a reference body: which kinds there are, and what one of each takes in time and plastic."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from convert.physics.bead import ENDS
from convert.physics.bodies import TRAVELS, Body
from convert.physics.flow import filament_area
from convert.physics.paths import lines_time, path_time
from convert.physics.printing import Feature, Print, bead_limits


@dataclass(frozen=True, slots=True)
class Kind:
    """Layers that are alike: what they are, their height, which way their lines run first."""

    name: str
    solid: bool
    height: float
    turned: bool


def layer_kinds(body: Body, print_: Print) -> dict[Kind, int]:
    """The kinds of layers of a body and how many there are of each."""
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


def layer_time(body: Body, print_: Print, kind: Kind) -> tuple[dict[str, float], dict[str, float], bool]:
    """Seconds and mm3 of a layer by feature, the least layer time kept; and whether it had to be stretched."""
    travel = _travel(body, print_, kind.name == "first")
    laid, volumes = _laid(body, print_, kind, 0.0)
    if "retraction" in travel and print_.overfeed:
        volumes["retraction"] = TRAVELS * print_.overfeed * filament_area(print_.diameter)
    aside, printing = sum(travel.values()), sum(laid.values())
    least = print_.least_layer_time
    if printing + aside >= least:
        return {**laid, **travel}, volumes, False
    slow = _laid(body, print_, kind, print_.slowest)[0] if print_.slowest else {}
    slowest = sum(slow.values())
    if printing and (not slow or slowest + aside >= least):
        share = (least - aside) / printing
        return {name: value * share for name, value in laid.items()} | travel, volumes, True
    laid = slow or laid
    if print_.wait:
        travel["wait"] = least - aside - sum(laid.values())
    return {**laid, **travel}, volumes, print_.wait or slowest > printing


def _laid(body: Body, print_: Print, kind: Kind, slowest: float) -> tuple[dict[str, float], dict[str, float]]:
    """Seconds and mm3 of a layer's print moves by feature; at the slowest speed if that is not 0."""
    seconds: dict[str, float] = {}
    volumes: dict[str, float] = {}
    first, height = kind.name == "first", kind.height
    outer = print_.first_layer if first else print_.outer_wall
    inner = print_.first_layer if first else print_.inner_wall
    outer_limits = _limits(print_, outer, height, slowest)
    inner_limits = _limits(print_, inner, height, slowest)
    pitch = inner.width - ENDS * height

    offset, walls = outer.width / 2, 0
    while walls < print_.wall_count and offset * 2 < min(body.x, body.y):
        name = "first_layer" if first else "inner_wall" if walls else "outer_wall"
        speed, acceleration, corner, section = inner_limits if walls else outer_limits
        x, y = body.x - 2 * offset, body.y - 2 * offset
        seconds[name] = seconds.get(name, 0.0) + path_time((x, y, x, y), speed, acceleration, corner)
        volumes[name] = volumes.get(name, 0.0) + 2 * (x + y) * section
        offset += pitch if walls else pitch + (outer.width - inner.width) / 2
        walls += 1
    stack = outer.width + (walls - 1) * pitch if walls else 0.0

    core_x, core_y = body.x - 2 * stack, body.y - 2 * stack
    if core_x <= 0 or core_y <= 0 or not (kind.solid or print_.fill):
        return seconds, volumes
    name = "first_layer" if first else kind.name
    area = print_.first_area or print_.first_layer if first else getattr(print_, kind.name)
    speed, acceleration, corner, section = _limits(print_, area, height, slowest)
    spacing = area.width - ENDS * height
    families = 1 if kind.solid else print_.families
    if not kind.solid:
        spacing *= families / print_.fill
    for family in range(families):
        length, across = (core_y, core_x) if (family % 2 != kind.turned) else (core_x, core_y)
        count = across / spacing
        seconds[name] = seconds.get(name, 0.0) + lines_time(length, spacing, count, speed, acceleration, corner)
        volumes[name] = volumes.get(name, 0.0) + length * count * section
    return seconds, volumes


def _limits(print_: Print, feature: Feature, height: float, slowest: float) -> tuple[float, float, float, float]:
    speed, acceleration, corner, section = bead_limits(print_, feature, height)
    if slowest and slowest < speed:
        return slowest, acceleration, min(corner, slowest), section
    return speed, acceleration, corner, section


def _travel(body: Body, print_: Print, first: bool) -> dict[str, float]:
    """Seconds of a layer's travels, by travel, retraction and hop."""
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
