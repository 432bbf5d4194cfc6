"""The short way: lines that only move (G0 and G1 with numbers, nothing to remark), which are most of a long program."""

from __future__ import annotations

import re
from math import isnan

from convert.program.geometry import SLACK
from convert.program.heating import APART, nozzle
from convert.program.machine import UNKNOWN, Machine, shown
from convert.program.motion import POSITION, describe
from convert.program.priming import watched
from convert.program.records import Step
from convert.program.ways import SEPARATE_FEED, Place

_N = r"([-+]?+(?:[0-9]++\.?+[0-9]*+|\.[0-9]++))"
_REMARK = r"(?:;(?:[^GgMm\\]|[GgMm](?![0-9]))*+)?+"  # a comment that cannot hold a command
_WORDS = "".join(rf"(?: *+{letter}{_N})?+" for letter in "FXYZEF")
_PLAIN = re.compile(rf"(?:G0?+([01]){_WORDS})?+[ \t]*+{_REMARK}").fullmatch


def plain_lines(m: Machine, lines: list[str], at: int, log: list[object]) -> int:
    """Takes plain moves from `at` on; returns the index of the first line that needs the long way."""
    bounds = _bounds(m) if _PLAIN(lines[at]) else None
    if bounds is None:
        return at
    (x_low, x_high), (y_low, y_high), (z_low, z_high) = bounds
    state = m.state
    z_feed = m.fact("axis.z.max_speed")
    scale, relative_feed, may_push = m.scale, state["extrusion"] == "relative", _may_push(m)
    x, y, z, e, feed = (m.number(name) for name in POSITION)
    start, kind = at, ""
    append = log.append
    for at in range(start, len(lines)):
        line = lines[at]
        found = _PLAIN(line)
        if found is None:
            break
        which, first, xs, ys, zs, es, last = found.groups()
        if which is None:
            if len(line) > 256:
                break
            continue
        nx = x if xs is None else float(xs) * scale
        ny = y if ys is None else float(ys) * scale
        nz = z if zs is None else float(zs) * scale
        if nx < x_low or nx > x_high or ny < y_low or ny > y_high or nz < z_low or nz > z_high:
            break
        ne, nf = e, feed
        if es is not None:
            if not may_push:
                break
            ne = e + float(es) * scale if relative_feed else float(es) * scale
        if last is not None or first is not None:
            if (last is not None and first is not None) or len(line) > 256:
                break
            nf = float(last or first) * scale / 60
        elif len(line) > 256:
            break
        if zs is not None and nf > z_feed and xs is None and ys is None:
            break
        append((at + 1, line, (x, y, z, e, feed), (nx, ny, nz, ne, nf)))
        x, y, z, e, feed, kind = nx, ny, nz, ne, nf, which
    else:
        at = len(lines)
    if at > start:
        state["x"], state["y"], state["z"], state["e"], state["feed"] = x, y, z, e, feed
        if kind:
            state["motion"] = "G" + kind
        m.line = at
    return at


def _bounds(m: Machine) -> tuple[tuple[float, float], tuple[float, float], tuple[float, float]] | None:
    """Logical bounds within which a plain move needs no remark; None where the long way is needed anyway."""
    state, worst, area = m.state, m.worst, m.area
    said = m.phase in ("during", "after") or "assumed" in worst or {"units", "distance"} <= m.explicit.keys()
    usual = m.commands["G0"].effect == m.commands["G1"].effect == "move"
    homed = all(state[f"homed.{axis}"] is not False or f"unhomed.{axis}" in worst for axis in "xyz")
    known = state["distance"] == "absolute" and state["extrusion"] != UNKNOWN and not isnan(m.scale)
    free = (m.phase != "after" and not m.section.endswith("next_part")) or m.lifted
    if not (said and usual and homed and known and free and area.plain and state["motors"] == "on") or m.ended:
        return None
    found = []
    for axis, (low, high) in (("X", area.x), ("Y", area.y), ("z", (0.0, area.height))):
        shift = m.number(f"shift.{axis.lower()}")
        certain = state["homed.z"] if axis == "z" else state["homed.x"] and state["homed.y"]
        low = min(low, worst.get(f"{axis}-", low)) - SLACK - shift
        high = max(high, worst.get(f"{axis}+", high)) + SLACK - shift
        found.append((low, high) if certain else (float("-inf"), float("inf")))
    return found[0], found[1], found[2]


def _may_push(m: Machine) -> bool:
    """Whether filament moves need no look: pushed before, and warm, or remarked on already in this section."""
    if watched(m):
        return False
    if not m.pushed or "plan" not in m.worst or "E" not in m.commands["G1"].roles:
        return False
    distance, extrusion = m.explicit.get("distance", (0, "")), m.explicit.get("extrusion", (0, ""))
    follows = (
        distance[0] > extrusion[0] and m.state["distance"] != m.state["extrusion"] and m.names not in SEPARATE_FEED
    )
    if follows and (m.section, "feed-mode-ambiguous", "") not in m.found:
        return False
    name, target, reached, least = nozzle(m)
    if any((m.section, code, name) in m.found for code in ("cold-push", "unwaited-push")):
        return True
    return isnan(target) or (target > 0 and (isnan(reached) or (reached >= least and target - reached <= APART)))


def plain_step(section: str, entry: tuple[int, str, Place, Place]) -> Step:
    number, text, before, after = entry
    changes = tuple(
        (name, shown(start), shown(to))
        for name, start, to in zip(POSITION, before, after, strict=True)
        if start != to and (start == start or to == to)
    )
    found = _PLAIN(text)
    assert found is not None  # it was matched when the line ran
    words = zip("FXYZEF", found.groups()[1:], strict=True)
    effect = (
        f"G{found[1]}",
        tuple(sorted((letter, float(value) + 0.0) for letter, value in words if value is not None)),
    )
    return Step(section, number, text, describe(before, after), changes, (effect,))
