"""Runs command code through the state machine: `interpret(code, context) -> Run`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields

from convert.program import phases
from convert.program.lines import LINE_ENDS, run_line
from convert.program.machine import Machine
from convert.program.observations import Observation, at_least
from convert.program.plain import plain_lines, plain_step
from convert.program.records import Context, Step

Code = Mapping[str, str] | Iterable[tuple[str, str]]


class Run:
    """What came of it: `observations` in the order of running; `first` is the first of them that spoils or worse."""

    __slots__ = ("_log", "_steps", "context", "first", "observations", "sections", "state")

    def __init__(self, machine: Machine, log: list[tuple[str, list[object]]]) -> None:
        self.context: Context = machine.context
        self.observations: tuple[Observation, ...] = tuple(machine.found.values())
        self.first: Observation | None = next((o for o in self.observations if at_least(o.severity, "spoils")), None)
        self.sections: tuple[str, ...] = tuple(name for name, _ in log if name != phases.PRINT)
        self.state: Mapping[str, object] = machine.state
        self._log = log
        self._steps: list[Step] | None = None

    @property
    def steps(self) -> list[Step]:
        """All steps; made on first use."""
        if self._steps is None:
            self._steps = [
                entry if isinstance(entry, Step) else plain_step(section, entry)  # type: ignore[arg-type]
                for section, entries in self._log
                for entry in entries
            ]
        return self._steps


def interpret(code: Code, context: Context | Mapping[str, object] | None = None) -> Run:
    """Runs code, given as section name -> text (put in the order of running) or as a list of (name, text) in order.

    Names as in the settings (`code.start`, `code.end` ..., the prefix may be missing) say when the code runs; code
    under any other name is taken as a whole program. A plain mapping as context gives the settings' values (see
    `Context.values`), or the fields of a Context by name. Never raises on any text.

    >>> run = interpret({"code.start": "G28\\nG1 X10 E5 F600"}, {"code.commands": "word-basic"})
    >>> run.first.code, run.first.line
    ('cold-push', 2)
    """
    m = Machine(_context(context))
    sections = list(code.items()) if isinstance(code, Mapping) else list(code)
    if isinstance(code, Mapping):
        sections.sort(key=lambda item: phases.rank(item[0]))
    log: list[tuple[str, list[object]]] = []
    started = running = False
    pending = False  # start code has run, the print has not begun
    for name, text in sections:
        if not isinstance(text, str):
            continue
        phase = phases.phase_of(name)
        if phase in ("during", "after") and not running:
            if pending:
                phases.print_begins(m)
            running, pending = True, False
            _print_runs(m, log, started)
        phases.begin(m, name)
        if phase == "before":
            started = pending = True
        before, doubtful = dict(m.state), m.doubtful
        entries: list[object] = []
        log.append((name, entries))
        _section(m, text, entries)
        if entries:  # what is remarked on at the end belongs to the last line that did something
            last = entries[-1]
            m.line = last.line if isinstance(last, Step) else last[0]  # type: ignore[index]
        if phase == "during":
            phases.hook_ends(m, before, doubtful)
    if pending and not running:
        phases.print_begins(m)
    if log:
        phases.finish(m)
    return Run(m, log)


def _context(context: Context | Mapping[str, object] | None) -> Context:
    if isinstance(context, Context):
        return context
    if context and set(context) <= {field.name for field in fields(Context)}:
        return Context(**context)  # type: ignore[arg-type]
    return Context(context or {})


def _print_runs(m: Machine, log: list[tuple[str, list[object]]], started: bool) -> None:
    m.changes = []
    phases.print_runs(m, started)
    log.append((phases.PRINT, [Step(phases.PRINT, 0, "", "the print runs", tuple(m.changes))]))


def _section(m: Machine, text: str, log: list[object]) -> None:
    lines = LINE_ENDS.split(text)
    at, end = 0, len(lines)
    while at < end:
        at = plain_lines(m, lines, at, log)
        if at < end:
            m.line = at + 1
            run_line(m, lines[at], log)
            at += 1
