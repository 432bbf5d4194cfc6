"""Which changes are told together: those that act on the same thing.

Speed, bead width, layer height and flow factor of a feature make one flow; the caps and limits above it belong to it.
Accelerations, jumps and their limits make one motion. What moved only because its base moved goes with its base.

>>> from fractions import Fraction
>>> from convert.changes.compare import compare
>>> old = {"layer.height": Fraction(1, 5), "speed.infill": Fraction(100), "heat.bed": Fraction(60)}
>>> new = {"layer.height": Fraction(1, 4), "speed.infill": Fraction(150), "heat.bed": Fraction(65)}
>>> [(group.kind, group.settings) for group in groups(compare(old, new).facts, old, new)]
[('beads', ('layer.height', 'speed.infill')), ('bed', ('heat.bed',))]
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from convert.changes.compare import Fact
from convert.model.resolve import bases, stated
from convert.model.setting import FEATURES, SETTINGS, family, feature
from convert.model.value import Value

PRINTED = tuple(name for name in FEATURES if name != "travel")

KINDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("travel", ("speed.travel", "speed.first_layer_travel", "acceleration.travel", "jump.travel",
        "limit.acceleration.travel")),
    ("ramp", ("speed.ramp_layers",)),
    ("lead", ("flow.lead", "flow.lead_smoothing", "retract.overfeed")),
    ("beads", ("layer.height", "layer.first", "speed.", "width.", "flow.")),
    ("motion", ("acceleration.", "jump.", "limit.acceleration.print", "motion.corner_deviation",
        "axis.x.max_acceleration", "axis.y.max_acceleration", "axis.x.max_jump", "axis.y.max_jump")),
    ("axis_speed", ("axis.x.max_speed", "axis.y.max_speed")),
    ("walls", ("wall.count", "wall.thickness")),
    ("roof", ("cover.upper_layers", "cover.upper_thickness")),
    ("floor", ("cover.lower_layers", "cover.lower_thickness")),
    ("infill", ("infill.density", "infill.pattern")),
    ("nozzle", ("heat.nozzle", "heat.nozzle_first")),
    ("bed", ("heat.bed", "heat.bed_first")),
    ("fan", ("fan.min", "fan.max", "fan.first_layer", "fan.bridge", "fan.overhang", "fan.interface", "fan.off_layers",
        "fan.full_range_from", "fan.quick_layer")),
    ("layer_time", ("cooling.",)),
    ("retraction", ("retract.enabled", "retract.length", "retract.speed", "retract.return_speed",
        "retract.shortest_travel", "limit.acceleration.pullback")),
    ("hop", ("travel.hop", "travel.hop_path")),
    ("melt", ("hotend.melt_rate", "feedstock.melt_rate", "feed.max_speed", "feed.max_acceleration",
        "axis.e.max_speed", "axis.e.max_acceleration")),
    ("support", ("support.",)),
    ("base", ("base.",)),
    ("envelope", ("envelope.",)),
    ("filament", ("feedstock.diameter",)),
    ("trim", ("offset.z",)),
    ("code", ("code.start", "code.end", "code.layer_opening", "code.layer_closing", "code.tool_change", "code.pause",
        "code.next_part", "code.path_kind", "code.feedstock_start", "code.feedstock_end")),
    ("size", ("size.outline", "size.hole", "size.first_layer", "feedstock.shrinkage_plan",
        "feedstock.shrinkage_height")),
)  # fmt: skip
"""Kind -> settings, exactly or (ending in ".") by their start; the first that fits counts. All others are of the kind
"single": a group of their own.
"""

APART = frozenset(("size", "melt", "code"))
"""Kinds whose settings have sentences of one making, but each its own."""
SWITCHED = {"support": "support.enabled", "base": "base.kind"}
"""Kinds that are told together only where their feature is switched."""

_kinds: dict[str, str] = {}


def kind_of(setting: str) -> str:
    """The kind of a setting.

    >>> kind_of("speed.infill"), kind_of("speed.travel"), kind_of("machine.kinematics")
    ('beads', 'travel', 'single')
    """
    found = _kinds.get(setting)
    if found is None:
        found = _kinds[setting] = next(
            (
                kind
                for kind, settings in KINDS
                if any(setting == one or (one[-1] == "." and setting.startswith(one)) for one in settings)
            ),
            "single",
        )
    return found


class Group(NamedTuple):
    """Changes that are told together; the first is the one that leads."""

    kind: str
    facts: tuple[Fact, ...]

    @property
    def settings(self) -> tuple[str, ...]:
        return tuple(fact.setting for fact in self.facts)

    @property
    def own(self) -> tuple[Fact, ...]:
        """Those whose own text changed."""
        return tuple(fact for fact in self.facts if fact.derived_from is None) or self.facts

    def fact(self, setting: str) -> Fact | None:
        return next((fact for fact in self.facts if fact.setting == setting), None)


def groups(facts: Sequence[Fact], old: Mapping[str, Value], new: Mapping[str, Value]) -> list[Group]:
    """The groups that the facts make, in their order. `old` and `new` are all that is known on each side."""
    parent = list(range(len(facts)))

    def top(at: int) -> int:
        while parent[at] != at:
            parent[at] = parent[parent[at]]
            at = parent[at]
        return at

    present = {fact.setting for fact in facts}
    holders: dict[object, int] = {}
    for at, fact in enumerate(facts):
        for key in _keys(fact, present, (old, new)):
            if key in holders:
                one, two = sorted((top(holders[key]), top(at)))
                parent[two] = one
            else:
                holders[key] = at
    members: dict[int, list[Fact]] = {}
    for at, fact in enumerate(facts):
        members.setdefault(top(at), []).append(fact)
    return [_group(found) for found in members.values()]


def _group(facts: list[Fact]) -> Group:
    own = [fact for fact in facts if fact.derived_from is None]
    lead = (own or facts)[0]
    ordered = [*own, *(fact for fact in facts if fact.derived_from is not None)]
    kinds = [kind_of(fact.setting) for fact in own or facts]
    kind = kind_of(lead.setting)
    if kind == "single" and any(one != "single" for one in kinds):
        kind = next(one for one in kinds if one != "single")
    return Group(kind, tuple(ordered))


def _keys(fact: Fact, present: set[str], sides: tuple[Mapping[str, Value], Mapping[str, Value]]) -> Iterator[object]:
    """What a change acts on; two that share one are told together."""
    name = fact.setting
    yield name
    for value in (fact.before, fact.after):
        for base in bases(value) if value is not None else ():
            for side in sides:
                known = stated(side, base)
                if known in present:
                    yield known
    kind = kind_of(name)
    if kind == "beads":
        touched = features_of(name, sides)
        for one in touched:
            yield "bead", one
        if family(name) in ("speed", "width") and touched != ("first_layer",):
            yield family(name)
    elif kind == "single" or kind in APART:
        return
    elif kind not in SWITCHED or SWITCHED[kind] in present:
        yield kind


def features_of(name: str, sides: tuple[Mapping[str, Value], Mapping[str, Value]]) -> tuple[str, ...]:
    """The features that a setting of the kind "beads" acts on."""
    if name in ("speed.flow_cap", "flow.factor"):
        return PRINTED
    if name == "layer.height":
        first = all("layer.first" in side for side in sides)
        return tuple(one for one in PRINTED if one != "first_layer" or not first)
    if name in ("layer.first", "speed.first_layer_area"):
        return ("first_layer",)
    own = feature(name)
    if own is not None:
        return (own,)
    head = family(name)
    known = [one for one in PRINTED if f"{head}.{one}" in SETTINGS]
    return tuple(one for one in known if any(stated(side, f"{head}.{one}") == name for side in sides))
