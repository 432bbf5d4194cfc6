"""The time model: what a print of the reference bodies takes in time, filament and money.

One model, used for every figure. A body is a solid box. Each of its layers holds - walls: closed rectangles, each rest
to rest, its three corners at the corner speed; the outermost with its outer edge on the body's side, the next ones a
bead less the rounded ends further in, as many as fit; - area: inside the walls, parallel lines joined by links as long
as their spacing; solid lines lie w - (1 - pi/4) h apart, infill lines as far as its density asks. Lines run along x and
y in turn from layer to layer, and so do the families of a crossing pattern. The number of lines is core width over
spacing, not rounded, as if the pattern lay differently in every layer. Links take time but no plastic, so laid volume
is exactly the line length times the bead section; - 8 travels, rest to rest, each with retraction and hop where they
are long enough for it. The first layer has its own height, bead and speeds. `lower_layers` (the first one included) and
`upper_layers` are solid; the last layer is as high as what is left. Limits come first: axis speed and acceleration,
flow, feed speed and acceleration. A layer quicker than the least layer time is slowed (print moves only, never below
the slowest speed), or waits it out. Heating, start code, the climb between layers and look-ahead of the feed are left
out. Derived throughout; no published comparison with measured times is known, so take absolute values with 15 % of
doubt and differences as far better.
"""

from __future__ import annotations

from typing import NamedTuple

from convert.physics import not_negative, positive, whole, within
from convert.physics.bead import check_bead
from convert.physics.bodies import Body
from convert.physics.flow import filament_area
from convert.physics.layering import Layers
from convert.physics.printing import Feature, Print


class Estimate(NamedTuple):
    """What the model says of one body."""

    body: str
    time: float
    """s"""
    layers: int
    layer_time: float
    """s, mean"""
    shortest_layer: float
    """s"""
    slowed_layers: int
    """layers stretched to the least layer time"""
    volume: float
    """mm3 of plastic"""
    length: float
    """mm of filament"""
    mass: float | None
    """g, None without a density"""
    price: float | None
    """in the currency of the price per kg, None without one"""
    seconds: dict[str, float]
    """by outer_wall, inner_wall, infill, solid, top, first_layer, travel, retraction, hop, wait"""
    volumes: dict[str, float]
    """mm3 by feature"""
    layer_times: tuple[tuple[str, int, float], ...]
    """(first, solid, infill or top; how many such layers; seconds each)"""


def estimate(body: Body, print_: Print) -> Estimate:
    """Time, plastic and price of a reference body.

    >>> from convert.physics.bodies import body
    >>> from convert.physics.printing import Feature
    >>> bead = Feature(width=0.45, speed=100, acceleration=2000, jump=8)
    >>> beads = (bead,) * 6
    >>> setup = Print(0.2, 0.2, *beads, 200, 3000, density=1.24, least_layer_time=8, slowest=10)
    >>> tower = estimate(body("tower"), setup)
    >>> tower.layers, round(tower.time), tower.slowed_layers, round(tower.mass, 2)
    (400, 3200, 400, 5.87)
    """
    seconds: dict[str, float] = {}
    volumes: dict[str, float] = {}
    times = []
    total = 0.0
    slowed = 0
    layering = Layers(body, print_)
    kinds = layering.kinds()
    for kind, count in kinds.items():
        layer, laid, stretched = layering.layer(kind)
        time = sum(layer.values())
        total += count * time
        slowed += count * stretched
        times.append((kind.name, count, time))
        for name, value in layer.items():
            seconds[name] = seconds.get(name, 0.0) + count * value
        for name, value in laid.items():
            volumes[name] = volumes.get(name, 0.0) + count * value
    layers = sum(kinds.values())
    volume = sum(volumes.values())
    mass = None if print_.density is None else volume * print_.density / 1000
    price = None if mass is None or print_.price_per_mass is None else mass * print_.price_per_mass / 1000
    return Estimate(
        body=body.name,
        time=total,
        layers=layers,
        layer_time=total / layers,
        shortest_layer=min(time for _, _, time in times),
        slowed_layers=slowed,
        volume=volume,
        length=volume / filament_area(print_.diameter),
        mass=mass,
        price=price,
        seconds=seconds,
        volumes=volumes,
        layer_times=tuple(times),
    )


def box_print(
    x: float,
    y: float,
    z: float,
    width: float,
    height: float,
    speed: float,
    acceleration: float,
    density: float,
    jump: float = 8.0,
    wall_count: float = 2.0,
    skin_count: float = 4.0,
    fill: float = 0.2,
    travel_speed: float = 150.0,
    travel_length: float = 25.0,
    least_time: float = 0.0,
    diameter: float = 1.75,
) -> tuple[float, float, float, float]:
    """Time in s, layers, mass in g and filament in mm of a solid box with the same bead everywhere, by the time model.

    x, y, z, width, height, diameter, travel_length: mm; speed, travel_speed, jump: mm/s; acceleration: mm/s2; density:
    g/cm3; wall_count, skin_count: walls, and solid layers at either end; fill: 0..1; least_time: s. Derived:
    `estimate`, without retraction.

    >>> [round(value, 1) for value in box_print(60, 40, 30, 0.45, 0.2, 100, 2000, 1.24)]
    [3333.6, 150.0, 26.1, 8750.2]
    """
    check_bead(height, width=width)
    positive(speed=speed, acceleration=acceleration, density=density, travel_speed=travel_speed, diameter=diameter)
    not_negative(jump=jump, least_time=least_time)
    within(0, 1, fill=fill)
    bead = Feature(width, speed, acceleration, jump)
    whole(wall_count=wall_count, skin_count=skin_count)
    setup = Print(
        layer_height=height,
        first_height=height,
        outer_wall=bead,
        inner_wall=bead,
        solid=bead,
        top=bead,
        infill=bead,
        first_layer=bead,
        travel_speed=travel_speed,
        travelling_acceleration=acceleration,
        wall_count=int(wall_count),
        lower_layers=int(skin_count),
        upper_layers=int(skin_count),
        fill=fill,
        least_layer_time=least_time,
        diameter=diameter,
        density=density,
    )
    within(0.01, 10_000, x=x, y=y, z=z)
    not_negative(travel_length=travel_length)
    found = estimate(Body("box", x, y, z, travel_length), setup)
    return found.time, float(found.layers), found.mass or 0.0, found.length
