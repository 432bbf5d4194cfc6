"""When code runs: before the print, during it, after it; and what the print itself leaves behind.

Start code runs before; layer, tool, pause and part code may run at any time during the print, so what it changes may or
may not hold afterwards; end code runs after. Code under any other name is a whole program by itself.
"""

from __future__ import annotations

from math import isnan, nan

from convert.program.heating import assess_literals, heater_name, heaters, missing, unwaited
from convert.program.housekeeping import factors_at_print
from convert.program.machine import AXES, TOOLS, UNKNOWN, Machine, joined, shown
from convert.program.priming import none_laid

ORDER = (
    "start", "feedstock_start", "layer_opening", "path_kind", "layer_closing", "tool_change", "pause", "next_part",
    "feedstock_end", "end",
)  # fmt: skip
BEFORE, AFTER = frozenset(ORDER[:2]), frozenset(ORDER[-2:])
PRINT = "print"
FANS = ("fan.max", "fan.bridge", "fan.overhang", "fan.interface", "fan.first_layer")
FAN_SLACK = 5.0  # percent; what no part shows (common practice)
FAN_MUCH = 30.0  # percent; that changes how layers weld (common practice)
# A zero point moved by less than the first is rounding; by less than the second, somebody trims it (common practice).
MOVED, NUDGE = 0.1, 10.0  # mm


def phase_of(section: str) -> str:
    """before, during, after or whole.

    >>> phase_of("code.start"), phase_of("code.pause"), phase_of("end"), phase_of("bracket.txt")
    ('before', 'during', 'after', 'whole')
    """
    name = section.removeprefix("code.")
    return "before" if name in BEFORE else "after" if name in AFTER else "during" if name in ORDER else "whole"


def rank(section: str) -> int:
    """Where a section stands in the order of running."""
    name = section.removeprefix("code.")
    return ORDER.index(name) if name in ORDER else len(ORDER)


def begin(m: Machine, section: str) -> None:
    """Starts a section."""
    phase = phase_of(section)
    if phase != m.phase or section.endswith("next_part"):
        m.lifted = False
    m.section, m.line, m.phase = section, 0, phase
    m.ended = m.pushed = False
    m.worst = {}
    if phase == "during":
        m.explicit = {}


def print_begins(m: Machine) -> None:
    """What must hold when the start code is through."""
    assess_literals(m)
    for name in heaters(m):
        # A tool that waits aside is waited for when its turn comes.
        aside = name.startswith("nozzle") and m.state["tool"] != UNKNOWN and name != heater_name("nozzle", m.tool)
        unwaited(m, name, "the print begins", aside)
    hobby = m.names != "numeric-control"
    if hobby:
        _unheated(m)
    lost = [axis.upper() for axis in AXES if m.state[f"homed.{axis}"] is False]
    fresh = [axis for axis in lost if axis.lower() not in m.homeless]
    if fresh:
        m.see(
            "unhomed-move",
            f"the print begins before {' '.join(fresh)} {'was' if len(fresh) == 1 else 'were'} homed",
            subject="print",
        )
    _modes(m, "the print begins with")
    if hobby:
        _filament(m)
        none_laid(m)
        _zero(m)
    _fan_at_print(m)
    factors_at_print(m)
    _commented(m)


def _zero(m: Machine) -> None:
    """A zero point in plan that is known to lie elsewhere: the whole print moves with it."""
    moved = [(axis.upper(), off) for axis in "xy" if abs(off := m.number(f"shift.{axis}")) > MOVED]
    if moved:
        m.see(
            "zero-moved",
            "the print begins with the zero point moved by "
            + " ".join(f"{axis}{shown(off)}" for axis, off in moved)
            + " mm (G92), and all of it lands there",
            severity="" if max(abs(off) for _, off in moved) > NUDGE else "differs",
        )


def _fan_at_print(m: Machine) -> None:
    """The part fan as the start code leaves it, against what the first layer is to have."""
    ident = "fan.off_layers" if m.fact("fan.off_layers") > 0 else "fan.first_layer"
    asked = 0.0 if ident == "fan.off_layers" else m.fact(ident)
    blows = m.number("fan")
    if blows > asked + FAN_SLACK:
        m.see(
            "fan-conflict",
            f"the print begins with the part fan at {shown(round(blows))} %, where {ident} asks for {shown(asked)} % "
            "on the first layer; true only if the program that writes the print does not switch it itself",
            value=blows,
            limit=asked,
            unit="%",
            sure=False,
        )


