"""Whether start code lays its first filament well: slowly enough to melt, low enough to stick, and at all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, isnan, pi

from convert.program.geometry import Point
from convert.program.machine import Machine, shown
from convert.program.records import Call

Place = tuple[float, float, float, float, float]  # x, y, z, e, feed

# A line laid from higher than this many bores does not reach the bed as a bead (common practice).
LOW = 1.5
# A strand that falls this far sticks nowhere and is dragged along.
FAR = 5.0  # mm
# More lines than these are no priming, and a whole print in the place of start code is not to take ages.
LINES = 100
# Flow over what can be melted, and how bad that is for a line that only fills the nozzle (common practice).
RUSHES = ((3.0, "spoils"), (2.0, "differs"), (1.25, "note"))


def watched(m: Machine) -> bool:
    """Whether lines of filament are looked at one by one: those that fill the nozzle come first and are few."""
    return m.phase == "before" and m.primed < LINES


def laid(m: Machine, call: Call, before: Place, after: Place, points: Sequence[Point]) -> None:
    """Remarks on filament laid by start code along a way in plan."""
    if not watched(m):
        return
    m.primed += 1
    _height(m, call, after[2] + m.number("shift.z"))
    way = [before[:2], *points]
    plan = sum(hypot(end[0] - at[0], end[1] - at[1]) for at, end in pairwise(way))
    _flow(m, call, after[3] - before[3], plan, after[4])


def _height(m: Machine, call: Call, z: float) -> None:
    bore = m.fact("nozzle.diameter", m.tool)
    if m.facts.get("machine.kinematics") == "endless-belt" or not z > LOW * bore:
        return
    m.see(
        "prime-high",
        f"lays filament {shown(round(z, 4))} mm above the bed, from a bore of {shown(bore)} mm: it does not stick and "
        "is dragged along",
        call.args["E"].column,
        z,
        LOW * bore,
        "mm",
        severity="spoils" if z > FAR else "",
    )


def _flow(m: Machine, call: Call, amount: float, way: float, feed: float) -> None:
    """Volume flow of a line, mm3/s, against what hot end and filament melt."""
    melts = [rate for name in ("hotend.melt_rate", "feedstock.melt_rate") if not isnan(rate := m.fact(name, m.tool))]
    if not melts or not way > 0:
        return
    flow, most = amount * pi * m.fact("feedstock.diameter", m.tool) ** 2 / 4 * feed / way, min(melts)
    severity = next((word for share, word in RUSHES if flow > share * most), None)
    if severity:
        m.see(
            "prime-fast",
            f"pushes {shown(round(flow, 1))} mm3/s of filament along this line, where {shown(most)} can be melted",
            call.args["E"].column,
            flow,
            most,
            "mm3/s",
            severity=severity,
        )


def none_laid(m: Machine) -> None:
    """Remarks where start code heats the nozzle and pushes nothing, so that the print begins with an empty nozzle."""
    reached = m.number("nozzle.reached") if "nozzle.reached" in m.state else 0.0
    if m.fed or m.doubtful or not reached > 0:
        return
    around = m.facts.get("base.kind")
    first = f"the first millimetres of the {around} fill" if around in ("skirt", "brim", "raft") else "the part fills"
    m.see(
        "no-prime",
        f"the print begins and no filament was pushed: {first} the nozzle",
        severity="differs" if around == "none" else "",
        sure=False,
    )
