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
from convert.rules.setup import Missing, Setup, once

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
"""Signal word and precaution of the remarks that are about a person's safety; each is told for itself."""

LOOKS_AT = {
    "left-hot": "code.end",
    "fan-left-on": "code.end",
    "motors-left-on": "code.end",
    "unheated": "code.start",
    "unwaited-heat": "code.start",
    "no-prime": "code.start",
}
"""Remarks that tell nothing by their absence where the code that they are about is not stated."""

SHOWN = 5
"""Places that a finding names beside its own."""

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
    says = _degrees(seen.says[:1].upper() + seen.says[1:])
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


def _beyond(seen: list[Observation]) -> float:
    """How far the worst of several remarks is beyond its limit, in its own unit; 0 where there are no numbers."""
    return max(_apart(one) for one in seen)


def _apart(one: Observation) -> float:
    """How far one remark is beyond its limit; of lifts, which may stay within it, the higher is the worse."""
    if not isinstance(one.value, (int, float)) or not isinstance(one.limit, (int, float)):
        return 0.0
    return float(one.value) if one.code == "blind-lift" else abs(float(one.value) - float(one.limit))


def _together(seen: list[Observation]) -> Finding:
    """One habit, several places: the worst is told, then where the same holds, then what else does."""
    worst = max(seen, key=_apart)
    finding = _finding(worst)
    same = [one for one in seen if one is not worst and one.says == worst.says]
    others = [one for one in seen if one.says != worst.says]
    said = [finding.says]
    if same:
        more = f" and {len(same) - SHOWN} more" if len(same) > SHOWN else ""
        said.append(f"The same at {', '.join(_place(one) for one in same[:SHOWN])}{more}.")
    if others:
        more = f"; and {len(others) - SHOWN} more" if len(others) > SHOWN else ""
        told = "; ".join(f"{_place(one)}: {_degrees(one.says)}" for one in others[:SHOWN])
        said.append(f"Also {told}{more}.")
    return replace(finding, says=" ".join(said))


def _place(one: Observation) -> str:
    return f"{one.section} line {one.line}"


def _degrees(says: str) -> str:
    return says.replace(" Cel", " °C")


def _rule(code: str, severity: str, question: str) -> Rule:
    def check(setup: Setup) -> Iterator[Finding]:
        run = run_of(setup)
        if run is None:
            raise Missing("code.start and code.end")
        groups: dict[tuple[str, str], list[Observation]] = {}
        for one in run.observations:
            if one.code == code:
                groups.setdefault((one.severity, one.subject if code in PRECAUTIONS else ""), []).append(one)
        if not groups and (needed := LOOKS_AT.get(code)) and not isinstance(setup.value(needed), str):
            raise Missing(needed)
        for seen in sorted(groups.values(), key=_beyond, reverse=True):
            yield _together(seen)

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
