"""The work on one file, as one pure function: bytes, path and name tables in; a plain result out.

It may run in this process, in a pool or on another machine: what it gives is made of tuples, texts and numbers alone.
"""

from __future__ import annotations

import re
from hashlib import sha256

from convert.archive.meaning import LABELS, LIST, encode, label_cell, storable, understand
from convert.archive.outcome import READ, REFUSED, SKIPPED, Digest, Meaning, Portrait
from convert.dialects.detect import CLOSE as RIVAL
from convert.dialects.detect import HINT, LEAST_KEYS, LEAST_SHARE, Match, Unknown, detect, match, parse
from convert.dialects.inherit import Family, Origins, resolve
from convert.dialects.reader import FileReading, Reading, location, read_tree
from convert.dialects.registry import Registry
from convert.dialects.table import Table
from convert.errors import BeadwiseError
from convert.model.setting import SCOPES
from convert.model.value import Value
from convert.text.registry import sniff
from convert.text.source import Source
from convert.text.tree import Tree

NAME_ENDS = frozenset("=:,")
"""Marks at which names end, whichever way a line is read."""
MOST_OTHERS = 200
"""Lines without a setting that are compared."""
MOST_NOTES = 20
"""Sets of such lines remembered with a list of keys."""


class Tables:
    """The name tables, with what helps to recognise a file quickly."""

    def __init__(self, registry: Registry) -> None:
        self.registry = registry
        self.tables = tables = [registry.table(name) for name in registry.names()]
        self._foreign: dict[str, tuple[set[str], set[str]]] = {}
        # The first name of each line, however it is parted from the rest.
        self._plain = re.compile(r"^[ \t\"']*([^#;/(\s=:,\"'][^=:,;\t\r\n]*)", re.MULTILINE).findall
        self._marked = re.compile(r"^[ \t]*[#;/(]+[ \t\"']*([^=:,)\t\r\n]*)", re.MULTILINE).findall
        self.suffixes = sorted(((suffix(table), table) for table in tables), key=lambda one: -len(one[0]))
        self.overlap = {
            table.dialect: max(
                (
                    len(_keys(table) & _keys(other))
                    for other in tables
                    if other is not table and other.syntax == table.syntax
                ),
                default=0,
            )
            for table in tables
        }
        self.marks = {
            table.dialect: any(
                other.layout.mark for other in tables if other is not table and other.syntax == table.syntax
            )
            for table in tables
        }

    def rivals(self, found: Match) -> int | None:
        """How many keys any other table could know of a file that is read by lines; None if that cannot be told.

        Nothing counts but the keys and the lines without a setting, so the answer is remembered with the keys.
        """
        outside = _outside(found.tree)
        if outside is None:
            return self._rivals(found.tree.source.flat, found.table)
        notes: dict[bytes, tuple[int | None]] = found.shape.notes
        lines = sha256(outside.encode("utf-8", "surrogatepass")).digest()  # they may be long
        answer = notes.get(lines)
        if answer is None:
            answer = (self._rivals(found.tree.source.flat, found.table),)
            if len(notes) >= MOST_NOTES:
                notes.clear()
            notes[lines] = answer
        return answer[0]

    def _rivals(self, text: str, table: Table) -> int | None:
        """The same, of the text.

        Lines behind a mark of comments and plain lines are two readings of a file. The one that is not this table's
        must hold fewer than LEAST_KEYS keys of other tables, and its own so few that no table of another syntax gets to
        half of LEAST_SHARE.
        """
        if table.dialect not in self._foreign:
            others = [other for other in self.tables if other is not table]
            keys = {part for other in others for key in _keys(other) for part in (key, key.rpartition("/")[2])}
            marks = {str(other.layout.mark["key"]) for other in others if "key" in other.layout.mark}
            self._foreign[table.dialect] = keys, marks
        keys, marks = self._foreign[table.dialect]
        plain, marked = self._plain(text), self._marked(text)
        own, other = (plain, marked) if table.syntax == "ini" else (marked, plain)
        here = sum(name.strip() in keys for name in own)
        there = sum(name.strip() in keys for name in other)
        if (
            there >= LEAST_KEYS
            or here * 2 >= LEAST_SHARE * len(own)
            or not marks.isdisjoint(map(str.strip, own + other))
        ):
            return None
        return here

    def by_suffix(self, path: str) -> Table | None:
        """The table whose files are called so."""
        name = path.lower()
        return next((table for end, table in self.suffixes if end and name.endswith(end)), None)


def suffix(table: Table) -> str:
    """What the names of a dialect's files end in, where that says more than ".json" does.

    A pattern such as "{name}.quern.ini" gives ".quern.ini".
    """
    end = table.file.replace("{scope}", "{name}").rpartition("{name}")[2].lower()
    return end if end not in (".ini", ".json", ".xml", ".csv", ".toml", ".txt", ".gcode") else ""


def _keys(table: Table) -> set[str]:
    return set(table.all_keys) | set(table.layout.bookkeeping())


def recognise(source: Source, tables: Tables) -> Match | Unknown:
    """What `detect` finds, sooner where the file's name tells: no other table is tried if none could come close.

    In files that are read by lines, the names on the lines are looked up among the keys of all other tables. In other
    files a rival knows at most the keys that the two tables share and those that the table does not know.
    """
    table = tables.by_suffix(source.path)
    if table is None or tables.marks[table.dialect]:
        return detect(source, tables.registry)
    by_lines = table.syntax in ("ini", "comments")
    if not by_lines and sniff(source)[:1] != [table.syntax]:
        return detect(source, tables.registry)
    try:
        found = match(parse(source, table), table)
    except BeadwiseError:
        return detect(source, tables.registry)
    most = tables.rivals(found) if by_lines else tables.overlap[table.dialect] + found.keys - found.known
    fits = found.marked or (found.known >= LEAST_KEYS and found.share >= LEAST_SHARE)
    return found if fits and most is not None and most < RIVAL * found.known else detect(source, tables.registry)