def _fan_during(m: Machine, before: dict[str, object]) -> None:
    """The part fan as code leaves it that runs during the print, against the most that the settings have."""
    most = max((share for name in FANS if not isnan(share := m.fact(name))), default=nan)
    blows = m.number("fan")
    if blows != before["fan"] and blows > most + FAN_SLACK:
        m.see(
            "fan-conflict",
            f"leaves the part fan at {shown(round(blows))} %, where the settings have {shown(most)} % at most",
            value=blows,
            limit=most,
            unit="%",
            severity="spoils" if blows > most + FAN_MUCH else "",
        )


def _unheated(m: Machine) -> None:
    for kind, first, later in (
        ("nozzle", "heat.nozzle_first", "heat.nozzle"), ("bed", "heat.bed_first", "heat.bed"),
        ("chamber", "heat.chamber", "heat.chamber"),
    ):  # fmt: skip
        name = heater_name(kind, m.tool)
        asked = m.fact(first, m.tool)
        asked = m.fact(later, m.tool) if isnan(asked) else asked
        target = m.number(f"{name}.target") if f"{name}.target" in m.state else 0.0
        if isnan(target) or target > 0 or m.state["tool"] == UNKNOWN or missing(m, name):
            continue
        if asked > 0 or (kind == "nozzle" and isnan(asked)):
            stated = f", where the settings ask for {shown(asked)} Cel" if asked > 0 else ""
            m.see(
                "unheated",
                f"the print begins and no code has set the {name}{stated}; true only if the program that writes the "
                "print adds no heating of its own",
                subject=name,
                value=0.0,
                limit=None if isnan(asked) else asked,
                unit="Cel",
                severity="note" if kind == "chamber" else "",
                sure=False,
            )


def _modes(m: Machine, does: str) -> None:
    if m.state["distance"] == "relative":
        m.see(
            "relative-left",
            f"{does} relative positions (G91 without G90)",
            severity="note" if m.phase == "after" else "",
        )
    if m.state["units"] == "inch":
        m.see("units-left", f"{does} inches as the unit of length (G20 without G21)")


def _filament(m: Machine) -> None:
    """Filament mode against the settings, and the filament position where positions are absolute."""
    stated, mode = m.facts.get("code.relative_feed"), m.state["extrusion"]
    if isinstance(stated, bool) and mode != UNKNOWN and (mode == "relative") != stated:
        wanted = "relative (M83)" if stated else "absolute (M82)"
        said = "extrusion" in m.explicit
        how = (
            f"the code leaves filament positions {mode}"
            if said
            else f"no code says so, and {mode} is usual at power-on"
        )
        m.see(
            "feed-mode-mismatch",
            f"the print's filament positions are {wanted}, but {how}: metres of filament or none",
            sure=said,
        )
    absolute = not stated if isinstance(stated, bool) else mode == "absolute"
    e = m.number("e")
    if absolute and e != 0 and not isnan(e):
        m.see(
            "no-feed-reset",
            f"the print begins at filament position {shown(e)} mm; without G92 E0 it may start with a jump",
            value=e,
            limit=0.0,
            unit="mm",
        )


def _commented(m: Machine) -> None:
    """Heater commands that stand only in comments."""
    for name, (section, line, column, text) in m.mentioned.items():
        target = m.state.get(f"{name}.target", 0.0)
        waits = text.upper().startswith(("M109", "M190", "M191"))
        missing = m.phase != "after" and (
            target == 0.0 or (waits and m.number(f"{name}.target") > m.number(f"{name}.reached"))
        )
        if missing or (m.phase == "after" and m.number(f"{name}.target") > 0):
            kept, m.section = m.section, section
            m.see("heat-in-comment", f"'{text}' is a comment and does nothing", column, subject=name, line=line)
            m.section = kept
    m.mentioned.clear()


