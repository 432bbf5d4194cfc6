"""What each rule reads, found by running it: makes schemas/rules.reads.tsv.

    python -m tests.changes.reads

A rule is run over its own examples, the workshop's setups and the sound setups, and again with each flag and choice
that it reads turned to another value, so that it shows what it reads behind them. What it says it needs is added.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from fnmatch import fnmatchcase
from functools import cache

from convert.api import Session, judged
from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.physics import OutOfRange
from convert.rules import bundle
from convert.rules.rule import Rule
from convert.rules.rulesets import group_of, rules
from convert.rules.setup import Missing, Setup
from tests.rules import sound_setups
from tests.zoo import ROOT, WORKSHOP

FILE = os.path.join(ROOT, "schemas", "rules.reads.tsv")


class Watched(dict):  # type: ignore[type-arg]
    """Settings that remember what was looked up; a walk through all of them is remembered as "*"."""

    def __init__(self, values: Mapping[str, Value]) -> None:
        super().__init__(values)
        self.seen: set[str] = set()

    def __getitem__(self, key: str) -> Value:
        self.seen.add(key)
        return super().__getitem__(key)

    def __contains__(self, key: object) -> bool:
        self.seen.add(str(key))
        return super().__contains__(key)

    def get(self, key: str, default: Value | None = None) -> Value | None:  # type: ignore[override]
        self.seen.add(key)
        return super().get(key, default)

    def __iter__(self) -> Iterator[str]:
        self.seen.add("*")
        return super().__iter__()

    def items(self):  # type: ignore[no-untyped-def]
        self.seen.add("*")
        return super().items()

    def keys(self):  # type: ignore[no-untyped-def]
        self.seen.add("*")
        return super().keys()


@cache
def setups() -> tuple[dict[str, Value], ...]:
    """The workshop's setups and the sound ones."""
    import tomllib

    with open(os.path.join(WORKSHOP, "setups.toml"), "rb") as file:
        named = tomllib.load(file)["setup"]
    found = []
    for one in named:
        inputs = Session().read([os.path.join(WORKSHOP, "master", name) for name in one["files"]], "master")
        found += [dict(combination.values) for combination in bundle.combinations(judged(inputs))]
    return (*found, *(dict(sound_setups.values(name)) for name in sound_setups.NAMES))


def run(rule: Rule, values: Mapping[str, Value]) -> set[str]:
    """What a rule reads of one setup."""
    watched = Watched(values)
    setup = Setup(watched)
    with suppress(Missing, OutOfRange, ArithmeticError):
        list(rule.check(setup))
    return {name for name in watched.seen | setup.resolved.keys() if name in SETTINGS or name == "*"}


def turned(values: Mapping[str, Value], names: set[str]) -> Iterator[dict[str, Value]]:
    """The setup with each flag and choice among the names turned to each other value."""
    for name in names & set(SETTINGS):
        setting = SETTINGS[name]
        others: tuple[Value, ...] = (
            (True, False) if setting.kind == "flag" else setting.choices if setting.kind == "choice" else ()
        )
        for other in others[:8]:
            if other != values.get(name):
                yield {**values, name: other}


def reads(rule: Rule, bases: tuple[dict[str, Value], ...]) -> set[str]:
    """All that a rule is seen to read, and what it says it needs."""
    examples = [
        {name: parse_phrase(phrase, SETTINGS[name]) for name, phrase in one.items()} for one in (rule.good, rule.bad)
    ]
    found: set[str] = set()
    for values in (*examples, *bases):
        found |= run(rule, values)
    for values in (*examples, *bases[:4]):
        for other in turned(values, found):
            found |= run(rule, other)
    for pattern in rule.needs:
        found.update(name for name in SETTINGS if fnmatchcase(name, pattern))
    return found


def table() -> str:
    """The text of the table; a rule that walks through all settings is left out, and so always asked."""
    lines = ["rule\treads"]
    for rule in sorted(rules(), key=lambda one: one.code):
        if group_of(rule.code) != "code":
            names = reads(rule, setups())
            if "*" not in names:
                lines.append(f"{rule.code}\t{' '.join(sorted(names))}")
    return "\n".join(lines) + "\n"


def main() -> None:
    with open(FILE, "w", encoding="utf-8") as file:
        file.write(table())


if __name__ == "__main__":
    main()
