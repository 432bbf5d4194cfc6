"""Fourteen prints as unlike each other as the fields of `Print` allow, for tests and benchmarks."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from convert.physics.printing import Feature, Print


def plain(**changes: Any) -> Print:
    """An ordinary 0.4 mm nozzle print, with changes."""
    wall = Feature(0.45, 60, 1500, 8)
    ordinary = Print(
        layer_height=0.2,
        first_height=0.25,
        outer_wall=wall,
        inner_wall=Feature(0.45, 90, 2500, 8),
        solid=Feature(0.45, 100, 2500, 8),
        top=Feature(0.42, 50, 1500, 8),
        infill=Feature(0.45, 120, 3000, 10),
        first_layer=Feature(0.5, 25, 500, 8),
        travel_speed=180,
        travelling_acceleration=3000,
        retraction=0.8,
        retraction_speed=40,
        hop=0.2,
        lift_speed=12,
        lift_acceleration=200,
        density=1.24,
        price_per_mass=25,
    )
    return replace(ordinary, **changes)


def beads(
    width: float, speed: float, acceleration: float, jump: float | None = None, flow: float = 1.0
) -> dict[str, Any]:
    """The same bead for every feature."""
    bead = Feature(width, speed, acceleration, jump, flow)
    return dict.fromkeys(("outer_wall", "inner_wall", "solid", "top", "infill", "first_layer"), bead)


PRINTS = {
    "ordinary": plain(),
    "fast": plain(
        **beads(0.45, 300, 12_000, 9), travel_speed=500, travelling_acceleration=15_000, corner_deviation=0.015,
        flow_cap=24, least_layer_time=4, slowest=20,
    ),
    "slow and heavy": plain(**beads(0.5, 45, 400, 5), travelling_acceleration=500, wall_count=3, fill=0.35),
    "one wall, no skin, no infill": plain(wall_count=1, lower_layers=0, upper_layers=0, fill=0),
    "no walls": plain(wall_count=0, fill=0.15, families=2),
    "solid": plain(fill=1.0, wall_count=2, melt_rate=11),
    "thick nozzle": plain(
        **beads(1.2, 40, 1000, 6), layer_height=0.6, first_height=0.5, diameter=2.85, melt_rate=30, feed_speed=3,
        feed_acceleration=60,
    ),
    "three families, stops at corners": plain(
        **beads(0.4, 80, 1000), families=3, fill=0.3, layer_height=0.15, first_height=0.2, upper_layers=6
    ),
    "waits for the layer": plain(least_layer_time=25, slowest=12, wait=True),
    "slows without end": plain(least_layer_time=40),
    "slows to a floor": plain(least_layer_time=60, slowest=25, retraction=5, retraction_speed=35, return_speed=20),
    "axis limits": plain(
        axis_speed=55, axis_acceleration=700, axis_jump=3, first_travel_speed=60, pullback_acceleration=800,
        overfeed=0.05,
    ),
    "many walls": plain(wall_count=40, **beads(0.8, 70, 2000, 12, flow=1.03), layer_height=0.4, first_height=0.4),
    "wide jumps, weak drive": plain(
        **beads(0.45, 150, 150, 30), fill=0.08, travelling_acceleration=150, hop=0, shortest_travel=10
    ),
    "own first layer, uneven height": plain(
        layer_height=0.17, first_height=0.3, first_area=Feature(0.6, 40, 800, 4), lower_layers=1, upper_layers=1
    ),
}  # fmt: skip