def print_runs(m: Machine, started: bool) -> None:
    """The print itself, as far as it is known: hot, homed, somewhere inside the build volume."""
    for name in ("x", "y", "z", "e", "feed"):
        m.set(name, nan)
    for axis in AXES:
        m.set(f"homed.{axis}", True)
    m.set("units", "mm")
    m.set("distance", "absolute")
    stated = m.facts.get("code.relative_feed")
    if isinstance(stated, bool):
        m.set("extrusion", "relative" if stated else "absolute")
    elif not started:
        m.set("extrusion", UNKNOWN)
    m.set("motors", "on")
    m.set("fan", 0.0 if m.fact("fan.max") == 0 else nan)
    for kind, ident in (("nozzle", "heat.nozzle"), ("bed", "heat.bed"), ("chamber", "heat.chamber")):
        name = heater_name(kind, m.tool)
        target = m.fact(ident, m.tool)
        if isnan(target) and (kind != "nozzle" or (started and f"{name}.target" in m.state)):
            continue
        if (target == 0 and f"{name}.target" not in m.state) or missing(m, name):
            continue
        m.set(f"{name}.target", target)
        m.set(f"{name}.reached", target)
    if m.fact("tool.count") > 1:
        _wait_aside(m)
        m.set("tool", UNKNOWN)
    m.explicit, m.literals, m.worst = {}, {}, {}


def _wait_aside(m: Machine) -> None:
    """Tools that have a temperature to wait at have heaters of their own, and the print has used them."""
    for tool in range(min(int(m.fact("tool.count")), TOOLS)):
        name, target = heater_name("nozzle", tool), m.fact("heat.nozzle_standby", tool)
        if target > 0 and f"{name}.target" not in m.state:
            m.set(f"{name}.target", target)
            m.set(f"{name}.reached", target)


def hook_ends(m: Machine, before: dict[str, object], doubtful: bool) -> None:
    """The end of code that runs during the print: modes must be as they were; whether it ran is not known."""
    assess_literals(m)
    m.mentioned.clear()
    for mode, code in (("distance", "relative-left"), ("units", "units-left"), ("extrusion", "feed-mode-mismatch")):
        now, then = m.state[mode], before[mode]
        if now != then and UNKNOWN not in (now, then):
            m.see(code, f"leaves {mode} at {now}, where the print has {then}")
    if not m.section.endswith("tool_change"):  # a tool that was put aside is heated again when its turn comes
        _left_cold(m, before)
    _fan_during(m, before)
    m.state = joined(before, m.state)
    for name in ("x", "y", "z", "e", "feed"):
        m.state[name] = nan
    m.state["motion"] = "none"
    m.explicit = {}
    m.doubtful = doubtful


def _left_cold(m: Machine, before: dict[str, object]) -> None:
    for name in heaters(m):
        had = before.get(f"{name}.target", 0.0)
        if isinstance(had, float) and had > 0 and m.state[f"{name}.target"] == 0:
            m.see(
                "left-cold",
                f"leaves the {name} heater off though the print goes on; true only if the controller does not heat it "
                "again by itself",
                value=0.0,
                limit=had,
                unit="Cel",
                subject=name,
                sure=False,
            )


def finish(m: Machine) -> None:
    """The end of the last section: what is left on."""
    if m.phase in ("after", "whole"):
        if m.phase == "whole":
            assess_literals(m)
        _commented(m)
        _left_hot(m)
        fan = m.number("fan")
        if fan > 0 or isnan(fan):
            m.see(
                "fan-left-on",
                "leaves the part fan " + ("on" if fan > 0 else "as the print had it"),
                sure=not isnan(fan),
            )
        if m.state["motors"] == "on":
            m.see("motors-left-on", "leaves the motors under current")
        _modes(m, "the code ends with")
    for of in ("speed", "flow"):
        value = m.number(f"factor.{of}")
        if value != 100 and not isnan(value):
            m.see(
                "factor-left",
                f"leaves the {of} factor at {shown(value)} % for the next print",
                value=value,
                limit=100.0,
                unit="%",
                subject=of,
            )


def _left_hot(m: Machine) -> None:
    able = any(command.effect in ("heat", "heat-wait") for command in m.commands.values())
    for name in heaters(m):
        target = m.number(f"{name}.target")
        if missing(m, name):
            continue
        if not able and target != 0:
            m.see(
                "left-hot",
                f"cannot switch the {name} heater off, for the command set has no word for it: a person must",
                subject=name,
                sure=False,
                severity="note",
            )
        elif target > 0:
            m.see(
                "left-hot",
                f"leaves the {name} heater on at {shown(target)} Cel",
                value=target,
                limit=0.0,
                unit="Cel",
                subject=name,
            )
        elif isnan(target):
            why = "hidden code may have switched it either way" if m.doubtful else "no code says that it is off"
            m.see(
                "left-hot",
                f"may leave the {name} heater on: {why}",
                subject=name,
                sure=False,
                severity="note" if m.doubtful else "",
            )
