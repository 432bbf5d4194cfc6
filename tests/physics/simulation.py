"""A print of a reference body, move by move: the independent check of the time model.

Nothing here comes from the product but the plain numbers of a `Print` and a `Body`. Every layer is written out as
polylines of points, every corner gets its speed from the angle between its two lines, every polyline is planned
forwards and backwards, and a quick layer is slowed by searching the one share of speed that fills the least layer time.
Lines come in whole numbers: where the model counts 12.3 lines in a layer, here 12 or 13 are laid, so that the sum over
layers keeps up.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise

from convert.physics.bodies import Body
from convert.physics.printing import Feature, Print

Point = tuple[float, float]


@dataclass
class Polyline:
    feature: Feature
    name: str
    points: list[Point]
    laid: list[bool]
    """per segment: whether plastic is laid"""


@dataclass
class Result:
    time: float
    volume: float
    layers: int
    seconds: dict[str, float]


def stadium(width: float, height: float) -> float:
    return (width - height) * height + math.pi * (height / 2) ** 2


def simulate(body: Body, print_: Print) -> Result:
    heights = [min(print_.first_height, body.z)]
    while (left := body.z - sum(heights)) > 1e-6 * print_.layer_height:
        heights.append(min(print_.layer_height, left))
    count = len(heights)
    due: dict[tuple, float] = defaultdict(lambda: 0.5)
    seconds: dict[str, float] = defaultdict(float)
    volume = 0.0
    for number, height in enumerate(heights):
        polylines = layer(body, print_, number, count, height, due)
        for line in polylines:
            run = sum(math.dist(a, b) for a, b, on in zip(line.points, line.points[1:], line.laid, strict=False) if on)
            volume += run * stadium(line.feature.width, height) * line.feature.flow
        for name, value in layer_seconds(body, print_, number, height, polylines).items():
            seconds[name] += value
        if print_.retraction > 0 and body.travel >= print_.shortest_travel:
            volume += 8 * print_.overfeed * math.pi / 4 * print_.diameter**2
    return Result(sum(seconds.values()), volume, count, dict(seconds))


def layer(body: Body, print_: Print, number: int, count: int, height: float, due: dict[tuple, float]) -> list[Polyline]:
    first, last = number == 0, number == count - 1
    if first:
        role, dense = "first_layer", print_.lower_layers > 0 or print_.upper_layers >= count
    elif last and print_.upper_layers:
        role, dense = "top", True
    elif number < print_.lower_layers or number >= count - print_.upper_layers:
        role, dense = "solid", True
    else:
        role, dense = "infill", False

    outer = print_.first_layer if first else print_.outer_wall
    inner = print_.first_layer if first else print_.inner_wall
    lost = height - math.pi * height / 4
    polylines = []
    inset, edge = outer.width / 2, 0.0
    for wall in range(int(print_.wall_count)):
        x0, y0, x1, y1 = inset, inset, body.x - inset, body.y - inset
        if x1 <= x0 or y1 <= y0:
            break
        feature = inner if wall else outer
        name = "first_layer" if first else "inner_wall" if wall else "outer_wall"
        polylines.append(Polyline(feature, name, [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], [True] * 4))
        edge = inset + feature.width / 2
        inset = edge - lost + inner.width / 2

    x0, y0, x1, y1 = edge, edge, body.x - edge, body.y - edge
    if x1 <= x0 or y1 <= y0 or (not dense and print_.fill == 0):
        return polylines
    feature = {"first_layer": print_.first_area or print_.first_layer, "solid": print_.solid, "top": print_.top}.get(
        role, print_.infill
    )
    spacing = stadium(feature.width, height) / height
    families = 1
    if not dense:
        families = int(print_.families)
        spacing = families * stadium(feature.width, height) / (height * print_.fill)
    for family in range(families):
        along_x = (number + family) % 2 == 0
        across = y1 - y0 if along_x else x1 - x0
        key = (role, dense, along_x, family, round(height, 9))
        due[key] += across / spacing
        lines = int(due[key])
        due[key] -= lines
        points: list[Point] = []
        for line in range(lines):
            at = line * spacing
            ends = [(x0, y0 + at), (x1, y0 + at)] if along_x else [(x0 + at, y0), (x0 + at, y1)]
            points += ends if line % 2 == 0 else ends[::-1]
        if points:
            polylines.append(Polyline(feature, role, points, [i % 2 == 0 for i in range(len(points) - 1)]))
    return polylines


def layer_seconds(body: Body, print_: Print, number: int, height: float, polylines: list[Polyline]) -> dict[str, float]:
    aside = travels(body, print_, number == 0)
    rest = sum(aside.values())

    def printing(share: float) -> dict[str, float]:
        found: dict[str, float] = defaultdict(float)
        for line in polylines:
            found[line.name] += polyline_seconds(print_, line, height, share)
        return found

    seconds = printing(1.0)
    if sum(seconds.values()) + rest < print_.least_layer_time:
        low, high = 1e-6, 1.0
        if sum(printing(low).values()) + rest > print_.least_layer_time:
            for _ in range(40):
                share = math.sqrt(low * high)
                seconds = printing(share)
                miss = sum(seconds.values()) + rest - print_.least_layer_time
                if abs(miss) < 1e-4 * print_.least_layer_time:
                    break
                low, high = (share, high) if miss > 0 else (low, share)
        else:
            seconds = printing(low)
            if print_.wait:
                aside["wait"] = print_.least_layer_time - rest - sum(seconds.values())
    for name, value in aside.items():
        seconds[name] += value
    return seconds


def polyline_seconds(print_: Print, line: Polyline, height: float, share: float) -> float:
    feature = line.feature
    section = stadium(feature.width, height) * feature.flow
    feed = math.pi * print_.diameter**2 / 4
    top = feature.speed
    for limit in (
        print_.axis_speed,
        print_.flow_cap and print_.flow_cap / section,
        print_.melt_rate and print_.melt_rate / section,
        print_.feed_speed and print_.feed_speed * feed / section,
    ):
        top = min(top, limit or math.inf)
    rate = min(
        feature.acceleration,
        print_.axis_acceleration or math.inf,
        (print_.feed_acceleration or math.inf) * feed / section,
    )
    if share < 1:
        top = max(top * share, min(top, print_.slowest))
    points = line.points
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    nodes = [0.0]
    for a, b, c in zip(points, points[1:], points[2:], strict=False):
        nodes.append(min(top, corner(print_, feature, rate, a, b, c)))
    nodes.append(0.0)
    for i, length in enumerate(lengths):  # what can be gained
        nodes[i + 1] = min(nodes[i + 1], math.sqrt(nodes[i] ** 2 + 2 * rate * length))
    for i in range(len(lengths) - 1, -1, -1):  # what can be shed
        nodes[i] = min(nodes[i], math.sqrt(nodes[i + 1] ** 2 + 2 * rate * lengths[i]))
    return sum(
        move_seconds(length, nodes[i], nodes[i + 1], top, rate) for i, length in enumerate(lengths) if length > 0
    )


def corner(print_: Print, feature: Feature, rate: float, a: Point, b: Point, c: Point) -> float:
    before, after = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    cosine = (before[0] * after[0] + before[1] * after[1]) / (math.hypot(*before) * math.hypot(*after))
    turn = math.acos(max(-1.0, min(1.0, cosine)))
    if print_.corner_deviation is not None:
        half = math.cos(turn / 2)
        return math.sqrt(rate * print_.corner_deviation * half / (1 - half))
    jump = min([j for j in (feature.jump, print_.axis_jump) if j is not None], default=0.0)
    return jump / (2 * math.sin(turn / 2))


def move_seconds(length: float, start: float, end: float, top: float, rate: float) -> float:
    speeding, slowing = (top**2 - start**2) / (2 * rate), (top**2 - end**2) / (2 * rate)
    if speeding + slowing <= length:
        return (top - start) / rate + (top - end) / rate + (length - speeding - slowing) / top
    gain = (length + (end**2 - start**2) / (2 * rate)) / 2  # where speeding up turns into slowing down
    peak = math.sqrt(max(0.0, start**2 + 2 * rate * gain))
    return (peak - start) / rate + (peak - end) / rate


def travels(body: Body, print_: Print, first: bool) -> dict[str, float]:
    speed = print_.first_travel_speed if first and print_.first_travel_speed is not None else print_.travel_speed
    speed = min(speed, print_.axis_speed or math.inf)
    rate = min(print_.travelling_acceleration, print_.axis_acceleration or math.inf)
    found: dict[str, float] = defaultdict(float)
    for _ in range(8):
        found["travel"] += move_seconds(body.travel, 0, 0, speed, rate)
        if print_.retraction > 0 and body.travel >= print_.shortest_travel:
            pull = min(print_.retraction_speed or math.inf, print_.feed_speed or math.inf)
            push = min(print_.return_speed or print_.retraction_speed or math.inf, print_.feed_speed or math.inf)
            filament_rate = min(print_.pullback_acceleration or math.inf, print_.feed_acceleration or math.inf)
            for length, speed_ in ((print_.retraction, pull), (print_.retraction + print_.overfeed, push)):
                found["retraction"] += free_move(length, speed_, filament_rate)
            found["hop"] += 2 * free_move(
                print_.hop, print_.lift_speed or math.inf, print_.lift_acceleration or math.inf
            )
    return found


def free_move(length: float, speed: float, rate: float) -> float:
    if length <= 0 or math.isinf(speed):
        return 0.0
    return length / speed if math.isinf(rate) else move_seconds(length, 0, 0, speed, rate)
