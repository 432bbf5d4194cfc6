"""Reads a text tree through a name table: which profiles are in it, and what each of its keys says.

Nothing is dropped: every entry of the tree ends up in exactly one `Record`, so a ledger can account for all of them.
Inheritance is not followed here (see `inherit`): a `Reading` holds what the profile says itself.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from convert.dialects.atoms import MEMO_LENGTH, MEMO_LIMIT, Cell, Unreadable
from convert.dialects.code import CodeAtom, mistyped
from convert.dialects.frame import to_machine
from convert.dialects.lenses import Lens, OneLens, Said
from convert.dialects.shape import Part, Record, Shape, shape_of
from convert.dialects.table import SCOPES, Table
from convert.errors import InputError, Location, Problem
from convert.model.profile import Origin, Profile
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.text.tree import Tree


@dataclass(slots=True)
class Reading:
    """One profile as one file says it: `own` values, and `meant` ones with inheritance and defaults.

    `broken` are the settings whose keys are there and cannot be read. `profile` starts out as what is meant; whoever
    edits changes the profile, and `meant` stays what the file says.
    """

    file: FileReading
    root: tuple[str, ...]
    name: str
    scopes: tuple[str, ...]
    own: dict[str, Value] = field(default_factory=dict)
    records: list[Record] = field(default_factory=list)
    broken: frozenset[str] = frozenset()
    parents: list[tuple[str, int]] = field(default_factory=list)
    profile: Profile | None = None
    meant: dict[str, Value] = field(default_factory=dict)
    error: InputError | None = None
    start: int = 0
    part: Part | None = None
    entries: Sequence[int] = ()
    _cells: dict[str, Cell] | None = None
    _indices: dict[str, int] | None = None

    @property
    def indices(self) -> dict[str, int]:
        """Key -> the entry that says what a row reads."""
        if self._indices is None:
            ordinals = self.part.ordinals() if self.part is not None else {}
            self._indices = {key: self.entries[at] for key, at in ordinals.items()}
        return self._indices

    @property
    def cells(self) -> dict[str, Cell]:
        """Key -> what stands there for a row to read."""
        if self._cells is None:
            self._cells = {key: _cell(self, index) for key, index in self.indices.items()}
        return self._cells

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


def read_tree(tree: Tree, table: Table, path: str | None = None, shape: Shape | None = None) -> FileReading:
    """Read a tree through a table. Keys that cannot be read are records, not errors.

    `shape` is that of all rows, where it is known already.
    """
    found = FileReading(path or tree.source.path, tree, table)
    if table.layout.profile == "file":
        reading = Reading(found, (), _stem(found.path), SCOPES)
        _fill(reading, range(len(tree.rows)), shape or shape_of(table, tree.rows))
        found.readings.append(reading)
        return found
    for root, start, attributes, entries in _roots(found):
        named = _identify(table, root[-1], attributes)
        if named is None:
            found.stray += [Record(index, tree.rows[index][1], "unknown") for index in entries]
            continue
        name, scope = named
        reading = Reading(found, root, name, (scope,) if scope else SCOPES, start=start)
        parent = table.layout.parent.get("attribute")
        if parent and attributes.get(parent):
            reading.parents.append((attributes[parent], -1))
        _fill(reading, entries, shape_of(table, [tree.rows[index] for index in entries]))
        found.readings.append(reading)
    found.stray.sort()
    return found


Root = tuple[tuple[str, ...], int, Mapping[str, str], list[int]]
"""A group that may be a profile: path, offset, attributes, entries."""


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
                found[place][3].append(index)
            else:
                file.stray.append(Record(index, row[1], "unknown"))
        return found
    by_path: dict[tuple[str, ...], list[int]] = {}
    for group in groups:
        if group.path not in by_path:
            by_path[group.path] = []
            found.append((group.path, group.start, group.attributes, by_path[group.path]))
    for index, row in enumerate(tree.rows):
        entries = by_path.get(row[0][:depth])
        if entries is not None:
            entries.append(index)
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


def _fill(reading: Reading, entries: Sequence[int], shape: Shape) -> None:
    """Sort a profile's entries into records and values."""
    table, rows = reading.table, reading.file.tree.rows
    changed = [_book(reading, what, key, rows[entries[at]][2], entries[at], at) for at, key, what in shape.books]
    part = shape.part(reading.scopes)
    reading.part, reading.entries, reading.scopes = part, entries, part.scopes
    light = table.syntax in ("ini", "comments")
    values: list[tuple[str, Value]] = []
    for at, key, lens in part.single:
        text = rows[entries[at]][2] if light else ""
        said = lens.memo.get(text) if light else None
        if said is None:
            said = _say(lens, key, Cell(text) if light else _cell(reading, entries[at]))
            if light and len(text) <= MEMO_LENGTH and len(lens.memo) < MEMO_LIMIT:
                lens.memo[text] = said
        values += said.values
        if said.says:
            role = "row" if said.readable else "invalid"
            changed.append(Record(at, key, role, lens.settings, said.says, said.hint))
    reading.own.update(values)
    for lens, members in part.joint:
        try:
            reading.own.update(lens.read({key: _cell(reading, entries[at]) for at, key in members}))
        except Unreadable as error:
            changed += [Record(at, key, "invalid", lens.settings, error.says, error.hint) for at, key in members]
    records = list(part.records)
    for record in changed:
        if record is not None:
            records[record.entry] = record
            if record.role == "invalid":
                reading.broken |= frozenset(record.settings)
    if not isinstance(entries, range):
        records = [Record(entries[record.entry], *record[1:]) for record in records]
    reading.records = records
    if table.frames:
        to_machine(reading.own, table)
    if table.layout.profile == "file" or len(reading.scopes) > 1:
        _narrow(reading)


def _cell(reading: Reading, index: int) -> Cell:
    tree = reading.file.tree
    if reading.table.syntax in ("ini", "comments"):
        return Cell(tree.rows[index][2])
    return Cell(tree.rows[index][2], *tree.form(index))


def _say(lens: Lens, key: str, cell: Cell) -> Said:
    """What a cell says through a row of one key."""
    try:
        values = lens.read({key: cell})
    except Unreadable as error:
        return Said((), False, error.says, error.hint)
    says, hint = _doubts(lens, cell, values) if lens.settings[0].startswith("code.") else ("", "")
    return Said(tuple(values.items()), True, says, hint)


def _doubts(lens: Lens, cell: Cell, own: Mapping[str, Value]) -> tuple[str, str]:
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


def _book(reading: Reading, what: str, key: str, value: object, index: int, at: int) -> Record | None:
    """Take scope, name or parent from a key of the profile's root; a record if that does not go."""
    layout = reading.table.layout
    text = value if isinstance(value, str) else " ".join(str(item) for item in value)  # type: ignore[attr-defined]
    if what == "name":
        reading.name = text or reading.name
    elif what == "scope":
        scope = next((known for known, said in layout.scope_words.items() if said == text), None)
        if scope is None:
            words = ", ".join(layout.scope_words.values())
            return Record(at, key, "invalid", (), f"{text!r} is no kind of profile", f"known are {words}")
        reading.scopes = (scope,)
    elif what == "parent" and text:
        separator = layout.parent.get("separator")
        names = [name.strip() for name in text.split(separator)] if separator else [text]
        reading.parents += [(name, index) for name in names if name]
    return None


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
