"""What motion words do: straight moves, arcs, homing, zero points; and whether the way is free."""

from __future__ import annotations

from math import hypot, isfinite, isnan, nan

from convert.program.geometry import SLACK, Point, arc_points, centre_from_radius
from convert.program.machine import AXES, UNKNOWN, Machine
from convert.program.records import Call
from convert.program.ways import Place, height, judge, names, say, unhomed

POSITION = ("x", "y", "z", "e", "feed")
# A zero point moved by less is trimmed; by more, the nozzle meets the bed or prints into the air (common practice).
FINE = 1.0  # mm
# Kinematics whose Z is homed at the bed, nearly always or often (common practice).
TO_THE_BED = ("moving-bed", "moving-head", "crossed-belt")
# Axes of a plane and the letters of the centre offsets, in the order that makes counter-clockwise positive.
PLANES = {"xy": ("x", "y", "I", "J"), "zx": ("z", "x", "K", "I"), "yz": ("y", "z", "J", "K")}


def move(m: Machine, call: Call) -> str:
    """G0, G1: straight to a place."""
    before, after = _aim(m, call)
    judge(m, call, before, after, [(after[0], after[1])])
    return _arrive(m, call, before, after, "moves")


def arc(m: Machine, call: Call) -> str:
    """G2, G3: an arc or helix in the active plane (NISTIR 6556, 3.5.3)."""
    before, after = _aim(m, call)
    points = _arc(m, call, before, after)
    judge(m, call, before, after, points)
    return _arrive(m, call, before, after, "moves in an arc, " + call.command.fixed["turn"] + ",")


def probe(m: Machine, call: Call) -> str:
    """G38.2: straight until the probe touches; where it stops is unknown."""
    before, after = _aim(m, call)
    judge(m, call, before, after, [(after[0], after[1])])
    for axis in AXES:
        if axis.upper() in call.args:
            m.set(axis, nan)
    return "moves until the probe touches; where that is, is unknown"


def cycle(m: Machine, call: Call) -> str:
    """A canned cycle: not followed in detail."""
    _aim(m, call)
    for axis in AXES:
        m.set(axis, nan)
    return "runs a canned cycle, which is not followed: the position is unknown"


def home(m: Machine, call: Call) -> str:
    """G28 as motion controllers have it: homes the named axes, or all; where the switches are is not known."""
    axes = [axis for axis in AXES if axis.upper() in call.args] or list(AXES)
    if m.state.get("map") == "on":
        m.see(
            "map-before-home",
            "homes after the bed map was switched on; on many machines that switches it off",
            call.column,
        )
        m.set("map", UNKNOWN)
    if m.phase == "after" and not m.lifted and "z" not in axes:
        m.see(
            "park-before-lift", f"homes {names(axes)} before the nozzle is lifted off the part", call.column, sure=False
        )
    for axis in axes:
        m.set(axis, m.context.initial.get(f"home.{axis}", nan))
        m.set(f"shift.{axis}", 0.0)
        m.set(f"homed.{axis}", True)
    if "z" in axes:
        _home_onto_part(m, call)
        m.lifted = True
    m.set("motors", "on")
    return f"homes {names(axes)}"


def _home_onto_part(m: Machine, call: Call) -> None:
    """Z homed after the print: most machines look for zero at the bed, where the part stands."""
    kinematics = m.facts.get("machine.kinematics")
    if m.phase == "after" and kinematics in TO_THE_BED:
        m.see(
            "into-part",
            "homes Z with the part on the bed: where Z is homed downwards, the nozzle is driven into it",
            call.column,
            subject="home",
            severity="" if kinematics == "moving-bed" else "note",
            sure=False,
        )


def return_home(m: Machine, call: Call) -> str:
    """G28, G30 of RS-274: to a stored position by way of the point given."""
    for axis in AXES:
        m.set(axis, nan)
    return "goes to a stored position, which is not known here"


def probe_bed(m: Machine, call: Call) -> str:
    """Measures the bed; leaves the head at an unknown place."""
    unhomed(m, call, [axis for axis in AXES if m.state[f"homed.{axis}"] is False], "measures the bed")
    for axis in AXES:
        m.set(axis, nan)
    m.set("map", "on")
    m.lifted = True
    return "measures the bed; the position after it is unknown"


