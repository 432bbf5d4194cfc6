"""Which dialects are known: the tables in `mappings/`, then the user's, then those given with --table.

A table is one file and its name is the dialect's; adding a dialect needs no code. A user's table of the same name
stands in front of a shipped one.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from convert import files, resources
from convert.errors import UsageError

if TYPE_CHECKING:
    from convert.dialects.table import Table

MOST_BYTES = 4_000_000
"""A name table is a page of text; anything of this size is a mistake."""


class Head(NamedTuple):
    """What is known of a table without loading it."""

    dialect: str
    syntax: str
    path: str
    source: str


def user_folder() -> str:
    """Where the user's own tables are: $BEADWISE_HOME/tables, else the platform's data folder."""
    home = os.environ.get("BEADWISE_HOME")
    if home:
        return os.path.join(home, "tables")
    if sys.platform == "win32":
        base = os.environ.get("APPDATA") or os.path.expanduser("~")
    elif sys.platform == "darwin":
        base = os.path.expanduser("~/Library/Application Support")
    else:
        base = os.environ.get("XDG_DATA_HOME") or os.path.expanduser("~/.local/share")
    return os.path.join(base, "beadwise", "tables")


class Registry:
    """The dialects in force; tables are loaded when they are first asked for.

    With `contents` (path -> bytes) these stand in front of the shipped ones, and the user's folder is not looked into:
    the tables of another machine, as its own `contents` gave them.
    """

    def __init__(self, given: Sequence[str] = (), contents: Mapping[str, bytes] | None = None) -> None:
        self.heads: dict[str, Head] = {}
        self._loaded: dict[str, Table] = {}
        folders = [(resources.folder("mappings"), "shipped")]
        if contents is None:
            folders.append((user_folder(), "user"))
        for folder, source in folders:
            for path in _tables_in(folder):
                head = _head(path, source)
                if head is not None:
                    self.heads[head.dialect] = head
        for path in given:
            self._take(path, _load(path, "given"))
        for path, data in (contents or {}).items():
            self._take(path, _parse(data, path, "given"))

    def _take(self, path: str, table: Table) -> None:
        self.heads[table.dialect] = Head(table.dialect, table.syntax, path, "given")
        self._loaded[table.dialect] = table

    def contents(self) -> dict[str, bytes]:
        """Path and bytes of each table in force that is not a shipped one."""
        mine = [head.path for head in self.heads.values() if head.source != "shipped"]
        return {path: files.read_bytes(path, MOST_BYTES) for path in mine}

    def names(self) -> list[str]:
        """All dialects, sorted."""
        return sorted(self.heads)

    def table(self, name: str) -> Table:
        """The table of a dialect. UsageError with the closest names if there is none."""
        if name not in self._loaded:
            head = self.heads.get(name)
            if head is None:
                raise UsageError(f"there is no dialect {name!r}", hint=self.hint(name))
            self._loaded[name] = _load(head.path, head.source)
        return self._loaded[name]

    def hint(self, name: str) -> str:
        """What to do about an unknown name."""
        from difflib import get_close_matches

        close = get_close_matches(name, self.names(), 3, 0.5)
        meant = f"did you mean {' or '.join(close)}? " if close else ""
        return f"{meant}'beadwise tables' lists all; --table FILE adds one, and the README tells how to write it"


def _load(path: str, source: str) -> Table:
    return _parse(files.read_bytes(path, MOST_BYTES), path, source)


def _parse(data: bytes, path: str, source: str) -> Table:
    from convert.dialects.building import load  # heavy, and not needed to know which tables there are

    try:
        table = load(data, path, source)
    except (AttributeError, KeyError, TypeError, ValueError, ArithmeticError, RecursionError) as error:
        from convert.dialects.checking import refused  # heavy, and seldom needed

        raise refused(data, path, error) from None
    table.path = path
    return table


def _tables_in(folder: str) -> list[str]:
    try:
        names = sorted(os.listdir(folder))
    except OSError:
        return []
    return [os.path.join(folder, name) for name in names if name.endswith(".toml") and not name.startswith(".")]


def _head(path: str, source: str) -> Head | None:
    """Dialect and syntax from the first lines; the rest of the file is parsed only when it is needed."""
    found = {}
    try:
        with open(path, encoding="utf-8-sig", errors="replace") as file:
            for line in file:
                name, _, value = line.partition("=")
                name = name.strip()
                if name in ("dialect", "syntax"):
                    found[name] = value.partition("#")[0].strip().strip("\"'")
                    if len(found) == 2:
                        break
                elif line.startswith("["):
                    break
    except OSError:
        return None
    if len(found) < 2:
        return None
    return Head(found["dialect"], found["syntax"], path, source)
