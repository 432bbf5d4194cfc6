"""Whether a way is free: homing, build volume, areas that must stay free, and what the move assumes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot, inf, isnan

from convert.program.geometry import SLACK, Point, excess, inside, passes
from convert.program.heating import push
from convert.program.machine import AXES, Machine
from convert.program.priming import Place, laid
from convert.program.records import Call

# Command sets in which the distance mode never governs filament.
SEPARATE_FEED = ("numeric-control", "named-macros")
# Beyond the area by no more than this, common practice lets the nozzle wait or prime; farther is taken for a slip.
MARGIN = 5.0  # mm
# Of the build height: a nozzle sent below this after the print meets many a part.
LOW = 0.5
# Of the build area: a step in plan from an open place that needs luck to stay inside, and one that hardly ever does.
BLIND, RUNS_OUT = 0.5, 0.75
SLIGHT = 1e-6  # relative; rounding


def judge(m: Machine, call: Call, before: Place, after: Place, points: Sequence[Point]) -> None:
    """Remarks on a move: homing, mode, build volume, free areas, filament."""
    named = [axis for axis in AXES if axis.upper() in call.args]
    relative = m.state["distance"] == "relative"
    if named:
        lift = relative and "Z" in call.args and call.args["Z"].value > 0
        lost = [axis for axis in named if m.state[f"homed.{axis}"] is False and not (axis == "z" and lift)]
        if lost:
            unhomed(m, call, lost, "moves")
        if not m.explicit.get("units") or not m.explicit.get("distance"):
            _assumed(m, call)
        _volume(m, call, before, after, points, named)
        _park(m, call, before, after, named)
    if "E" in call.args and "E" in call.command.roles:
        _ambiguous(m, call)
        amount = after[3] - before[3]
        if amount > 0:
            in_plan = "x" in named or "y" in named
            push(m, call, amount, in_plan)
            if in_plan:
                laid(m, call, before, after, points)


def unhomed(m: Machine, call: Call, axes: list[str], does: str) -> None:
    fresh = [axis for axis in axes if f"unhomed.{axis}" not in m.worst]
    m.homeless.update(fresh)
    for axis in fresh:
        m.worst[f"unhomed.{axis}"] = 1.0
    if fresh:
        m.see(
            "unhomed-move",
            f"{does} before {names(fresh)} {'was' if len(fresh) == 1 else 'were'} homed",
            call.column,
            subject=names(fresh),
        )


def _assumed(m: Machine, call: Call) -> None:
    if m.phase not in ("before", "whole") or "assumed" in m.worst:
        return
    m.worst["assumed"] = 1.0
    missing = [text for mode, text in (("units", "G20 or G21"), ("distance", "G90 or G91")) if mode not in m.explicit]
    m.see(
        "assumed-mode",
        f"moves before the code says {' and '.join(missing)}; millimetres and absolute positions are "
        "assumed where nothing is said",
        call.column,
    )


def _volume(m: Machine, call: Call, before: Place, after: Place, points: Sequence[Point], named: Sequence[str]) -> None:
    """Remarks where a path leaves the build volume or crosses an area that must stay free."""
    if "z" in named and m.state["homed.z"] is not False:
        height(m, call, after[2])
        lift = after[2] - before[2] if not isnan(after[2]) else call.args["Z"].value * m.scale
        if isnan(after[2]) and m.state["distance"] == "relative" and lift > 0 and m.phase in ("during", "after") and (
            m.area.height < inf
        ):  # fmt: skip
            never = lift > m.area.height
            text = (
                f"rises by {say(lift)} mm, more than the {say(m.area.height)} mm that the build volume is high"
                if never
                else f"rises by {say(lift)} mm from wherever it is: a part higher than "
                f"{say(m.area.height - lift)} mm would send the nozzle above the build volume"
            )
            column = call.args["Z"].column
            severity = "fails" if never else ""
            m.see("blind-lift", text, column, lift, m.area.height, "mm", sure=never, severity=severity)
        if named == ["z"]:
            _z_feed(m, call, after[4])
    if relative_in_plan(m) and ("x" in named or "y" in named):
        _blind_drive(m, call, after)
    if not ("x" in named or "y" in named) or m.state["homed.x"] is False or m.state["homed.y"] is False:
        return
    dx, dy = m.number("shift.x"), m.number("shift.y")
    last: Point | None = None if isnan(before[0] + before[1] + dx + dy) else (before[0] + dx, before[1] + dy)
    for point in points:
        x, y = point[0] + dx, point[1] + dy
        _plan(m, call, x, y, last)
        last = None if isnan(x + y) else (x, y)


def relative_in_plan(m: Machine) -> bool:
    """Whether moves go by steps from a place that the print has left open."""
    return m.state["distance"] == "relative" and m.phase in ("during", "after")


def _blind_drive(m: Machine, call: Call, after: Place) -> None:
    for letter, to, (low, high) in (("X", after[0], m.area.x), ("Y", after[1], m.area.y)):
        if letter not in call.args or not isnan(to) or not high - low < inf:
            continue
        step = abs(call.args[letter].value * m.scale)
        if step > BLIND * (high - low):
            m.see(
                "blind-drive",
                f"drives {letter} by {say(step)} mm from wherever it is; the build area is {say(high - low)} mm wide",
                call.args[letter].column,
                step,
                BLIND * (high - low),
                "mm",
                letter,
                severity="fails" if step > RUNS_OUT * (high - low) else "",
                sure=False,
            )


def _z_feed(m: Machine, call: Call, feed: float) -> None:
    most = m.fact("axis.z.max_speed")
    if feed > most * (1 + SLIGHT):
        m.see(
            "feed-beyond-axis",
            f"asks Z for {say(feed)} mm/s, and the axis has {say(most)}",
            _column(call, "F"),
            feed,
            most,
            "mm/s",
        )


def height(m: Machine, call: Call, z: float) -> None:
    """Judges a logical height."""
    z += m.number("shift.z")
    column = call.args["Z"].column if "Z" in call.args else call.column
    if z > m.area.height + SLACK:
        m.worst["z+"] = max(m.worst.get("z+", z), z)
        m.see(
            "above-top",
            f"goes up to Z{say(z)}, {say(z - m.area.height)} mm above the build volume",
            column,
            z,
            m.area.height,
            "mm",
        )
    elif z < -SLACK:
        m.worst["z-"] = min(m.worst.get("z-", z), z)
        m.see("below-bed", f"goes down to Z{say(z)}, below the bed", column, z, 0.0, "mm")


def _plan(m: Machine, call: Call, x: float, y: float, last: Point | None) -> None:
    """Judges a machine position in plan and the straight way to it."""
    area = m.area
    for name, value, (low, high) in (("X", x, area.x), ("Y", y, area.y)):
        if low - SLACK <= value <= high + SLACK or isnan(value):
            continue
        bound, key = (low, f"{name}-") if value < low else (high, f"{name}+")
        m.worst[key] = (
            value if key not in m.worst else min(m.worst[key], value) if value < low else max(m.worst[key], value)
        )
        beyond = abs(value - bound)
        m.see(
            "outside-area",
            f"goes to {name}{say(value)}, {say(beyond)} mm outside the build area",
            _column(call, name),
            value,
            bound,
            "mm",
            name + key[1],
            "note" if beyond <= MARGIN else "",
        )
    if area.plain or isnan(x + y) or not _affordable(m, call):
        return
    beyond = excess(area, x, y)
    if beyond and area.x[0] <= x <= area.x[1] and area.y[0] <= y <= area.y[1]:
        m.see(
            "outside-area",
            f"goes to X{say(x)} Y{say(y)}, {say(beyond)} mm outside the build area",
            call.column,
            beyond,
            0.0,
            "mm",
            "plan",
            "note" if beyond <= MARGIN else "",
        )
    elif area.outline and last is not None and not beyond and not excess(area, *last):
        out = passes(area.outline, last, (x, y), within=False)
        if out:
            m.see(
                "outside-area",
                f"crosses the outline near X{say(out[0])} Y{say(out[1])}",
                call.column,
                excess(area, *out),
                0.0,
                "mm",
                "plan",
            )
    for index, polygon in enumerate(area.excluded):
        touched = (x, y) if inside(polygon, x, y) else passes(polygon, last, (x, y), within=True) if last else None
        if touched:
            m.see(
                "excluded-area",
                f"crosses an area that must stay free, near X{say(touched[0])} Y{say(touched[1])}",
                call.column,
                subject=f"area {index + 1}",
            )


def _affordable(m: Machine, call: Call) -> bool:
    """Whether the work for outlines is still within its bound."""
    for polygon in (m.area.outline, *m.area.excluded):
        corners = len(polygon)
        m.edges -= corners if corners <= 32 else corners * corners // 8
    if m.edges < 0:
        m.see(
            "area-not-checked",
            "from here on only the outer sides of the build area are checked: outline and code are too long together",
            call.column,
        )
        return False
    return True


def _park(m: Machine, call: Call, before: Place, after: Place, named: Sequence[str]) -> None:
    """After the print: up first, then aside."""
    aside = m.section.endswith("next_part")
    if not (aside or m.phase == "after") or m.lifted:
        return
    rise = after[2] - before[2]
    relative = m.state["distance"] == "relative"
    if "z" in named:
        m.lifted = rise > 0 or (isnan(rise) and not (relative and call.args["Z"].value <= 0))
        if not aside and m.facts.get("machine.kinematics") != "endless-belt":
            _into_part(m, call, after[2], relative)
        return
    step = hypot(*(call.args[a].value * m.scale for a in "XY" if a in call.args))
    if relative and step <= 10.0:
        return
    m.see(
        "park-before-lift",
        f"moves {names(named)} before the nozzle is lifted off the part",
        call.column,
        severity="fails" if aside else "",
    )
    m.lifted = True


def _into_part(m: Machine, call: Call, z: float, relative: bool) -> None:
    """The first move in height after the print, from wherever it ended: down, or to a height below many a part."""
    argument = call.args["Z"]
    step = argument.value * m.scale
    if relative and step < 0:
        says = f"goes down by {say(-step)} mm from the top of the finished part"
        m.see("into-part", says, argument.column, step, 0.0, "mm")
    elif not relative and z < m.area.height < inf:
        m.see(
            "into-part",
            f"goes to Z{say(z)} wherever the print ended: a part higher than that is run into",
            argument.column,
            z,
            m.area.height,
            "mm",
            severity="" if z < LOW * m.area.height else "note",
            sure=False,
        )


def _ambiguous(m: Machine, call: Call) -> None:
    """Whether G90 and G91 govern filament too differs from machine to machine; said only where it matters."""
    if m.names in SEPARATE_FEED or m.state["distance"] == m.state["extrusion"]:
        return
    if m.explicit.get("distance", (0, ""))[0] > m.explicit.get("extrusion", (0, ""))[0]:
        word = "G91" if m.state["distance"] == "relative" else "G90"
        after = "M83" if m.state["extrusion"] == "relative" else "M82"
        m.see(
            "feed-mode-ambiguous",
            f"filament positions are taken as {m.state['extrusion']}; on some machines the {word} "
            f"before it changes them too: write {after} after it",
            _column(call, "E"),
            sure=False,
        )


def _column(call: Call, letter: str) -> int:
    return call.args[letter].column if letter in call.args else call.column


def names(axes: Iterable[str]) -> str:
    return " ".join(axis.upper() for axis in axes)


def say(value: float) -> str:
    if value != value:
        return "?"
    text = f"{value:.4f}".rstrip("0").rstrip(".") if abs(value) < 1e15 else f"{value:.6g}"
    return "0" if text == "-0" else text