def set_position(m: Machine, call: Call) -> str:
    """G92: names the present place; nothing moves (NISTIR 6556, 3.5.18)."""
    letters = [letter for letter in "XYZE" if letter in call.args] or list("XYZE")
    said = []
    for letter in letters:
        axis = letter.lower()
        argument = call.args.get(letter)
        if axis == "e":
            value = 0.0 if argument is None or argument.flag else argument.value * m.scale
            m.explicit["reset"] = (m.clock, "e")
        else:
            value = 0.0 if argument is None or argument.flag else argument.value * m.scale
            _names_unknown_place(m, call, axis, value)
            m.set(f"shift.{axis}", m.number(f"shift.{axis}") + m.number(axis) - value)
            if axis != "x" and m.facts.get("machine.kinematics") == "endless-belt":
                m.set(f"homed.{axis}", True)  # a belt has no end and no switch: its zero is where it stands
        m.set(axis, value)
        said.append(f"{letter} {say(value)}")
    return "calls the present position " + ", ".join(said)


def _names_unknown_place(m: Machine, call: Call, axis: str, value: float) -> None:
    """A zero point in plan set by hand is a mill's way; after homing by switches it throws the known one away."""
    homed = m.state[f"homed.{axis}"] is True and m.names != "numeric-control"
    if axis != "z" and m.phase == "before" and homed and isnan(m.number(axis)):
        m.see(
            "zero-moved",
            f"calls {axis.upper()} {say(value)} the place where homing has left the head, wherever that is, and all of "
            "the print moves with it",
            call.args[axis.upper()].column if axis.upper() in call.args else call.column,
            severity="differs",
            sure=False,
        )


def coordinates(m: Machine, call: Call) -> str:
    """Offsets and coordinate systems: where the zero point lies is no longer known here."""
    for axis in AXES:
        m.set(f"shift.{axis}", nan)
    return "changes the zero point; positions are no longer checked against the build volume"


def shift(m: Machine, call: Call) -> str:
    """Stored offsets of home, probe or tool: they take effect later; one of the zero point moves this print too."""
    if call.command.fixed.get("of") == "zero":
        for axis in AXES:
            by = call.number(axis.upper())
            if by:
                m.see(
                    "zero-moved",
                    f"moves the zero point after homing by {axis.upper()}{say(by)} mm, and later prints with it",
                    call.args[axis.upper()].column,
                    subject=axis,
                    severity="" if abs(by) > FINE else "differs",
                )
    return "sets stored offsets of " + (names(a.lower() for a in "XYZ" if a in call.args) or "nothing")


def trim(m: Machine, call: Call) -> str:
    """Moves the zero height by a step that adds up with every run."""
    m.see("repeated-trim", "moves the zero height by a step that may add up from print to print", call.column)
    m.set("shift.z", nan)
    return "moves the zero height by a step"


def describe(before: Place, after: Place, how: str = "moves", step: str = "", fed: float = nan) -> str:
    """A move in words, from what it changes; `step` and `fed` say what is known where the places are not.

    >>> describe((0, 0, 5, 0, 100), (10, 0, 5, 2, 100))
    'moves to X10 at 100 mm/s, pushing 2 mm of filament'
    """
    plan = "".join(
        f" {name}{say(to)}" for name, start, to in zip("XYZ", before, after, strict=False) if to != start and to == to
    )
    known = after[3] - before[3]
    fed = known if known == known else fed
    parts = [f"{how} to{plan}"] if plan else []
    if step:
        parts.append(f"{how} by {step}" if not plan else f"by {step}")
    elif not plan and any(to != to and start == start for start, to in zip(before[:3], after, strict=False)):
        parts.append(f"{how} to an unknown place")
    if fed == fed and fed:
        verb = ("pushes", "pulls") if not parts else ("pushing", "pulling")
        parts.append(
            f"{verb[0]} {say(fed)} mm of filament" if fed > 0 else f"{verb[1]} {say(-fed)} mm of filament back"
        )
    if not parts:
        return (
            f"sets the speed to {say(after[4])} mm/s"
            if after[4] != before[4] and after[4] == after[4]
            else ("does not move" if known == known else "moves by an unknown distance")
        )
    at = f" at {say(after[4])} mm/s" if after[4] == after[4] else ""
    return parts[0] + at + "".join(f", {part}" for part in parts[1:])


