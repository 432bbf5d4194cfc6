"""What a run comes to: a table of its steps, the state it ends in, and a signature that reformatting leaves alone."""

from __future__ import annotations

from convert.program.interpreter import Run
from convert.program.machine import shown
from convert.program.phases import PRINT


def state_table(run: Run) -> list[dict[str, object]]:
    """One row a step: section, line, text, says, changes, observations (codes), and `first` at the first violation.

    >>> from convert.program.interpreter import interpret
    >>> rows = state_table(interpret([("program", "G21\\nG90\\nG1 X5")]))
    >>> rows[-1]["says"], rows[-1]["observations"][0], rows[-1]["first"]
    ('moves to X5', 'unhomed-move', True)
    """
    remarks: dict[tuple[str, int], list[str]] = {}
    for seen in run.observations:
        remarks.setdefault((seen.section, seen.line), []).append(seen.code)
    first = (run.first.section, run.first.line) if run.first else None
    rows: list[dict[str, object]] = []
    for step in run.steps:
        place = (step.section, step.line)
        rows.append(
            {
                "section": step.section,
                "line": step.line,
                "text": step.text,
                "says": step.says,
                "changes": "; ".join(f"{name}: {before} -> {after}" for name, before, after in step.changes),
                "observations": tuple(remarks.get(place, ())),
                "first": place == first,
            }
        )
    return rows


def final_state(run: Run) -> dict[str, object]:
    """The state at the end; what is not known is "unknown"."""
    return {name: shown(value) for name, value in sorted(run.state.items())}


def signature(run: Run) -> tuple[tuple[str, tuple[object, ...]], ...]:
    """Per section, what its lines make the machine do, canonically: equal for code that differs only in case, blanks,
    comments, line numbers, spelling of numbers, line ends and the order of words in a line. Placeholders count by name,
    not by value.

    >>> from convert.program.interpreter import interpret
    >>> one = interpret({"code.start": "G1 X5 Y{envelope.y} ; aside"}, {"envelope.y": 200})
    >>> two = interpret({"code.start": "N1 g01 y{envelope.y}  x+5.000"}, {"envelope.y": 100})
    >>> signature(one) == signature(two)
    True
    """
    found: dict[str, list[object]] = {}
    for step in run.steps:
        if step.section != PRINT and step.effect:
            found.setdefault(step.section, []).append(step.effect)
    return tuple((section, tuple(effects)) for section, effects in found.items())
