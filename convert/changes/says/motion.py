"""Sentences on acceleration, corners, travels, axis limits and least layer times."""

from __future__ import annotations

from math import sqrt

from convert.changes.figures import View, same
from convert.changes.groups import PRINTED, Group
from convert.changes.says import Said
from convert.changes.words import from_to, times
from convert.physics.bodies import body
from convert.rules.laid import laid
from convert.rules.quantities import acceleration
from convert.rules.setup import Missing
from convert.rules.words import FEATURE_WORDS, capital, num

LINE = 20
"""mm, the line on which accelerations are judged."""


def _accelerations(view: View, feature: str) -> tuple[float, float] | None:
    try:
        return acceleration(view.old, feature), acceleration(view.new, feature)
    except Missing:
        return None


def motion(view: View, group: Group) -> Said | None:
    """Accelerations, jumps and corner deviation of printing moves."""
    beads = {*laid(view.old), *laid(view.new), "small", "gap", "overhang"}
    printed = [one for one in PRINTED if one in beads]
    pairs = {one: pair for one in printed if (pair := _accelerations(view, one)) is not None}
    corners = {one: pair for one in printed if (pair := view.both("corner_speed", one)) is not None}
    moved = [one for one, pair in pairs.items() if not same(*pair)]
    turned = [one for one, pair in corners.items() if not same(*pair)]
    if pairs and not moved and not turned:
        if any(name.startswith("jump") for name in group.settings) and not corners:
            return None
        return Said(("The machine's other limits hold these moves as before",), True)
    if not moved:
        return _corners(corners, turned) if turned else None
    lead = max(moved, key=lambda one: (abs(pairs[one][1] - pairs[one][0]) / pairs[one][0], one == "infill"))
    clauses = []
    word = FEATURE_WORDS.get(lead, lead)
    peaks = view.both(f"peak_speed_{LINE}", lead)
    if peaks is not None and not same(*peaks):
        clauses.append(f"A {LINE} mm line of {word} peaks at {num(peaks[1])} mm/s instead of {num(peaks[0])}")
    reach = view.both("reach_distance", lead)
    if reach is not None and not same(*reach):
        text = f"full speed is reached after {from_to(*reach, 'mm')}"
        clauses.append(text if clauses else f"{capital(word)}: {text}")
    if not clauses:
        clauses.append(
            f"{capital(word)} {'starts' if word[-1:] != 's' else 'start'} and stop with another acceleration"
        )
    if turned:
        clauses.append(_corner_clause(corners, turned))
    ratio = times(*pairs[lead])
    if ratio:
        clauses.append(f"{ratio} the acceleration")
    return Said(tuple(clauses))


def _corner_clause(corners: dict[str, tuple[float, float]], turned: list[str]) -> str:
    lead = max(turned, key=lambda one: abs(corners[one][1] - corners[one][0]))
    word = FEATURE_WORDS.get(lead, lead)
    return f"corners of {word} are taken at {from_to(*corners[lead], 'mm/s')}"


def _corners(corners: dict[str, tuple[float, float]], turned: list[str]) -> Said:
    text = _corner_clause(corners, turned)
    faster = corners[turned[0]][1] > corners[turned[0]][0]
    return Said((capital(text), "sharper look, longer time" if not faster else "shorter time, rounder corners"))


def travel(view: View, group: Group) -> Said | None:
    """Speed and acceleration between beads."""
    speeds, rates = view.both("effective_speed", "travel"), _accelerations(view, "travel")
    if speeds is None:
        return None
    if set(group.settings) <= {"speed.first_layer_travel", "jump.travel"}:
        pair = view.numbers(group.settings[0])
        if group.settings[0] == "jump.travel" or pair is None:
            return None
        return Said((f"Travels on the first layer run at {from_to(*pair, 'mm/s')}",))
    length = body("block").travel
    taken = [_travel_time(length, speeds[at], rates[at] if rates else None) for at in (0, 1)]
    if same(*speeds) and (rates is None or same(*rates)):
        return Said(("The machine's limits hold travels as before",), True)
    clauses = []
    if not same(*speeds):
        clauses.append(f"Travels run at {num(speeds[1])} mm/s instead of {num(speeds[0])}")
    text = f"a travel of {num(length)} mm takes {from_to(taken[0], taken[1], 's')}"
    clauses.append(text if clauses else capital(text))
    return Said(tuple(clauses))


def _travel_time(length: float, speed: float, rate: float | None) -> float:
    if not rate:
        return length / speed
    return length / speed + speed / rate if length >= speed * speed / rate else 2 * sqrt(length / rate)


def axis_speed(view: View, group: Group) -> Said | None:
    """Speed limits of the axes in plan."""
    moved = {}
    seen = False
    for one in dict.fromkeys((*laid(view.new), *laid(view.old), "travel")):
        pair = view.both("effective_speed", one)
        seen = seen or pair is not None
        if pair is not None and not same(*pair):
            moved[one] = pair
    if not moved:
        return Said(("No move is asked to be as fast as the limit",), True) if seen else None
    lead = max(moved, key=lambda one: abs(moved[one][1] - moved[one][0]))
    verb = "is held to" if moved[lead][1] < moved[lead][0] else "may run at"
    word = FEATURE_WORDS.get(lead, "travel")
    return Said((f"{capital(word)} {verb} {num(moved[lead][1])} mm/s, was {num(moved[lead][0])}",))


def layer_time(view: View, group: Group) -> Said | None:
    """The least layer time and how it is kept."""
    times_, slowest = view.numbers("cooling.min_layer_time"), view.numbers("cooling.slowest")
    if group.fact("cooling.min_layer_time") is None or times_ is None:
        return None
    if not times_[1]:
        return Said(
            (f"Layers are no longer slowed to a least time, which was {num(times_[0])} s", "small tips stay soft")
        )
    clauses = [f"Layers take at least {num(times_[1])} s instead of {num(times_[0])}"]
    if times_[1] > times_[0]:
        clauses.append("small tips cool longer")
    else:
        clauses.append("small tips stay warmer")
    if slowest is not None and slowest[1]:
        paths = [slowest[at] * times_[at] for at in (0, 1)]
        clauses.append(f"below {num(paths[1])} mm of path a layer (was {num(paths[0])}) slowing alone is not enough")
    return Said(tuple(clauses))
