"""The command tables: which words a command set knows and what each does (`schemas/commands.tsv`).

A row: command set, word, effect, parameters, modal group, note, source. Parameters are `LETTER` or `LETTER:role` for
the words a command takes, `*` for any, and `name=value` for what the word itself fixes. A row with the word `*` and the
effect `include` takes over another set; later rows override earlier ones.

>>> command = tables()["word-basic"]["M104"]
>>> command.effect, command.fixed["heater"], command.roles["S"]
('heat', 'nozzle', 'target')
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from convert.resources import read_bytes

COLUMNS = ("set", "word", "effect", "parameters", "group", "note", "source")
SETS = ("word-basic", "word-extended", "word-binary-offsets", "named-macros", "numeric-control", "other")
# In these sets a controller may read a second command on a line; the others stop after the first (common practice).
SEVERAL_A_LINE = frozenset(("word-binary-offsets", "numeric-control", "other"))


@dataclass(frozen=True, slots=True)
class Command:
    """One row; `open` says that words beyond `roles` are taken too."""

    word: str
    effect: str
    fixed: dict[str, str]
    roles: dict[str, str]
    open: bool
    group: str
    note: str
    source: str


@cache
def tables() -> dict[str, dict[str, Command]]:
    """Command set -> word -> command, inclusions resolved."""
    lines = read_bytes("schemas", "commands.tsv").decode("utf-8").splitlines()
    found: dict[str, dict[str, Command]] = {name: {} for name in SETS}
    for line in lines[1:]:
        owner, word, effect, parameters, group, note, source = line.split("\t")
        if effect == "include":
            found[owner].update(found[parameters])
        else:
            found[owner][word] = command(word, effect, parameters, group, note, source)
    return found


def command(word: str, effect: str, parameters: str = "", group: str = "", note: str = "", source: str = "") -> Command:
    """Reads the parameters of one row.

    >>> command("M106", "fan", "S:duty P").roles
    {'S': 'duty', 'P': 'P'}
    """
    fixed, roles = {}, {}
    for item in parameters.split():
        name, equals, value = item.partition("=")
        if equals:
            fixed[name] = value
        elif item != "*":
            letter, _, role = item.partition(":")
            roles[letter] = role or letter
    return Command(word, effect, fixed, roles, "*" in parameters.split(), group, note, source)


@cache
def known_anywhere() -> frozenset[str]:
    """All words that any command set knows."""
    return frozenset(word for table in tables().values() for word in table)
