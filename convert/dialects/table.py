"""A dialect as the reader and the writer work with it: its syntax, its layout and its lenses.

`convert.dialects.building` makes one of a name table (a TOML file in `mappings/`); the syntax of a name table is
explained in the README ("How to write a table").
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from convert.dialects.lenses import Lens
from convert.errors import Location, UsageError
from convert.model.setting import SETTINGS
from convert.model.value import Value

SCOPES = ("machine", "feedstock", "process")


class TableError(UsageError):
    """A mistake in a name table; `row` names the row it stands in, for the place in the file."""

    def __init__(self, says: str, row: tuple[str, ...] = (), hint: str = "", where: Location | None = None) -> None:
        super().__init__(says, where, hint)
        self.row = row


@dataclass(frozen=True, slots=True)
class Layout:
    """Where profiles are in a file and how they are called."""

    profile: str = "file"
    holds: str = "any"
    path: tuple[str, ...] = ()
    group: str = ""
    scope: Mapping[str, str] = field(default_factory=dict)
    scope_words: Mapping[str, str] = field(default_factory=dict)
    name: Mapping[str, str] = field(default_factory=dict)
    parent: Mapping[str, str] = field(default_factory=dict)
    mark: Mapping[str, str] = field(default_factory=dict)
    keeps: tuple[str, ...] = ()
    base: tuple[str, ...] = ()
    blank: str = ""

    @property
    def depth(self) -> int:
        """How deep a profile's group lies."""
        return len(self.base) + 1

    def bookkeeping(self) -> dict[str, str]:
        """The keys that say what the profile is, not what it holds: key -> scope, name, parent or mark."""
        places = (("scope", self.scope), ("name", self.name), ("parent", self.parent), ("mark", self.mark))
        return {place["key"]: what for what, place in places if "key" in place}


@dataclass(slots=True)
class Table:
    """A dialect: its syntax, its layout and its lenses, by scope."""

    dialect: str
    title: str
    syntax: str
    about: str
    file: str
    text: Mapping[str, Any]
    layout: Layout
    beads: Mapping[str, str]
    lenses: dict[str, list[Lens]]
    frames: frozenset[str]
    defaults: dict[str, Value]
    nearest: dict[str, dict[str, str]]
    codec: bool = False
    source: str = "shipped"
    path: str = ""
    by_key: dict[str, dict[str, Lens]] = field(default_factory=dict)
    by_setting: dict[str, Lens] = field(default_factory=dict)
    all_keys: dict[str, Lens] = field(default_factory=dict)
    by_scopes: dict[tuple[str, ...], list[Lens]] = field(default_factory=dict)
    shapes: dict[Any, Any] = field(default_factory=dict)  # what `shape` remembers
    places: dict[str, tuple[tuple[str, ...], str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for scope, lenses in self.lenses.items():
            keys = self.by_key.setdefault(scope, {})
            for lens in lenses:
                for key in lens.keys:
                    keys[key] = lens
                    self.all_keys.setdefault(key, lens)
                for setting in lens.settings:
                    self.by_setting.setdefault(setting, lens)

    @property
    def settings(self) -> int:
        """How many settings the dialect can say."""
        return len(self.by_setting)

    @property
    def extension(self) -> str:
        return self.file[self.file.rfind(".") :] if "." in self.file else ""

    def keys_for(self, scopes: tuple[str, ...]) -> dict[str, Lens]:
        """Keys of the rows of some scopes."""
        if len(scopes) == 1:
            return self.by_key.get(scopes[0], {})
        merged: dict[str, Lens] = {}
        for scope in scopes:
            merged.update(self.by_key.get(scope, {}))
        return merged

    def place(self, key: str) -> tuple[tuple[str, ...], str]:
        """Groups and name of a row's key, from the profile's root."""
        found = self.places.get(key)
        if found is None:
            if self.syntax in ("csv", "comments", "toml"):
                found = self.layout.path, key  # no groups inside a profile: a slash is a letter like any other
            else:
                *groups, name = key.split("/")
                found = (*self.layout.path, *groups), name
            self.places[key] = found
        return found

    def key_of(self, path: tuple[str, ...], name: str) -> str | None:
        """The row key of an entry, its path counted from the profile's root; None outside the rows' groups."""
        inside = self.layout.path
        if not path and not inside:
            return name
        if path[: len(inside)] != inside:
            return None
        return ("." if self.syntax == "toml" else "/").join((*path[len(inside) :], name))

    def rows_of(self, scopes: tuple[str, ...]) -> list[Lens]:
        """The rows of some scopes, each once."""
        found = self.by_scopes.get(scopes)
        if found is None:
            rows = {id(lens): lens for scope in scopes for lens in self.lenses.get(scope, ())}
            found = self.by_scopes[scopes] = list(rows.values())
        return found

    def default_for(self, scopes: tuple[str, ...]) -> Iterator[tuple[str, Value]]:
        schema = SETTINGS.rows()
        for name, value in self.defaults.items():
            if schema[name].scope in scopes:
                yield name, value
