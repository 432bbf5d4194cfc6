"""Usual ratios between settings: they settle ties that neither words nor ranges can (common practice).

A bead is about as wide as the nozzle, the first layer slower and lower than the rest by little, infill quicker than the
outer wall. A ratio weighs, it never forbids.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log2

_FEATURES = ("first_layer", "outer_wall", "inner_wall", "infill", "solid", "top", "bridge", "support", "interface")

RATIOS: tuple[tuple[str, str, float, float], ...] = (
    ("layer.height", "nozzle.diameter", 0.15, 0.8),
    ("layer.first", "layer.height", 1.0, 2.0),
    ("layer.min", "layer.height", 0.2, 1.0),
    ("layer.max", "layer.height", 1.0, 4.0),
    ("layer.min", "layer.max", 0.1, 0.9),
    ("width.default", "nozzle.diameter", 0.9, 1.7),
    *((f"width.{feature}", "nozzle.diameter", 0.8, 1.8) for feature in _FEATURES),
    ("heat.nozzle_first", "heat.nozzle", 1.0, 1.06),
    ("heat.nozzle_standby", "heat.nozzle", 0.5, 0.95),
    ("heat.bed_first", "heat.bed", 1.0, 1.25),
    ("feedstock.min_nozzle", "heat.nozzle", 0.8, 1.0),
    ("feedstock.max_nozzle", "heat.nozzle", 1.0, 1.2),
    ("feedstock.min_nozzle", "feedstock.max_nozzle", 0.7, 0.99),
    ("hotend.max_temperature", "heat.nozzle", 1.05, 2.0),
    ("bed.max_temperature", "heat.bed", 1.0, 4.0),
    ("fan.min", "fan.max", 0.0, 1.0),
    ("fan.first_layer", "fan.max", 0.0, 0.9),
    ("fan.quick_layer", "cooling.min_layer_time", 1.0, 8.0),
    ("cooling.slowest", "speed.default", 0.03, 0.6),
    ("speed.travel", "speed.default", 1.0, 6.0),
    ("speed.outer_wall", "speed.inner_wall", 0.3, 1.0),
    ("speed.infill", "speed.outer_wall", 1.0, 5.0),
    ("speed.small", "speed.outer_wall", 0.3, 1.0),
    ("speed.interface", "speed.support", 0.3, 1.0),
    ("speed.top", "speed.solid", 0.3, 1.0),
    ("speed.overhang", "speed.default", 0.08, 0.8),
    ("acceleration.travel", "acceleration.default", 1.0, 4.0),
    ("acceleration.outer_wall", "acceleration.inner_wall", 0.4, 1.0),
    *(
        (f"{group}.{feature}", f"{group}.default", low, high)
        for group in ("speed", "acceleration", "jump")
        for feature, low, high in (
            ("first_layer", 0.1, 0.9), ("outer_wall", 0.3, 1.0), ("inner_wall", 0.5, 1.2), ("infill", 0.7, 2.0),
            ("solid", 0.5, 1.2), ("top", 0.25, 1.0), ("bridge", 0.15, 1.0), ("support", 0.4, 1.2),
        )
    ),
    ("axis.x.max_speed", "speed.travel", 0.9, 4.0),
    ("axis.x.max_acceleration", "acceleration.default", 0.9, 6.0),
    ("retract.return_speed", "retract.speed", 0.4, 1.2),
    ("retract.wipe_length", "retract.length", 0.5, 5.0),
    ("cover.lower_layers", "cover.upper_layers", 0.4, 1.3),
    ("cover.lower_thickness", "cover.upper_thickness", 0.4, 1.3),
    ("support.interface_density", "support.density", 1.5, 12.0),
    ("feedstock.melt_rate", "hotend.melt_rate", 0.3, 1.1),
    ("speed.flow_cap", "hotend.melt_rate", 0.3, 1.1),
)  # fmt: skip
"""Setting, other setting, usual least and most of the first one over the second."""


def _sides() -> dict[str, list[tuple[str, float, float]]]:
    found: dict[str, list[tuple[str, float, float]]] = {}
    for one, other, low, high in RATIOS:
        found.setdefault(one, []).append((other, low, high))
        found.setdefault(other, []).append((one, 1 / high, 1 / low if low else 1e9))
    return found


SIDES = _sides()
OUTSIDE, STEEP = 0.3, 2.0
"""What it counts to be outside of the usual ratios at all, and with each doubling."""
TINY = 1e-9
TRUSTED = 0.5
"""Confidence from which the value of another key counts."""


def suits(setting: str, value: float, others: Mapping[str, tuple[int, float, float]], index: int) -> float:
    """How well a value suits what the other keys are taken for, -1 to 1; 0 where nothing can be compared.

    others: setting -> number of the item, its value in the schema's unit, its confidence. index: number of this item.

    >>> suits("layer.first", 0.24, {"layer.height": (1, 0.2, 1.0)}, 0)
    1.0
    >>> suits("layer.first", 0.8, {"layer.height": (1, 0.2, 1.0)}, 0)
    -1.0
    """
    total = weight = 0.0
    for other, low, high in SIDES.get(setting, ()):
        known = others.get(other)
        if known is None or known[0] == index or known[1] <= 0 or known[2] < TRUSTED:
            continue
        ratio = value / known[1]
        far = (
            0.0
            if low <= ratio <= high
            else log2(ratio / high)
            if ratio > high
            else log2(max(low, TINY) / max(ratio, TINY))
        )
        total += known[2] * (1.0 if not far else max(-1.0, -OUTSIDE - STEEP * far))
        weight += known[2]
    return total / weight if weight else 0.0
