"""The state of the machine while code is interpreted, and what is remarked on the way.

State is a flat mapping of names to values; a number that is not known is NaN, anything else not known is "unknown". NaN
carries uncertainty through sums, and every comparison with it is false, so nothing is claimed about what is not known.

    x y z e feed        logical position in mm, mm of filament, mm/min as mm/s
    shift.x ..          machine position minus logical position
    homed.x ..          True, False, "unknown"
    units distance extrusion plane motion feed-mode
    tool                number from 0
    nozzle.target .reached, bed.., chamber..     Cel; more nozzles are "nozzle T1" and so on
    fan, fan P1 ..      percent
    motors              "on", "off"
    limit.* factor.* lead cold-guard map power
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from math import inf, isnan, nan

from convert.program.braces import expand, placeholders
from convert.program.commands import SEVERAL_A_LINE, Command, command, tables
from convert.program.geometry import Area, area
from convert.program.observations import CODES, Observation
from convert.program.records import Argument, Context
from convert.program.words import Word, decimal

UNKNOWN = "unknown"
AXES = ("x", "y", "z")
# What stands between braces; a run of braces is looked at once.
BRACES = re.compile(r"(?<!\{)\{++([^{}();\n]*+)\}++")
POWER_ON: dict[str, object] = {
    "x": nan, "y": nan, "z": nan, "e": 0.0, "feed": nan,
    "shift.x": 0.0, "shift.y": 0.0, "shift.z": 0.0,
    "homed.x": False, "homed.y": False, "homed.z": False,
    "units": "mm", "distance": "absolute", "extrusion": "absolute", "plane": "xy", "motion": "none",
    "tool": 0, "fan": 0.0, "motors": "off",
}  # fmt: skip
# With this, common practice, filament below this temperature is not pushed unless the guard is off.
GUARD = 170.0  # Cel
TOOLS = 64  # tool numbers run below this, as tool.count does
# A path is no longer checked against outlines once so many edges were looked at: long code times intricate outlines.
EDGES = 5_000_000
# Characters that placeholders for whole texts may add to the code altogether; more would let small files grow large.
EXPANSION = 200_000


class Machine:
    """State, facts and remarks; private to this package."""

    __slots__ = (
        "area", "changes", "clock", "commands", "context", "doubtful", "edges", "ended", "expansion",
        "explicit", "facts", "fed", "found", "homeless", "known", "lifted", "line", "literals", "mentioned", "names",
        "near", "phase", "primed", "pushed", "section", "several", "state", "worst",
    )  # fmt: skip

    def __init__(self, context: Context) -> None:
        values = context.values
        self.context = context
        self.facts = values
        self.known = frozenset(values) if context.known is None else frozenset(context.known)
        names = values.get("code.commands")
        self.names = names if isinstance(names, str) and names in tables() else "other"
        self.commands: dict[str, Command] = dict(tables()[self.names])
        for name, row in context.macros.items():
            effect, _, parameters = row.partition(" ")
            self.commands[name.upper()] = command(name.upper(), effect, parameters, source="this machine")
        self.several = self.names in SEVERAL_A_LINE
        self.area: Area = area(values)
        self.edges = EDGES
        self.expansion = EXPANSION
        self.state: dict[str, object] = {**POWER_ON, **context.initial}
        if self.names == "numeric-control" and "homed.x" not in context.initial:
            # The language has no homing; the machine was referenced before the program runs.
            self.state.update({f"homed.{axis}": True for axis in AXES})
        self.changes: list[tuple[str, object, object]] = []
        self.found: dict[tuple[str, str, str], Observation] = {}
        self.homeless: set[str] = set()  # axes whose moves before homing were remarked on
        self.section, self.line, self.phase = "", 0, "whole"
        self.clock = 0  # commands run so far
        self.doubtful = False  # something before may have changed what is taken as unchanged
        self.ended = self.lifted = False
        self.pushed = False  # filament was pushed in this section
        self.fed = False  # filament was pushed in this section or before
        self.primed = 0  # lines of filament laid by start code so far
        self.explicit: dict[str, tuple[int, str]] = {}  # mode -> (counter, value) as last said by the code
        self.literals: dict[str, tuple[float, int, int]] = {}  # heater -> number as written, line, column
        self.mentioned: dict[str, tuple[str, int, int, str]] = {}  # heater command in a comment -> place, text
        self.near: dict[str, str | None] = {}  # text in braces -> known id that it resembles
        self.worst: dict[str, float] = {}  # bound -> farthest value already remarked on in this section

    # ---- state

    def set(self, name: str, value: object) -> None:
        """Sets one state and records the change."""
        before = self.state.get(name)
        if before != value and not (_unknown(before) and _unknown(value)):
            self.changes.append((name, shown(before), shown(value)))
        self.state[name] = value

    def number(self, name: str) -> float:
        """A state as a number; NaN if it is not known."""
        value = self.state.get(name)
        return float(value) if isinstance(value, int | float) else nan

    def fact(self, ident: str, tool: int = 0) -> float:
        """A setting as a number; NaN if it is not stated. A list gives the tool's own."""
        value = self.facts.get(ident)
        if isinstance(value, list | tuple) and value:
            value = value[min(max(tool, 0), len(value) - 1)]
        if value is None or isinstance(value, str | list | tuple):
            return nan
        try:
            return float(value)  # type: ignore[arg-type]
        except (TypeError, ValueError, OverflowError):
            return nan

    @property
    def tool(self) -> int:
        """The active tool, the first one where it is not known."""
        tool = self.state["tool"]
        return tool if isinstance(tool, int) else 0

    @property
    def scale(self) -> float:
        """Millimetres per unit of length; NaN if the unit is not known."""
        return {"mm": 1.0, "inch": 25.4}.get(str(self.state["units"]), nan)

    # ---- remarks

    def see(
        self, code: str, says: str, column: int = 1, value: float | str | None = None, limit: float | str | None = None,
        unit: str = "", subject: str = "", severity: str = "", sure: bool = True, line: int | None = None,
    ) -> None:  # fmt: skip
        """Remarks once per section, code and subject; a worse one takes the place of the first, words and all."""
        key = (self.section, code, subject)
        old = self.found.get(key)
        if old is None:
            self.found[key] = Observation(
                code,
                severity or CODES[code][0],
                self.section,
                self.line if line is None else line,
                column,
                says,
                value,
                limit,
                unit,
                subject,
                sure and not self.doubtful,
            )
        elif _worse(value, old.value, limit):
            there = self.line if line is None else line
            graver = severity or old.severity
            self.found[key] = replace(old, line=there, column=column, says=says, value=value, severity=graver)

    # ---- words

    def argument(self, word: Word, tool: int) -> Argument:
        """The value of a word with the settings in its placeholders."""
        text, column = word.text, word.start + 1
        if word.value is not None:
            inner = text.strip(" \t")
            if (" " in inner or "\t" in inner) and self.names != "numeric-control":
                self.see(
                    "split-number",
                    f"'{clip(text)}' has a blank inside: RS-274 reads one number, many controllers stop at the blank",
                    column,
                    subject=clip(text),
                )
                return Argument(nan, text, (), column)
            return Argument(word.value, text, (), column)
        if not text:
            return Argument(nan, text, (), column, flag=True)
        if "{" in text:
            return self._placed(text, column, word.end - len(text) + 1, tool)
        if text[0] in "[#" or text[1:2] in ("[", "#"):
            self.see("not-evaluated", f"'{clip(text)}' is not calculated here; its value is unknown", column)
        return Argument(nan, text, (), column)

    def _placed(self, text: str, column: int, inner: int, tool: int) -> Argument:
        ids = tuple(ident for _, ident in placeholders(text, self.known))
        for ident in ids:
            if self.facts.get(ident) is None:
                self.see(
                    "missing-value",
                    f"{{{ident}}} has no value here, so what the line does is unknown",
                    column,
                    subject=ident,
                )
        full = expand(text, self.facts, self.known, tool)
        value = decimal(full)
        if value is None and all(self.facts.get(ident) is not None for ident in ids):
            self.strange(text, inner)
        return Argument(nan if value is None else value, text, ids, column)

    def strange(self, text: str, column: int, certain: bool = True) -> None:
        """Remarks on braces that are no placeholder: a mistyped id is named; others only if they spoil a value."""
        for run in BRACES.finditer(text):
            ident = run[1]
            if ident in self.known and not run[0].startswith("{{"):
                continue
            near = self._nearest(ident)
            if near:
                says = f"{{{clip(ident)}}} is no known setting; was {{{near}}} meant?"
            elif certain:
                says = f"'{clip(run[0])}' is no placeholder of a known setting and reaches the machine as it is"
            else:
                continue
            self.see("unknown-placeholder", says, column + run.start(), value=ident, limit=near, subject=clip(ident))
            return
        if certain and "{" in text:
            self.see("unknown-placeholder", f"'{clip(text)}' does not come out as a number", column, subject=clip(text))

    def _nearest(self, ident: str) -> str | None:
        """The known id that a text resembles most, or None; tried for a bounded number of texts."""
        if ident in self.known:
            return None
        if ident not in self.near:
            if len(ident) > 60 or len(self.near) >= 200:
                return None
            from difflib import get_close_matches

            self.near[ident] = next(iter(get_close_matches(ident.lower(), sorted(self.known), 1, 0.75)), None)
        return self.near[ident]


