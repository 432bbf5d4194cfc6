"""Reads a text tree through a name table: which profiles are in it, and what each of its keys says.

Nothing is dropped: every entry of the tree ends up in exactly one `Record`, so a ledger can account for all of them.
Inheritance is not followed here (see `inherit`): a `Reading` holds what the profile says itself.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from convert.dialects.atoms import ABSENT, Cell, Unreadable
from convert.dialects.code import CodeAtom, mistyped
from convert.dialects.frame import to_machine
from convert.dialects.lenses import Lens, OneLens
from convert.dialects.table import SCOPES, Table
from convert.errors import InputError, Location, Problem
from convert.model.profile import Origin, Profile
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.text.tree import Tree


class Record(NamedTuple):
    """What became of one entry when it was read.

    role: "row" (it says `settings`), "book" (scope, name or parent of the profile), "beaten" (a later entry of the same
    key wins), "unknown" (no row names it) or "invalid" (its row cannot read it; `says` and `hint` tell why).
    """

    entry: int
    key: str
    role: str
    settings: tuple[str, ...] = ()
    says: str = ""
    hint: str = ""


@dataclass(slots=True)
class Reading:
    """One profile as one file says it: `own` values, and `meant` ones with inheritance and defaults.

    `profile` starts out as what is meant; whoever edits changes the profile, and `meant` stays what the file says.
    """

    file: FileReading
    root: tuple[str, ...]
    name: str
    scopes: tuple[str, ...]
    own: dict[str, Value] = field(default_factory=dict)
    cells: dict[str, Cell] = field(default_factory=dict)
    indices: dict[str, int] = field(default_factory=dict)
    records: list[Record] = field(default_factory=list)
    parents: list[tuple[str, int]] = field(default_factory=list)
    profile: Profile | None = None
    meant: dict[str, Value] = field(default_factory=dict)
    error: InputError | None = None
    start: int = 0

    @property
    def table(self) -> Table:
        return self.file.table

    @property
    def label(self) -> str:
        """How messages call it: the file, and the profile's name where a file holds several."""
        return f"{self.file.path} [{self.name}]" if self.file.table.layout.profile == "group" else self.file.path

    def origin(self, setting: str, how: str = "own", source: str = "") -> Origin:
        """Where a value that this profile says itself stands."""
        lens = self.table.by_setting.get(setting)
        for key in lens.keys if lens else ():
            index = self.indices.get(key)
            if index is not None:
                line = self.file.tree.line(index)
                return Origin(how=how, file=self.file.path, line=line, key=key, source=source)
        return Origin(how=how, file=self.file.path, line=None, key="", source=source)


@dataclass(slots=True)
class FileReading:
    """One file: its tree, its table and the profiles in it."""

    path: str
    tree: Tree
    table: Table
    readings: list[Reading] = field(default_factory=list)
    stray: list[Record] = field(default_factory=list)
    requested: bool = True

    def problems(self) -> Iterator[Problem]:
        """All that is worth saying about the file: the tree's own problems, and keys that could not be read."""
        yield from self.tree.problems
        for reading in self.readings:
            for record in reading.records:
                if record.role == "row" and record.says:
                    yield Problem(f"{record.key}: {record.says}", self.tree.where(record.entry), record.hint)
                if record.role == "invalid":
                    where = self.tree.where(record.entry)
                    yield Problem(f"{record.key}: {record.says}", where, record.hint)
            if reading.error is not None:
                yield Problem(reading.error.says, reading.error.where, reading.error.hint)


def read_tree(tree: Tree, table: Table, path: str | None = None) -> FileReading:
    """Read a tree through a table. Keys that cannot be read are records, not errors."""
    found = FileReading(path or tree.source.path, tree, table)
    if table.layout.profile == "file":
        reading = Reading(found, (), _stem(found.path), SCOPES)
        _fill(reading, list(enumerate(tree.rows)))
        found.readings.append(reading)
        return found
    for root, start, attributes, rows in _roots(found):
        named = _identify(table, root[-1], attributes)
        if named is None:
            found.stray += [Record(index, row[1], "unknown") for index, row in rows]
            continue
        name, scope = named
        reading = Reading(found, root, name, (scope,) if scope else SCOPES, start=start)
        parent = table.layout.parent.get("attribute")
        if parent and attributes.get(parent):
            reading.parents.append((attributes[parent], -1))
        _fill(reading, rows)
        found.readings.append(reading)
    found.stray.sort()
    return found


