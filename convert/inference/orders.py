"""The customary order of settings that share one key."""

from __future__ import annotations

ORDERS = (
    ("envelope.x", "envelope.y", "envelope.z"),
    ("envelope.x", "envelope.y"),
    ("heat.nozzle_first", "heat.nozzle"),
    ("heat.bed_first", "heat.bed"),
    ("heat.nozzle", "heat.bed"),
    ("heat.nozzle", "heat.bed", "heat.chamber"),
    ("fan.min", "fan.max"),
    ("layer.min", "layer.max"),
    ("layer.first", "layer.height"),
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
    ("speed.outer_wall", "speed.inner_wall"),
    *(
        tuple(f"axis.{axis}.max_{what}" for axis in axes)
        for what in ("speed", "acceleration", "jump")
        for axes in ("xy", "xyz", "xyze")
    ),
)
"""The customary order of settings that share a key (common practice)."""
CUSTOMARY = 0.35


def customary(setting: str, part: int, parts: int) -> float:
    """A little, where a setting stands at its customary place in a key of several values."""
    return CUSTOMARY if any(len(order) == parts and order[part - 1] == setting for order in ORDERS) else 0.0
