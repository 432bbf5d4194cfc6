"""What the keys of a profile tell before its values are looked at.

Files of one program have the same keys in the same order again and again, so what each entry is (a row's value, the
profile's name, beaten by a later one, unknown) is worked out once for a list of keys, and remembered with the table.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any, NamedTuple

from convert.dialects.lenses import Lens
from convert.dialects.table import Table

MOST_KEYS = 16_000
"""Keys in the shapes that a table remembers; some hundred bytes each."""

Row = tuple[tuple[str, ...], str, Any, Any]
"""An entry of a tree: path, key, value, mark."""


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


class Part(NamedTuple):
    """The rows in force where a profile has these `scopes`. Entries are counted from the profile's first.

    `records` has one for each entry, as if all values could be read. `single` are the entries of rows with one key
    (ordinal, key, lens), `joint` those of rows with several.
    """

    scopes: tuple[str, ...]
    records: tuple[Record, ...]
    single: tuple[tuple[int, str, Lens], ...]
    joint: tuple[tuple[Lens, tuple[tuple[int, str], ...]], ...]

    def ordinals(self) -> dict[str, int]:
        """The entry of each key that a row reads, in order."""
        found = {key: at for at, key, _ in self.single}
        found.update((key, at) for _, members in self.joint for at, key in members)
        return dict(sorted(found.items(), key=lambda item: item[1]))


class _Sorted(NamedTuple):
    """Entries by what their keys are; `keyed` are those that rows may name, `last` is the last entry of each key."""

    books: tuple[tuple[int, str, str], ...]
    keyed: list[tuple[int, str]]
    last: dict[str, int]
    records: dict[int, Record]


class Shape:
    """The keys of a profile, or of a whole file, as a table sees them.

    Of `keys` entries, `known` are in some row or in the bookkeeping, and those of `marks` may hold the dialect's mark.
    `notes` is for what others work out from the keys.
    """

    def __init__(self, table: Table, paths: Sequence[tuple[str, ...]], names: Sequence[str]) -> None:
        self.table, self.paths, self.names = table, paths, names
        self.notes: dict[Any, Any] = {}
        self._parts: dict[tuple[str, ...], Part] = {}
        self._depth = table.layout.depth if table.layout.profile == "group" else 0
        self._count()

    def _count(self) -> None:
        table, layout, depth = self.table, self.table.layout, self._depth
        books = layout.bookkeeping()
        self.known = self.keys = 0
        marks = []
        for at, (path, name) in enumerate(zip(self.paths, self.names, strict=True)):
            if path[:1] and path[0] in layout.keeps:
                continue
            inner = path[depth:]
            self.keys += 1
            if name in books and not inner:
                self.known += 1
                if books[name] == "mark":
                    marks.append(at)
            elif len(path) >= depth and table.key_of(inner, name) in table.all_keys:
                self.known += 1
        self.marks = tuple(marks)

    @cached_property
    def _sorted(self) -> _Sorted:
        table, layout, depth = self.table, self.table.layout, self._depth
        books, keeps = layout.bookkeeping(), layout.keeps
        plain = not layout.path
        made = _Sorted((), [], {}, {})
        said: dict[str, int] = {}
        for at, (path, key) in enumerate(zip(self.paths, self.names, strict=True)):
            inner = path[depth:]
            if not inner and key in books:
                if key in said:
                    made.records[said[key]] = Record(said[key], key, "beaten")
                said[key] = at
                made.records[at] = Record(at, key, "book")
            elif (inner[0] if inner else key) in keeps:
                made.records[at] = Record(at, "/".join((*inner, key)), "book")
            else:
                named = key if plain and not inner else table.key_of(inner, key)
                if named is None:
                    made.records[at] = Record(at, "/".join((*inner, key)), "unknown")
                else:
                    made.last[named] = at
                    made.keyed.append((at, named))
        return made._replace(books=tuple((at, key, books[key]) for key, at in said.items()))

    @property
    def books(self) -> tuple[tuple[int, str, str], ...]:
        """The entries that say scope, name or parent: ordinal, key, and which of these."""
        return self._sorted.books

    def part(self, scopes: tuple[str, ...]) -> Part:
        """The rows in force for a profile that says it has these scopes."""
        found = self._parts.get(scopes)
        if found is None:
            found = self._parts[scopes] = self._part(scopes)
        return found

    def _part(self, scopes: tuple[str, ...]) -> Part:
        scopes, lenses = self._lenses(scopes)
        _, keyed, last, before = self._sorted
        records = dict(before)
        single = []
        joint: dict[int, tuple[Lens, list[tuple[int, str]]]] = {}
        for at, key in keyed:
            lens = lenses.get(key)
            if lens is None:
                records[at] = Record(at, key, "unknown")
            elif last[key] != at:
                records[at] = Record(at, key, "beaten", lens.settings)
            else:
                records[at] = Record(at, key, "row", lens.settings)
                if len(lens.keys) > 1:
                    joint.setdefault(id(lens), (lens, []))[1].append((at, key))
                else:
                    single.append((at, key, lens))
        ordered = tuple(records[at] for at in sorted(records))
        return Part(scopes, ordered, tuple(single), tuple((lens, tuple(members)) for lens, members in joint.values()))

    def _lenses(self, scopes: tuple[str, ...]) -> tuple[tuple[str, ...], Mapping[str, Lens]]:
        """A whole-file profile of one scope shows which one by the keys it has."""
        table = self.table
        if len(scopes) == 1:
            return scopes, table.by_key.get(scopes[0], {})
        if table.layout.holds == "scope":
            counts = {scope: sum(key in lenses for key in self._sorted.last) for scope, lenses in table.by_key.items()}
            best = max(counts, key=lambda scope: counts[scope], default="")
            if best and counts[best]:
                return (best,), table.by_key[best]
        return scopes, table.keys_for(scopes)


def shape_of(table: Table, rows: Sequence[Row]) -> Shape:
    """The shape of some entries, remembered within a bound."""
    names = tuple([row[1] for row in rows])
    paths = tuple([row[0] for row in rows])
    key = (paths[:1] if paths == paths[:1] * len(paths) else paths, names)
    shape: Shape | None = table.shapes.get(key)
    if shape is None:
        shape = Shape(table, paths, names)
        remembered = list(table.shapes)  # at once: a cluster's worker may read in several threads
        if sum(len(one) for _, one in remembered) + len(names) > MOST_KEYS:
            table.shapes.clear()
        if len(names) <= MOST_KEYS:
            table.shapes[key] = shape
    return shape
