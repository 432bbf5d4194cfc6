"""Sentences on speeds, bead widths, layer heights and flow factors: what they come to together is a flow."""

from __future__ import annotations

from math import log

from convert.changes.figures import View, same
from convert.changes.groups import PRINTED, Group, features_of
from convert.changes.says import Said
from convert.changes.says.shells import cover_clause
from convert.changes.words import from_to, more, share, times
from convert.model.setting import FAMILIES
from convert.physics.shells import layers_for
from convert.rules.laid import laid
from convert.rules.quantities import axis_limit, flow_factor, section
from convert.rules.setup import Missing
from convert.rules.words import FEATURE_WORDS, capital, listed, num

WORDS = {**FEATURE_WORDS, "overhang": "overhangs", "gap": "slit filling", "small": "small outlines"}
PLURAL = frozenset(("inner_wall", "solid", "bridge", "overhang", "small"))


def beads(view: View, group: Group) -> Said | None:
    """What speeds, widths, heights and factors do, alone or together."""
    touched = _touched(view, group)
    if not touched and group.own[0].setting.endswith(".default"):
        return Said(("Every feature that is laid has a value of its own",), True)
    parts = {name.partition(".")[0] for name in group.settings if name not in ("speed.flow_cap", "flow.factor")}
    parts &= {*FAMILIES, "layer"}
    if "flow.factor" in group.settings:
        parts.add("flow")
    if parts <= {"speed"} and (idle := _idle(view, group, touched)):
        return idle
    if not parts:
        return _cap(view, touched)
    if parts == {"layer"}:
        return _height(view, group, touched)
    if parts == {"flow"}:
        return _factor(view, group, touched)
    if parts == {"width"}:
        return _width(view, group, touched)
    if parts == {"speed"}:
        return _speed(view, touched, "speed.flow_cap" in group.settings)
    return _together(view, group, touched)


def _touched(view: View, group: Group) -> list[str]:
    """The features that the group acts on and that are laid, those first whose flow moves most."""
    sides = (view.old.values, view.new.values)
    acted = {one for name in group.settings for one in features_of(name, sides)}
    beads_ = {*laid(view.new), *laid(view.old)}
    if not beads_ & {"support"}:
        acted -= {"support", "interface"}
    if "outline" not in beads_:
        acted -= {"outline"}
    moved = [one for one in PRINTED if one in acted]
    return sorted(moved, key=lambda one: _weight(view, one), reverse=True)


MAIN = ("infill", "inner_wall", "outer_wall", "solid")
"""What most of a print consists of: these speak for the others where they move."""


def _weight(view: View, feature: str) -> tuple[bool, float, float]:
    flows = view.both("flow_asked", feature)
    if flows is None or min(flows) <= 0:
        speeds = view.both("effective_speed", feature)
        return (feature in MAIN, -1.0, max(speeds)) if speeds else (feature in MAIN, -2.0, 0.0)
    moved = round(abs(log(flows[1] / flows[0])), 6)
    return feature in MAIN and moved > 0, moved, flows[1]


def _name(feature: str) -> str:
    return WORDS.get(feature, feature)


def _names(features: list[str]) -> str:
    return listed(map(_name, features))


def _verb(feature: str, one: str, several: str) -> str:
    return several if feature in PLURAL else one


def _cap_of(view: View) -> float | None:
    cap = view.new.get("speed.flow_cap")
    return None if cap is None or cap == float("inf") else cap


def _idle(view: View, group: Group, touched: list[str]) -> Said | None:
    """Speeds that a limit cuts to the same before and after."""
    speeds = {one: pair for one in touched if (pair := view.both("effective_speed", one)) is not None}
    asked = {one: pair for one in touched if (pair := view.numbers(f"speed.{one}")) is not None}
    if not speeds or set(speeds) != set(asked) or not all(same(*pair) for pair in speeds.values()):
        return None
    if "speed.first_layer_area" in group.settings or "speed.ramp_layers" in group.settings:
        return None
    moved = [one for one in asked if not same(*asked[one])]
    if not moved:
        return Said(("No bead reaches the flow cap, before or after",), True)
    lead = moved[0]
    speed = speeds[lead][1]
    limit = "the axis limit" if same(axis_limit(view.new, "max_speed"), speed) else "speed.flow_cap"
    value = "" if limit != "speed.flow_cap" else f" of {num(_cap_of(view) or 0)} mm³/s"
    others = f"; the same goes for {_names(moved[1:])}" if moved[1:] else ""
    text = f"{limit[:1].upper()}{limit[1:]}{value} cuts {_name(lead)} to {num(speed)} mm/s before and after"
    return Said((text + others,), True)


