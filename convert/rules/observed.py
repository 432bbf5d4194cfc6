"""Rules on command code: one for each thing that the interpreter may remark on, made from its table of codes.

The code of a setup is run once, with the setup's values in its placeholders. Each rule's examples are those of the
interpreter's own tests.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from convert.errors import InputError
from convert.model.resolve import resolve
from convert.model.setting import SETTINGS
from convert.model.value import State, Value
from convert.program import CODES, Context, Observation, Run, interpret
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup, once

SECTIONS = tuple(
    f"code.{name}"
    for name in (
        "start",
        "feedstock_start",
        "layer_opening",
        "layer_closing",
        "path_kind",
        "tool_change",
        "pause",
        "next_part",
        "feedstock_end",
        "end",
    )
)
"""Settings that hold command code."""

PRECAUTIONS = {
    "left-hot": (
        "WARNING",
        "Switch every heater off in the end code, and do not leave the machine alone until it is cold.",
    ),
    "too-hot": ("WARNING", "Lower the temperature; overheated parts can give off fumes or catch fire."),
    "fault-guard-changed": ("WARNING", "Leave the detection of heater faults as the machine's maker set it."),
}
"""Signal word and precaution of the remarks that are about a person's safety."""

SOURCE = "the code, interpreted (RS-274 words: NISTIR 6556; heater and fan words: common practice)"


def plain(value: Value) -> object:
    """A value as the interpreter takes it: numbers, flags, texts and lists of them."""
    if isinstance(value, Fraction):
        return float(value)
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    if isinstance(value, State):
        return None
    return value


def context(setup: Setup) -> Context:
    """What the code runs with."""
    values: dict[str, object] = {}
    for name in setup.values:
        try:
            found = resolve(setup.values, name)
        except InputError:
            continue
        if found is not None and (made := plain(found)) is not None:
            values[name] = made
    return Context(values=values, known=SETTINGS.rows())


@once
def run_of(setup: Setup) -> Run | None:
    """The run of the setup's code, made once; None where it has none."""
    code = [(name, text) for name in SECTIONS if isinstance(text := setup.value(name), str)]
    return interpret(dict(code), context(setup)) if code else None


def _finding(seen: Observation) -> Finding:
    signal, precaution = PRECAUTIONS.get(seen.code, ("", ""))
    severity = seen.severity
    if severity == "hurts" and not signal:
        severity = "fails"
    harmful = severity == "hurts"
    numbers = isinstance(seen.value, (int, float)) and isinstance(seen.limit, (int, float))
    value = float(seen.value) if numbers and seen.value is not None else None
    limit = float(seen.limit) if numbers and seen.limit is not None else None
    margin = None
    if value is not None and limit is not None:
        # What is remarked on is beyond its limit, be that an upper or a lower one; a lift may still be within it.
        within = seen.code == "blind-lift"
        margin = (limit - value if within else -abs(limit - value)) / (abs(limit) or 1.0)
    if margin is not None and margin >= 0:
        value = limit = margin = None  # the numbers are a hint of the interpreter, not a limit that is passed
    says = (seen.says[:1].upper() + seen.says[1:]).replace(" Cel", " °C")
    settings = [seen.section] if seen.section in SETTINGS else []
    return Finding(
        rule=seen.code,
        severity=severity,
        settings=tuple(settings or ["code.start"]),
        says=says + ("" if says.endswith((".", "?")) else "."),
        value=value,
        limit=limit,
        unit=seen.unit,
        margin=margin,
        source=SOURCE,
        signal=signal if harmful else None,
        precaution=precaution if harmful else "",
        where=f"{seen.section}, line {seen.line}, column {seen.column}",
    )


def _rule(code: str, severity: str, question: str) -> Rule:
    def check(setup: Setup) -> Iterator[Finding]:
        run = run_of(setup)
        seen = [one for one in run.observations if one.code == code] if run is not None else []
        for grave in dict.fromkeys(one.severity for one in seen):
            alike = [one for one in seen if one.severity == grave]
            finding = _finding(alike[0])
            if len(alike) > 1:  # one habit, several places
                places = ", ".join(f"{one.section} line {one.line}" for one in alike[1:6])
                more = f" and {len(alike) - 6} more" if len(alike) > 6 else ""
                finding = replace(finding, says=f"{finding.says} The same at {places}{more}.")
            yield finding

    return Rule(
        code=code,
        question=f"{question[:1].upper()}{question[1:]}?",
        needs=("code.*",),
        source=SOURCE,
        check=check,
        good={},
        bad={},
        severity=severity,
    )


RULES = tuple(_rule(code, severity, question) for code, (severity, question) in CODES.items())