def _outside(tree: Tree) -> str | None:
    """The lines that hold no setting, if each setting has one line; None where these are not all that counts.

    Names must end at a mark that ends them for every syntax: then no value can be taken for a part of a name.
    """
    if not tree.rows or tree.syntax != "ini" or not NAME_ENDS.issuperset(tree.options["separators"]):
        return None
    lines = tree.source.lines()
    first, last = tree.rows[0][3], tree.rows[-1][3]
    if last.__class__ is first.__class__ is int and last - first + 1 == len(tree.rows):
        others = [*lines[:first], *lines[last + 1 :]]
    else:
        marks = [row[3] for row in tree.rows]
        if any(mark.__class__ is not int for mark in marks):
            return None
        others = [lines[at] for at in sorted(set(range(len(lines))).difference(marks))]
    return "\n".join(others) if len(others) <= MOST_OTHERS else None


def digest(data: bytes, path: str, tables: Tables, sha: bytes | None = None) -> Digest:
    """Read one file. Whatever is wrong with it becomes a reason, never an error."""
    sha = sha or sha256(data).digest()
    try:
        source = Source.from_bytes(data, path)
        found = recognise(source, tables)
        if isinstance(found, Unknown):
            return Digest(sha, REFUSED, storable(f"{found.says()}; {HINT}"), "")
        file = read_tree(found.tree, found.table, shape=found.shape)
        if not file.readings:
            return Digest(sha, REFUSED, "has no profile in it", found.table.dialect)
        family = Family()
        family.add(file)
        resolve(family)
        failed = next((r.error for r in file.readings if r.error is not None and not r.parents), None)
        if failed is not None:
            raise failed
        portraits = tuple(portray(reading) for reading in file.readings)
        _part(file)
        return Digest(sha, READ, "", found.table.dialect, portraits)
    except BeadwiseError as error:
        return Digest(sha, *_judge(error, path, tables), "")


def _part(file: FileReading) -> None:
    """Let a file go at once: its readings hold the file, and their profiles hold the readings."""
    for reading in file.readings:
        reading.profile = None
    file.readings.clear()


def _judge(error: BeadwiseError, path: str, tables: Tables) -> tuple[str, str]:
    """A file that no syntax can read is no settings file, unless its name says that it is one."""
    why = reason(error)
    general = error.where is None or error.where.line is None
    if general and error.says.startswith(("holds", "is empty")) and tables.by_suffix(path) is None:
        return SKIPPED, f"no settings file: {why}"
    return REFUSED, why


def reason(error: BeadwiseError) -> str:
    """An error without the file's path: line and column, what is wrong, what to do."""
    where = error.where
    place = ""
    if where is not None and where.line is not None:
        place = f"line {where.line}: " if where.column is None else f"line {where.line}, column {where.column}: "
    return storable(f"{place}{error.says}" + (f"; {error.hint}" if error.hint else ""))


def portray(reading: Reading) -> Portrait:
    """A reading as plain data."""
    profile = reading.profile
    meaning: Meaning | None = None
    labels: dict[str, Value] = {}
    added: tuple[str, ...] = ()
    if profile is not None:
        meaning, labels = understand(profile.settings)
        if isinstance(profile.origins, Origins) and (profile.origins.defaults or profile.origins.derived):
            added = (*profile.origins.defaults, *profile.origins.derived)
    return Portrait(
        storable(reading.name) if _is_named(reading) else None,
        bits(reading.scopes),
        meaning,
        tuple(label_cell(labels.get(name)) for name in LABELS),
        None if not reading.parents and all(_is_plain(label) for label in labels.values()) else encode(reading.own),
        added,
        tuple((storable(name), *_place(reading, index)) for name, index in reading.parents),
        tuple(sorted(reading.broken)),
        reading.file.tree.source.place(reading.start)[0] if reading.start else 1,
        reading.error is not None,
    )


def _is_plain(label: Value) -> bool:
    """Whether the column of a label holds all of it."""
    return isinstance(label, str) and label_cell(label) == label and not label.startswith(LIST)


def _is_named(reading: Reading) -> bool:
    """Whether the file says the profile's name; else the name is the file's own, and a copy may have another."""
    layout, rows = reading.table.layout, reading.file.tree.rows
    key = layout.name.get("key")
    return layout.profile == "group" or any(
        one.role == "book" and one.key == key and rows[one.entry][2] for one in reading.records
    )


def _place(reading: Reading, index: int) -> tuple[int, int]:
    where = location(reading, index) if index >= 0 else reading.file.tree.source.location(reading.start)
    return where.line or 1, where.column or 1


def bits(scopes: tuple[str, ...]) -> int:
    """Scopes as bits, in the order of SCOPES.

    >>> bits(("machine", "process"))
    5
    """
    return sum(1 << at for at, scope in enumerate(SCOPES) if scope in scopes)


def scopes_of(number: int) -> tuple[str, ...]:
    """The scopes of such bits."""
    return tuple(scope for at, scope in enumerate(SCOPES) if number >> at & 1)


def stem(path: str) -> str:
    """The name of a profile that only its file names, as the reader makes it."""
    name = path.replace("\\", "/").rsplit("/", 1)[-1]
    return (name.partition(".")[0] if not name.startswith(".") else name) or name