def _speed(view: View, touched: list[str], capped: bool) -> Said | None:
    """Speeds alone."""
    lead = touched[0] if touched else None
    speeds = view.both("effective_speed", lead) if lead else None
    if lead is None:
        return None
    if speeds is None:
        speeds = view.numbers(f"speed.{lead}")
    if speeds is None:
        return None
    before, after = speeds
    first = f"{capital(_name(lead))} {_verb(lead, 'runs', 'run')} at {num(after)} mm/s instead of {num(before)}"
    ratio = times(before, after) or share(before, after)
    first += f" ({ratio})" if ratio else ""
    held = _held(view, lead, said_speed=True)
    if held and held[0].startswith("ask"):
        asks, *held = held
        first += f" and {asks}"
        if held and not held[0].startswith("speed."):
            first += f", {held.pop(0)}"
    clauses = [first, *held]
    others = [one for one in touched[1:] if not _still(view, one)]
    if others:
        clauses.append(f"also other speeds for {_names(others)}")
    if capped and (cap := view.numbers("speed.flow_cap")):
        clauses.append(f"the flow cap moves {from_to(*cap, 'mm3/s')}")
    clauses += _ringing(view, touched)
    return Said(tuple(clauses))


def _still(view: View, feature: str) -> bool:
    pair = view.both("effective_speed", feature)
    return pair is not None and same(*pair)


def _held(view: View, feature: str, said_speed: bool = False) -> list[str]:
    """What the flow of a feature is, against the limits that hold it."""
    flows = view.both("flow_asked", feature)
    if flows is None:
        return []
    before, after = flows
    cap = _cap_of(view)
    verb = _verb(feature, "asks", "ask")
    text = [] if same(before, after) or not said_speed else [f"{verb} {num(after)} mm³/s instead of {num(before)}"]
    if cap is not None and after > cap * (1 + 1e-9):
        speeds = view.one(view.new, "effective_speed", feature)
        asked = view.new.get(f"speed.{feature}")
        if speeds is not None and asked is not None:
            held = f"speed.flow_cap of {num(cap)} mm³/s holds it to {num(speeds)} mm/s of the {num(asked)} asked"
            return [*text, held]
    melt = _melt(view)
    if melt is not None and after > melt * (1 + 1e-9):
        return [*text, f"{more(melt, after)} than the {num(melt)} mm³/s that can be melted"]
    if cap is not None and text:
        return [f"{text[0]}, inside the cap of {num(cap)}"]
    return text


def _melt(view: View) -> float | None:
    found = [value for name in ("hotend.melt_rate", "feedstock.melt_rate") if (value := view.new.get(name)) is not None]
    return min(found, default=None)


def _ringing(view: View, touched: list[str]) -> list[str]:
    if "outer_wall" not in touched:
        return []
    pair = view.both("ring_wavelength", "outer_wall")
    if pair is None or same(*pair):
        return []
    return [f"ringing on walls repeats every {num(pair[1])} mm instead of {num(pair[0])}"]


def _cap(view: View, touched: list[str]) -> Said | None:
    """The flow cap alone."""
    caps = view.numbers("speed.flow_cap")
    held = [one for one in touched if not _still(view, one)]
    after = _cap_of(view)
    if not held:
        return None
    lead = held[0]
    speeds = view.both("effective_speed", lead)
    if speeds is None:
        return None
    if after is None:
        first = "No flow cap slows the beads any more"
    elif caps is None or caps[1] < caps[0]:
        first = f"Everything that asks more than {num(after)} mm³/s is slowed"
        try:
            where = after / (section(view.new, lead) * flow_factor(view.new, lead))
            first += f": {_name(lead)} above {num(where)} mm/s"
        except (Missing, ArithmeticError):
            pass
    else:
        first = f"Up to {num(after)} mm³/s is let through instead of {num(caps[0])}"
    clauses = [first, f"{_name(lead)} {_verb(lead, 'runs', 'run')} at {from_to(*speeds, 'mm/s')}"]
    if held[1:]:
        clauses[-1] += f", and {_names(held[1:])} likewise"
    melt = _melt(view)
    if melt is not None and after is not None and after > melt * (1 + 1e-9):
        clauses.append(
            f"that is {more(melt, after)} than the {num(melt)} mm³/s that can be melted: it needs a flow test"
        )
    return Said(tuple(clauses))


def _height(view: View, group: Group, touched: list[str]) -> Said | None:
    """Layer heights alone."""
    heights = view.numbers("layer.height") if group.fact("layer.height") else None
    if heights is None:
        first = view.numbers("layer.first")
        if first is None:
            return None
        return Said((f"The first layer is {num(first[1])} mm high instead of {num(first[0])}", *_first_bead(view)))
    clauses = [_steps(heights)]
    lead = next((one for one in touched if one != "first_layer"), None)
    if lead is not None:
        clauses += _held(view, lead) and [f"{_name(lead)}: {_held(view, lead)[0]}"]
    clauses += _covers(view)
    if group.fact("layer.first") and (first := view.numbers("layer.first")):
        clauses.append(f"the first layer is {num(first[1])} mm high instead of {num(first[0])}")
    return Said(tuple(clauses))


