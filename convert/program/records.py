"""The plain records of this package: what code runs with, a command with its words, a step."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from convert.program.commands import Command

Effect = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class Context:
    """What the code runs with.

    values: canonical setting id -> number in the schema's unit, flag, text, or list of these (one per tool) or of
            points. They fill the placeholders and are the facts about the machine (envelope.*, code.commands,
            code.relative_feed, tool.count, hotend.max_temperature ...).
    known:  all canonical ids; default: the ids of `values`.
    initial: state names -> value, over what holds at power-on.
    macros: what named commands of this machine do: name -> "effect parameters" as in schemas/commands.tsv.
    """

    values: Mapping[str, object] = field(default_factory=dict)
    known: Collection[str] | None = None
    initial: Mapping[str, object] = field(default_factory=dict)
    macros: Mapping[str, str] = field(default_factory=dict)


class Argument(NamedTuple):
    """A word's value: NaN where it is not known, `flag` where the word has none, `ids` its placeholders."""

    value: float
    text: str
    ids: tuple[str, ...]
    column: int
    flag: bool = False


class Call(NamedTuple):
    """A command as it runs: its row, its words, and the free text of a text command."""

    command: Command
    args: Mapping[str, Argument]
    column: int
    text: str = ""

    def get(self, role: str) -> Argument | None:
        """The word that plays a role, or None."""
        for letter, plays in self.command.roles.items():
            if plays == role and letter in self.args:
                return self.args[letter]
        return None

    def number(self, role: str) -> float | None:
        """Its value; None if the word is absent or a bare flag, NaN if its value is not known."""
        argument = self.get(role)
        return None if argument is None or argument.flag else argument.value


@dataclass(frozen=True, slots=True)
class Step:
    """One line that did something: what it does in words, and the states it changed as (name, before, after).

    `line` counts from 1 in its section, 0 is the print itself. `effect` is what signatures are made of.
    """

    section: str
    line: int
    text: str
    says: str
    changes: tuple[tuple[str, object, object], ...]
    effect: Effect = ()
