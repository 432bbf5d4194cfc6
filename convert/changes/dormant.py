"""Settings that do nothing while their feature is off: one table.

>>> is_dormant("support.density", {"support.enabled": False}), is_dormant("support.density", {})
(True, False)
>>> is_dormant("base.brim_width", {"base.kind": "skirt"}), is_dormant("speed.infill", {"infill.density": 0})
(True, True)
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from convert.errors import InputError
from convert.model.resolve import resolve
from convert.model.value import State, Value

Test = Callable[[Value], bool]


def _off(value: Value) -> bool:
    """A flag, a number or a list of them that says: not at all."""
    items = value if isinstance(value, tuple) else (value,)
    return bool(items) and all(item in (False, 0, State("off")) for item in items)


def _on(value: Value) -> bool:
    return value is True


def _single(value: Value) -> bool:
    return not isinstance(value, tuple) and value in (0, 1)


def _is_not(*words: str) -> Test:
    return lambda value: isinstance(value, str) and value not in words


def _families(feature: str) -> tuple[str, ...]:
    return tuple(f"{family}.{feature}" for family in ("speed", "acceleration", "jump", "width", "flow"))


class Row(NamedTuple):
    """`settings` do nothing where `test` holds for `switch`; an id that ends in "." or "_" stands for a group."""

    switch: str
    test: Test
    settings: tuple[str, ...]
    feature: str


SUPPORT = ("support.", *_families("support"), *_families("interface"), "fan.interface")
INFILL = ("infill.", *_families("infill"))

ROWS = (
    Row("support.enabled", _off, SUPPORT, "support"),
    Row("support.interface_layers", _off, ("support.interface_density", *_families("interface"), "fan.interface"),
        "support interface"),
    Row("base.kind", _is_not("skirt"), ("base.skirt_",), "skirt"),
    Row("base.kind", _is_not("brim"), ("base.brim_",), "brim"),
    Row("base.kind", _is_not("raft"), ("base.raft_",), "raft"),
    Row("base.kind", _is_not("skirt", "brim"), _families("outline"), "skirt and brim"),
    Row("finish.smooth_top", _off, ("finish.smooth_",), "smoothing pass"),
    Row("finish.grain", _off, ("finish.grain_",), "grained surface"),
    Row("retract.enabled", _off, ("retract.", "travel.hop", "travel.hop_path"), "retraction"),
    Row("retract.length", _off, ("retract.speed", "retract.return_speed", "retract.overfeed"), "retraction"),
    Row("retract.wipe", _off, ("retract.wipe_length",), "wiping"),
    Row("travel.hop", _off, ("travel.hop_path",), "hop"),
    Row("layer.adaptive", _off, ("layer.min", "layer.max"), "varying layer height"),
    Row("purge.tower", _off, ("purge.tower_",), "purge tower"),
    Row("tool.count", _single, ("purge.", "heat.nozzle_standby", "retract.tool_change_length", "tool.offset_",
        "code.tool_change", "support.tool"), "second tool"),
    Row("overhang.eased", _off, ("overhang.steepness",), "eased overhangs"),
    Row("infill.density", _off, INFILL, "infill"),
    Row("order.spiral", _on, (*INFILL, "wall.count", "wall.thickness", "wall.order", "wall.slit_fill", "wall.seam",
        "wall.top_reduced", "cover.upper_", *_families("inner_wall"), *_families("top"), *_families("bridge")),
        "closed parts (one rising wall)"),
    Row("wall.count", _single, ("wall.order", *_families("inner_wall")), "inner walls"),
    Row("wall.slit_fill", _off, _families("gap"), "slit filling"),
    Row("bed.heated", _off, ("heat.bed", "heat.bed_first"), "bed heater"),
    Row("chamber.heated", _off, ("heat.chamber",), "chamber heater"),
    Row("flow.lead", _off, ("flow.lead_smoothing",), "pressure lead"),
    Row("cooling.min_layer_time", _off, ("cooling.slowest", "cooling.wait_aside"), "least layer time"),
    Row("fan.max", _off, ("fan.min", "fan.off_layers", "fan.full_range_from", "fan.quick_layer"), "part fan"),
    Row("envelope.shape", _is_not("outline"), ("envelope.outline",), "free outline of the build area"),
)  # fmt: skip
"""Feature after feature: its switch, when it is off, and what then does nothing. Switches are never dormant by their
own row.
"""

_by_setting: dict[str, tuple[Row, ...]] = {}


def rows_of(setting: str) -> tuple[Row, ...]:
    """The rows that may make a setting dormant."""
    if setting not in _by_setting:
        _by_setting[setting] = tuple(
            row
            for row in ROWS
            if row.switch != setting
            and any(setting == one or (one[-1] in "._" and setting.startswith(one)) for one in row.settings)
        )
    return _by_setting[setting]


def dormant(setting: str, values: Mapping[str, Value]) -> str | None:
    """The feature that is off, so that the setting does nothing; None where it acts or nobody can tell.

    >>> dormant("retract.speed", {"retract.enabled": False})
    'retraction'
    """
    for row in rows_of(setting):
        try:
            switch = resolve(values, row.switch)
        except InputError:
            continue
        if switch is not None and row.test(switch):
            return row.feature
    return None


def is_dormant(setting: str, values: Mapping[str, Value]) -> bool:
    """Whether a setting does nothing with these values."""
    return dormant(setting, values) is not None