Root = tuple[tuple[str, ...], int, Mapping[str, str], list[tuple[int, tuple]]]
"""A group that may be a profile: path, offset, attributes, rows with their indices."""


def _roots(file: FileReading) -> list[Root]:
    """The groups that may be profiles; what lies outside becomes stray.

    Sections of one name are one group, wherever they stand; elements of one name are different ones.
    """
    table, tree = file.table, file.tree
    depth = table.layout.depth
    groups = [group for group in tree.groups if len(group.path) == depth]
    found: list[Root] = []
    if table.syntax == "xml":
        found = [(group.path, group.start, group.attributes, []) for group in groups]
        starts = [group.start for group in groups]
        for index, (row, at) in enumerate(zip(tree.rows, tree.starts(), strict=True)):
            place = bisect_right(starts, at) - 1
            if place >= 0 and at < groups[place].end:
                found[place][3].append((index, row))
            else:
                file.stray.append(Record(index, row[1], "unknown"))
        return found
    by_path: dict[tuple[str, ...], list[tuple[int, tuple]]] = {}
    for group in groups:
        if group.path not in by_path:
            by_path[group.path] = []
            found.append((group.path, group.start, group.attributes, by_path[group.path]))
    for index, row in enumerate(tree.rows):
        rows = by_path.get(row[0][:depth])
        if rows is not None:
            rows.append((index, row))
        else:
            file.stray.append(Record(index, row[1], "unknown"))
    return found


def _identify(table: Table, label: str, attributes: Mapping[str, str]) -> tuple[str, str] | None:
    """Name and scope ("" where the group does not say it) of a group, or None if it is no profile."""
    layout = table.layout
    name, scope = label, ""
    if "attribute" in layout.name:
        name = attributes.get(layout.name["attribute"], label)
    if "attribute" in layout.scope:
        word = attributes.get(layout.scope["attribute"], "")
        scope = next((known for known, said in layout.scope_words.items() if said == word), "")
        if not scope:
            return None
    elif "{scope}" in layout.group:
        for known in SCOPES:
            pattern = layout.group.replace("{scope}", layout.scope_words.get(known, known))
            before, _, after = pattern.partition("{name}")
            if label.startswith(before) and label.endswith(after) and len(label) >= len(before) + len(after):
                return label[len(before) : len(label) - len(after)], known
        return None
    return name, scope


def _fill(reading: Reading, rows: list[tuple[int, tuple]]) -> None:
    """Sort a profile's entries into records, cells and values."""
    table, tree = reading.table, reading.file.tree
    keyed, last = _keyed(reading, rows)
    lenses = _lenses(reading, last)
    light = table.syntax in ("ini", "comments")
    record = reading.records.append
    own, cells, indices = reading.own, reading.cells, reading.indices
    waiting: dict[int, tuple[Lens, list[tuple[int, str]]]] = {}
    for index, key, value in keyed:
        lens = lenses.get(key)
        if lens is None:
            record(Record(index, key, "unknown"))
            continue
        if last[key] != index:
            record(Record(index, key, "beaten", lens.settings))
            continue
        if light:
            cell = Cell(value)
        else:
            cell = Cell(value, *tree.form(index))
        cells[key] = cell
        indices[key] = index
        if len(lens.keys) > 1:
            waiting.setdefault(id(lens), (lens, []))[1].append((index, key))
            continue
        try:
            if light and type(lens) is OneLens:
                read = lens.atom.read(value)
                if read is not ABSENT:
                    own[lens.setting] = read
            else:
                own.update(lens.read({key: cell}))
        except Unreadable as error:
            record(Record(index, key, "invalid", lens.settings, error.says, error.hint))
        else:
            says, hint = _doubts(lens, cell, own) if lens.settings[0].startswith("code.") else ("", "")
            record(Record(index, key, "row", lens.settings, says, hint))
    for lens, members in waiting.values():
        try:
            own.update(lens.read(cells))
        except Unreadable as error:
            for index, key in members:
                record(Record(index, key, "invalid", lens.settings, error.says, error.hint))
        else:
            for index, key in members:
                record(Record(index, key, "row", lens.settings))
    reading.records.sort()
    if table.frames:
        to_machine(own, table)
    if table.layout.profile == "file" or len(reading.scopes) > 1:
        _narrow(reading)