def heater_name(kind: str, tool: int) -> str:
    """The state name of a heater; the first nozzle is plainly "nozzle"."""
    return f"{kind} T{tool}" if kind == "nozzle" and tool > 0 else kind


def clip(text: str, length: int = 60) -> str:
    """Text short enough to be quoted in a sentence, control characters made visible."""
    short = text if len(text) <= length else text[: length - 3] + "..."
    return short if short.isprintable() else ascii(short)[1:-1]


def shown(value: object) -> object:
    """A state as a step shows it.

    >>> shown(nan), shown(12.0), shown(0.1 + 0.2), shown(None)
    ('unknown', 12, 0.3, 'unset')
    """
    if value is None:
        return "unset"
    if isinstance(value, float):
        if isnan(value):
            return UNKNOWN
        rounded = round(value, 6)
        return int(rounded) if abs(rounded) < 1e15 and rounded == int(rounded) else rounded
    return value


def joined(before: Mapping[str, object], after: Mapping[str, object]) -> dict[str, object]:
    """The state where code may or may not have run: what differs is unknown."""
    state: dict[str, object] = {}
    for name in {**before, **after}:
        one, two = before.get(name), after.get(name)
        if one == two or (_unknown(one) and _unknown(two)):
            state[name] = one
        elif isinstance(one, bool) or isinstance(two, bool) or isinstance(one, str) or isinstance(two, str):
            state[name] = UNKNOWN
        else:
            state[name] = nan if name != "tool" else UNKNOWN
    return state


def _unknown(value: object) -> bool:
    return value == UNKNOWN or (isinstance(value, float) and isnan(value))


def _worse(value: object, old: object, limit: object) -> bool:
    """Whether a value lies farther beyond a limit than the old one."""
    if not (isinstance(value, float) and isinstance(old, float) and isinstance(limit, float)) or abs(limit) == inf:
        return False
    return abs(value - limit) > abs(old - limit)
