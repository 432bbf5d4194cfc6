"""The customary order of settings that share one key."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from convert.inference.ratios import suits

ORDERS = (
    ("envelope.x", "envelope.y", "envelope.z"),
    ("envelope.x", "envelope.y"),
    ("heat.nozzle_first", "heat.nozzle"),
    ("heat.nozzle", "heat.nozzle_first"),
    ("heat.bed_first", "heat.bed"),
    ("heat.bed", "heat.bed_first"),
    ("heat.nozzle_first", "heat.nozzle", "heat.bed_first", "heat.bed"),
    ("heat.nozzle", "heat.nozzle_first", "heat.bed", "heat.bed_first"),
    ("hotend.max_temperature", "bed.max_temperature"),
    ("heat.nozzle", "heat.bed"),
    ("heat.nozzle", "heat.bed", "heat.chamber"),
    ("fan.min", "fan.max"),
    ("layer.min", "layer.max"),
    ("layer.first", "layer.height"),
    ("layer.height", "layer.first"),
    ("retract.length", "retract.speed"),
    ("retract.speed", "retract.return_speed"),
    ("retract.length", "retract.speed", "retract.return_speed"),
    ("base.skirt_rounds", "base.skirt_offset"),
    ("cover.upper_layers", "cover.lower_layers"),
    ("cover.upper_thickness", "cover.lower_thickness"),
    ("support.gap_xy", "support.gap_z"),
    ("support.interface_layers", "support.interface_density"),
    ("motion.resonance_x", "motion.resonance_y"),
    ("tool.offset_x", "tool.offset_y"),
    ("feedstock.min_nozzle", "feedstock.max_nozzle"),
    ("feedstock.drying_temperature", "feedstock.drying_time"),
    ("feedstock.shrinkage_plan", "feedstock.shrinkage_height"),
    *((f"{group}.outer_wall", f"{group}.inner_wall") for group in ("speed", "acceleration", "jump", "width", "flow")),
    *((f"{group}.default", f"{group}.travel") for group in ("speed", "acceleration", "jump")),
    *((f"{group}.default", f"{group}.first_layer") for group in ("speed", "acceleration", "width")),
    *((f"{group}.first_layer", f"{group}.default") for group in ("speed", "acceleration", "width")),
    ("speed.outer_wall", "speed.inner_wall", "speed.infill"),
    ("speed.infill", "speed.solid", "speed.top"),
    ("speed.support", "speed.interface"),
    ("support.gap_z", "support.gap_xy"),
    ("size.outline", "size.hole"),
    ("retract.length", "retract.speed", "travel.hop"),
    ("fan.min", "fan.max", "fan.bridge"),
    *(
        tuple(f"axis.{axis}.max_{what}" for axis in axes)
        for what in ("speed", "acceleration", "jump")
        for axes in ("xy", "xyz", "xyze")
    ),
)
"""The customary order of settings that share a key (common practice)."""
CUSTOMARY = 0.35
TOP = 50.0
"""Above every sum of scores, so that totals are positive."""
JOINT = 0.4
"""What it is worth to stand at a customary place, and that all parts of a key can be in that order."""


def customary(setting: str, part: int, parts: int) -> float:
    """A little, where a setting stands at its customary place in a key of several values."""
    return CUSTOMARY if any(len(order) == parts and order[part - 1] == setting for order in ORDERS) else 0.0


def best_order(scores: Sequence[Mapping[str, float]], sizes: Sequence[Mapping[str, float]] = ()) -> tuple[str, ...]:
    """The customary order that suits all parts of a key best; () where none does.

    scores: for each part, setting -> score. sizes: for each part, setting -> value in the schema's unit.

    >>> best_order([{"fan.min": 1.0, "fan.max": 1.2}, {"fan.max": 1.0}])
    ('fan.min', 'fan.max')
    """
    best: tuple[float, tuple[str, ...]] = (0.0, ())
    for order in ORDERS:
        if len(order) != len(scores) or not all(setting in row for row, setting in zip(scores, order, strict=True)):
            continue
        total = TOP + sum(row[setting] for row, setting in zip(scores, order, strict=True))
        if sizes:
            values = [row.get(setting, 0.0) for row, setting in zip(sizes, order, strict=True)]
            known = {setting: (at, value, 1.0) for at, (setting, value) in enumerate(zip(order, values, strict=True))}
            for at, (setting, value) in enumerate(zip(order, values, strict=True)):
                total += JOINT * min(0.0, suits(setting, value, known, at)) if value else 0.0
        best = max(best, (total, order))
    return best[1]
