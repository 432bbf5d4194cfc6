"""Reads the blind set: sound setups as flat maps, changes applied to them, and what audit finds in either."""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from convert import api
from convert.dialects.inherit import Family, resolve
from convert.rules.finding import RANK, Finding
from convert.text.source import Source

HERE = Path(__file__).parent

Phrases = dict[str, object]
"""Setting ids (and the two keys of the sheet's head) with what stands behind them."""


@dataclass(frozen=True)
class Case:
    """One change to a sound setup, and what its writer expected of an audit."""

    number: str
    base: str
    change: str
    concerned: tuple[str, ...]
    severity: str
    says: str


@cache
def rows(name: str) -> list[dict[str, str]]:
    """A tab-separated file beside this module."""
    with open(HERE / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, delimiter="\t", quoting=csv.QUOTE_NONE))


@cache
def bases() -> dict[str, Phrases]:
    """The sound setups by name."""
    sheets = sorted((HERE / "bases").glob("*.toml"))
    return {path.stem: _flat(tomllib.loads(path.read_text("utf-8"))) for path in sheets}


def cases() -> list[Case]:
    """All changes of `faults.tsv`, in its order."""
    return [
        Case(number, base, change, tuple(concerned.split()), severity, says)
        for number, base, change, concerned, severity, says in (row.values() for row in rows("faults.tsv"))
    ]


def changed(base: Phrases, change: str) -> Phrases:
    """The setup with a change of `faults.tsv` applied. Raises ValueError where a line to replace is not there."""
    found = dict(base)
    for one in change.split(" && "):
        place, rest = one.split(" ", 1)
        if place.endswith(":"):
            old, _, new = (rest + " ").partition(" -> ")
            found[place[:-1]] = _replace(str(found[place[:-1]]), _lines(old), _lines(new.strip()))
        else:
            found[place] = _value(_lines(rest.removeprefix("= ")))
    return found


def findings(phrases: Phrases) -> list[Finding]:
    """What audit says about a setup, consequences counted as findings of their own."""
    text = "".join(f"{key} = {_toml(value)}\n" for key, value in phrases.items())
    session = api.Session()
    file = session.file(Source.from_bytes(text.encode(), "blind.toml"))
    family = Family()
    family.add(file)  # type: ignore[arg-type]
    resolve(family)
    inputs = api.Inputs(family, list(file.readings))  # type: ignore[union-attr]
    if inputs.errors:
        raise inputs.errors[0]
    result = session.audit(inputs)
    return [one for judged in result.findings for one in (judged.finding, *judged.finding.consequences)]


def grave(found: list[Finding]) -> list[Finding]:
    """Those above `note`."""
    return [one for one in found if RANK[one.severity] > RANK["note"]]


def fresh(found: list[Finding], before: list[Finding]) -> list[Finding]:
    """Findings that the sound setup did not have, or had milder."""
    was = {(one.rule, one.settings): RANK[one.severity] for one in before}
    return [one for one in found if RANK[one.severity] > was.get((one.rule, one.settings), -1)]


def _flat(table: dict[str, object], prefix: str = "") -> Phrases:
    found: Phrases = {}
    for key, value in table.items():
        found.update(_flat(value, f"{prefix}{key}.") if isinstance(value, dict) else {prefix + key: value})
    return found


def _lines(text: str) -> str:
    return text.replace("\\n", "\n")


def _replace(code: str, old: str, new: str) -> str:
    """`old` stands for whole lines; the first place is meant."""
    text, wanted = f"\n{code}\n", f"\n{old}\n"
    if wanted not in text:
        raise ValueError(f"{old!r} is no line of the code")
    return text.replace(wanted, f"\n{new}\n" if new else "\n", 1)[1:-1]


def _value(text: str) -> object:
    if text in ("true", "false"):
        return text == "true"
    return int(text) if text.isdigit() else text


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int):
        return str(value)
    escaped = str(value).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