def _steps(heights: tuple[float, float]) -> str:
    before, after = heights
    word = "taller" if after > before else "finer"
    return f"Steps on slopes are {share(before, after)[1:]} {word}"


def _first_bead(view: View) -> list[str]:
    pair = view.both("bead_aspect", "first_layer")
    return (
        [] if pair is None or same(*pair) else [f"its bead is {num(pair[1])} times as wide as high, was {num(pair[0])}"]
    )


def _covers(view: View) -> list[str]:
    """Roof and floor that are counted in layers, and so change with the height."""
    clauses = []
    for side, quantity, word in (("upper", "roof_thickness", "roof"), ("lower", "floor_thickness", "floor")):
        pair, layers = view.both(quantity), view.numbers(f"cover.{side}_layers")
        heights = view.numbers("layer.height")
        if pair is None or layers is None or heights is None or layers[0] != layers[1] or same(*pair) or not layers[1]:
            continue
        clause = cover_clause(word, int(layers[1]), pair)
        if word == "roof" and pair[1] < pair[0]:
            clause += f": {int(layers_for(pair[0], heights[1]))} layers would keep it, else the fill may show through"
        clauses.append(clause)
        if word == "roof":
            break
    return clauses


def _factor(view: View, group: Group, touched: list[str]) -> Said | None:
    """Flow factors alone: plastic, and where it goes."""
    lead = group.own[0].setting
    pair = view.numbers(lead)
    if pair is None or not pair[0]:
        return None
    before, after = pair
    where = "every bead" if lead == "flow.factor" else _name(lead.partition(".")[2])
    clauses = [f"{more(before, after).capitalize()} plastic in {where}"]
    feature = "outer_wall" if "outer_wall" in touched else touched[0] if touched else None
    wall = view.numbers(f"width.{feature}") if feature else None
    height = view.numbers("layer.height")
    if feature == "outer_wall" and wall and height and height[1]:
        try:
            area = section(view.new, feature)
        except Missing:
            return Said(tuple(clauses))
        grown = area * (after - before) / before / height[1]
        way = "wider" if grown > 0 else "narrower"
        text = f"a bead of {num(wall[1])} mm comes out {abs(grown):.3f} mm {way}"
        clauses.append(f"{text}, outsides move {abs(grown) / 2:.3f} mm {'out' if grown > 0 else 'in'} per side")
    return Said(tuple(clauses))


def _width(view: View, group: Group, touched: list[str]) -> Said | None:
    """Bead widths alone."""
    moved = {one: pair for one in touched if (pair := view.numbers(f"width.{one}")) and not same(*pair)}
    if not moved:
        return None
    lead = next(iter(moved))
    before, after = moved[lead]
    alike = [one for one, pair in moved.items() if same(pair[0], before) and same(pair[1], after)]
    first = f"Beads of {_names(alike)} are {num(after)} mm wide instead of {num(before)}"
    clauses = [first, *_stack(view)]
    others = [one for one in moved if one not in alike]
    if others:
        clauses.append(f"other widths also for {_names(others)}")
    held = _held(view, lead)
    if held:
        clauses.append(f"{_name(lead)}: {held[0]}")
    return Said(tuple(clauses))


def _stack(view: View) -> list[str]:
    pair, count = view.both("wall_stack"), view.numbers("wall.count")
    if pair is None or same(*pair) or count is None or count[0] != count[1]:
        return []
    walls = "1 wall is" if count[1] == 1 else f"{num(count[1])} walls are"
    return [f"{walls} {pair[1]:.3f} mm thick instead of {pair[0]:.3f}"]


def _together(view: View, group: Group, touched: list[str]) -> Said | None:
    """Several of speed, width, height and factor: one flow."""
    lead = next((one for one in touched if view.both("flow_asked", one)), None)
    clauses: list[str] = []
    if lead is not None:
        before, after = view.both("flow_asked", lead) or (0.0, 0.0)
        step = share(before, after)
        if same(before, after):
            clauses.append(f"{capital(_name(lead))} asks {num(after)} mm³/s as before")
        else:
            verb = _verb(lead, "asks", "ask")
            clauses.append(f"{capital(_name(lead))} {verb} {num(after)} mm³/s instead of {num(before)} ({step})")
        speeds, held = view.both("effective_speed", lead), _held(view, lead)
        if speeds is not None and not same(*speeds) and not held:
            clauses[0] += f" at {num(speeds[1])} mm/s instead of {num(speeds[0])}"
        clauses += held
    heights = view.numbers("layer.height") if group.fact("layer.height") else None
    if heights is not None:
        text = _steps(heights)
        clauses.append(text if not clauses else text[:1].lower() + text[1:])
        clauses += _covers(view)
    clauses += _stack(view)
    return Said(tuple(clauses)) if clauses else None