# ---- aiming


def _aim(m: Machine, call: Call) -> tuple[Place, Place]:
    """Where the head is and where a command sends it."""
    scale, distance, extrusion = m.scale, m.state["distance"], m.state["extrusion"]
    number = m.number
    before: Place = (number("x"), number("y"), number("z"), number("e"), number("feed"))
    after = list(before)
    for index, letter in enumerate("XYZE"):
        argument = call.args.get(letter)
        if argument is None or (letter == "E" and "E" not in call.command.roles):
            continue
        mode = extrusion if letter == "E" else distance
        value = argument.value * scale
        after[index] = value if mode == "absolute" else before[index] + value if mode == "relative" else nan
    feed = call.args.get("F")
    if feed is not None and not feed.flag:
        after[4] = feed.value * scale / 60
    return before, (after[0], after[1], after[2], after[3], after[4])


def _arrive(m: Machine, call: Call, before: Place, after: Place, how: str) -> str:
    """Takes over the new place and says what happened."""
    for name, start, to in zip(POSITION, before, after, strict=True):
        if start != to:
            m.set(name, to)
    if any(axis in call.args for axis in "XYZE"):
        m.set("motors", "on")
    relative = m.state["distance"] == "relative"
    steps = [
        f"{letter}{say(call.args[letter].value * m.scale)}"
        for letter, to in zip("XYZ", after, strict=False)
        if relative and letter in call.args and isnan(to) and not isnan(call.args[letter].value * m.scale)
    ]
    pushed = call.args["E"].value * m.scale if "E" in call.args and m.state["extrusion"] == "relative" else nan
    return describe(before, after, how, " ".join(steps), pushed)


def _arc(m: Machine, call: Call, before: Place, after: Place) -> list[Point]:
    """Points along an arc as (x, y); remarks on what cannot be drawn, and on heights where the arc stands upright."""
    u, v, first, second = PLANES.get(str(m.state["plane"]), PLANES["xy"])
    at = {"x": 0, "y": 1, "z": 2}
    start, end = (before[at[u]], before[at[v]]), (after[at[u]], after[at[v]])
    finish = [(after[0], after[1])]
    clockwise = call.command.fixed["turn"] == "clockwise"
    scale = m.scale
    if m.state["plane"] == UNKNOWN or not all(isfinite(value) for value in (*start, *end, scale)):
        return finish
    if "R" in call.args:
        radius = call.args["R"].value * scale
        if isnan(radius):
            return finish
        centre = centre_from_radius(start, end, radius, clockwise)
        if centre is None:
            says = (
                "a full circle cannot be given by its radius"
                if start == end
                else (
                    f"the ends lie {say(hypot(end[0] - start[0], end[1] - start[1]))} mm apart, "
                    f"more than a radius of {say(abs(radius))} mm can span"
                )
            )
            m.see("bad-arc", says, call.args["R"].column)
            return finish
    elif first in call.args or second in call.args:
        offsets = [
            0.0 if (given := call.args.get(letter)) is None or given.flag else given.value * scale
            for letter in (first, second)
        ]
        centre = (start[0] + offsets[0], start[1] + offsets[1])
        if isnan(centre[0]) or isnan(centre[1]):
            return finish
        apart = abs(hypot(start[0] - centre[0], start[1] - centre[1]) - hypot(end[0] - centre[0], end[1] - centre[1]))
        limit = 0.002 if m.state["units"] == "mm" else 0.0002 * 25.4
        if apart > limit + SLACK:
            m.see(
                "bad-arc",
                f"its two ends differ by {say(apart)} mm in their distance from the centre",
                call.column,
                apart,
                limit,
                "mm",
            )
    else:
        m.see("bad-arc", f"an arc needs its centre ({first} {second}) or its radius (R)", call.column)
        return finish
    points = arc_points(start, end, centre, clockwise)
    if u == "x":
        return points
    high = before[:2]
    path: list[Point] = []
    for along, across in points:
        place = {u: along, v: across}
        height(m, call, place["z"])
        path.append((place.get("x", high[0]), place.get("y", high[1])))
    return path