def _doubts(lens: Lens, cell: Cell, own: dict[str, Value]) -> tuple[str, str]:
    """Placeholders in command code that name nothing: they go on as plain text, and a machine cannot follow them."""
    code = own.get(lens.settings[0])
    names = mistyped(code) if isinstance(code, str) else []
    if isinstance(lens, OneLens) and isinstance(lens.atom, CodeAtom):
        text = cell.value if isinstance(cell.value, str) else "\n".join(str(line) for line in cell.value)
        names += lens.atom.unknown(text)
    if not names:
        return "", ""
    shown = ", ".join(repr(name[:60]) for name in dict.fromkeys(names))
    return f"the placeholder {shown} names nothing that is known here", "it stays as plain text; correct the name"


def _keyed(reading: Reading, rows: list[tuple[int, tuple]]) -> tuple[list[tuple[int, str, Any]], dict[str, int]]:
    """The entries that rows may name (index, key, value) and the last index of each key; the others become records."""
    table, layout = reading.table, reading.table.layout
    books, keeps = layout.bookkeeping(), layout.keeps
    depth = len(reading.root)
    plain = not layout.path
    keyed: list[tuple[int, str, Any]] = []
    last: dict[str, int] = {}
    said: dict[str, tuple[int, Any]] = {}
    for index, row in rows:
        path, key = row[0][depth:], row[1]
        if not path:
            if key in books:
                if key in said:
                    reading.records.append(Record(said[key][0], key, "beaten"))
                said[key] = index, row[2]
                continue
            if key in keeps:
                reading.records.append(Record(index, key, "book"))
                continue
        elif path[0] in keeps:
            reading.records.append(Record(index, f"{'/'.join(path)}/{key}", "book"))
            continue
        if path or not plain:
            named = table.key_of(path, key)
            if named is None:
                reading.records.append(Record(index, "/".join((*path, key)), "unknown"))
                continue
            key = named
        last[key] = index
        keyed.append((index, key, row[2]))
    for key, (index, value) in said.items():
        _book(reading, books[key], key, value, index)
    return keyed, last


def _lenses(reading: Reading, keys: dict[str, int]) -> dict[str, Lens]:
    """The rows in force. A whole-file profile of one scope shows which one by the keys it has."""
    table = reading.table
    if len(reading.scopes) == 1:
        return table.by_key.get(reading.scopes[0], {})
    if table.layout.holds == "scope":
        counts = {scope: sum(key in lenses for key in keys) for scope, lenses in table.by_key.items()}
        best = max(counts, key=lambda scope: counts[scope], default="")
        if best and counts[best]:
            reading.scopes = (best,)
            return table.by_key[best]
    return table.keys_for(reading.scopes)


def _book(reading: Reading, what: str, key: str, value: object, index: int) -> None:
    """Take scope, name or parent from a key of the profile's root."""
    layout = reading.table.layout
    text = value if isinstance(value, str) else " ".join(str(item) for item in value)  # type: ignore[attr-defined]
    if what == "name":
        reading.name = text or reading.name
    elif what == "scope":
        scope = next((known for known, said in layout.scope_words.items() if said == text), None)
        if scope is None:
            words = ", ".join(layout.scope_words.values())
            says = f"{text!r} is no kind of profile"
            reading.records.append(Record(index, key, "invalid", (), says, f"known are {words}"))
            return
        reading.scopes = (scope,)
    elif what == "parent" and text:
        separator = layout.parent.get("separator")
        names = [name.strip() for name in text.split(separator)] if separator else [text]
        reading.parents += [(name, index) for name in names if name]
    reading.records.append(Record(index, key, "book"))


def _narrow(reading: Reading) -> None:
    """A profile that may hold anything holds the scopes its values belong to."""
    if reading.table.layout.holds == "setup":
        return
    schema = SETTINGS.rows()
    held = {schema[name].scope for name in reading.own}
    if held and not (len(reading.scopes) == 1 and held <= set(reading.scopes)):
        reading.scopes = tuple(scope for scope in SCOPES if scope in held)


def _stem(path: str) -> str:
    if path == "-":
        return "standard input"
    name = path.replace("\\", "/").rsplit("/", 1)[-1]
    stem = name.partition(".")[0] if not name.startswith(".") else name
    return stem or name


def location(reading: Reading, index: int) -> Location:
    """The place of an entry."""
    tree = reading.file.tree
    return tree.source.location(tree.entry(index).start)
