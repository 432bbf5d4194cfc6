"""Parents in other files: looked up in the whole catalogue once everything is read, nearest first.

The rules are those of `dialects.inherit`; only the place to look differs. A parent by name is taken from the child's
own file, then from its folder or zip, then from the folders around that, then from anywhere; of several in one place,
the first by path. Memory holds some files at a time, however large the archive is.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.archive.catalogue import Catalogue
from convert.archive.digest import reason, scopes_of
from convert.archive.meaning import LABELS, decode, label_cell, storable, understand
from convert.archive.recorder import Recorder
from convert.archive.steps import quoted
from convert.dialects.inherit import Family, Origins, resolve
from convert.dialects.reader import FileReading, Reading
from convert.dialects.registry import Registry
from convert.errors import Location
from convert.model.value import Value

BATCH = 200
MOST_FILES = 2_000
"""Files kept in memory while parents are looked up."""
MOST_CANDIDATES = 50


class Places:
    """Stands for the tree of a file whose text is not at hand: it knows where the links to parents stand."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.places: list[tuple[int, int | None]] = []
        self.source = self

    def entry(self, index: int) -> Any:
        return _Spot(index)

    def location(self, at: int) -> Location:
        return Location(self.path, *self.places[at])


@dataclass(frozen=True, slots=True)
class _Spot:
    start: int


@dataclass(slots=True)
class Archive(Family):
    """A family whose other members are in the catalogue."""

    catalogue: Any = None
    registry: Any = None
    cache: dict[int, FileReading] = field(default_factory=dict)

    def open(self, path: str, dialect: str) -> FileReading | None:
        """The file of this path."""
        folder, _, name = path.rpartition("/")
        if "!/" in path:
            folder, _, name = path.partition("!/")
            folder += "!"
        row = self.catalogue.one(
            "SELECT f.id FROM files f JOIN folders d ON d.id = f.folder"
            " WHERE d.path = ? AND f.name = ? AND f.dialect = ?",
            folder,
            name,
            dialect,
        )
        return self.file(row[0]) if row else None

    def named(self, child: Reading, name: str) -> Reading | None:
        """The nearest profile of this name that fits."""
        for reading in child.file.readings:
            if reading.name == name and _fits(reading, child):
                return reading
        folder = child.file.path.rpartition("/")[0]
        if "!/" in child.file.path:
            folder = child.file.path.partition("!/")[0] + "!"
        sql = (
            "SELECT p.file, p.ordinal FROM profiles p JOIN files f ON f.id = p.file JOIN folders d ON d.id = p.folder"
            " WHERE p.name = ? AND p.dialect = ? {} ORDER BY d.path, f.name, p.ordinal LIMIT ?"
        )
        while True:
            rows = self.catalogue.rows(
                sql.format("AND p.folder = (SELECT id FROM folders WHERE path = ?)"),
                *(name, child.table.dialect, folder, MOST_CANDIDATES),
            ).fetchall()
            found = self._first(rows, child)
            if found is not None or not folder:
                break
            folder = folder.rpartition("/")[0]
        if found is None:
            rows = self.catalogue.rows(sql.format(""), name, child.table.dialect, MOST_CANDIDATES).fetchall()
            found = self._first(rows, child)
        return found

    def _first(self, rows: list[tuple[int, int]], child: Reading) -> Reading | None:
        for file, ordinal in rows:
            reading = self.file(file).readings[ordinal]
            if reading.file.path != child.file.path and _fits(reading, child):
                return reading
        return None

    def file(self, number: int) -> FileReading:
        """A file as the catalogue knows it."""
        known = self.cache.get(number)
        if known is not None:
            return known
        row = self.catalogue.one(
            "SELECT d.path, f.name, f.dialect FROM files f JOIN folders d ON d.id = f.folder WHERE f.id = ?", number
        )
        path = f"{row[0]}/{row[1]}" if row[0] else row[1]
        tree = Places(path)
        labels = ", ".join(f"p.{quoted(name)}" for name in LABELS)
        made = FileReading(path, tree, self.registry.table(row[2]))  # type: ignore[arg-type]
        for name, scopes, own, body, added, parents, broken, line, *texts in self.catalogue.rows(
            f"SELECT p.name, p.scopes, p.own, m.body, p.added, p.parents, p.broken, p.line, {labels} FROM profiles p"
            " LEFT JOIN meanings m ON m.id = p.meaning WHERE p.file = ? ORDER BY p.ordinal",
            number,
        ):
            reading = Reading(made, (), name, scopes_of(scopes), start=len(tree.places))
            tree.places.append((line, None))
            reading.own = _own(own, body, added, texts)
            for parent, at_line, at_column in json.loads(parents):
                reading.parents.append((parent, len(tree.places)))
                tree.places.append((at_line, at_column))
            reading.broken = frozenset(json.loads(broken))
            made.readings.append(reading)
        if len(self.cache) >= MOST_FILES:
            self.cache.clear()
        self.cache[number] = made
        return made


def _own(own: str | None, body: str | None, added: str, labels: Sequence[str | None]) -> dict[str, Value]:
    """What a profile says itself: stored, or its meaning without what was added."""
    if own is not None:
        return decode(own)
    values = decode(body or "{}")
    values.update((name, text) for name, text in zip(LABELS, labels, strict=True) if text is not None)
    for name in json.loads(added):
        values.pop(name, None)
    return values


def _fits(parent: Reading, child: Reading) -> bool:
    return parent is not child and (bool(set(parent.scopes) & set(child.scopes)) or not parent.own)


def resolve_all(catalogue: Catalogue, registry: Registry) -> None:
    """Give every profile with a parent elsewhere its meaning or its error, then take away what nothing needs."""
    archive = Archive(catalogue=catalogue, registry=registry)
    recorder = Recorder(catalogue)
    last = 0
    while True:
        files = [
            row[0]
            for row in catalogue.rows(
                "SELECT DISTINCT file FROM profiles WHERE outside AND file > ? ORDER BY file LIMIT ?", last, BATCH
            )
        ]
        if not files:
            break
        last = files[-1]
        resolved = [(number, _resolved(archive, number)) for number in files]
        with catalogue.atomic():
            for number, readings in resolved:
                _store(catalogue, recorder, number, readings)
    with catalogue.atomic() as db:
        recorder.sweep()
        db.execute("DELETE FROM facts WHERE name = 'dirty'")


def _resolved(archive: Archive, number: int) -> list[Reading]:
    file = archive.file(number)
    archive.files[:] = [file]
    for reading in file.readings:
        reading.profile, reading.error = None, None
    resolve(archive)
    return file.readings


def _store(catalogue: Catalogue, recorder: Recorder, number: int, readings: list[Reading]) -> None:
    db = catalogue.db
    outside = {
        row[0]: row[1:]
        for row in db.execute("SELECT ordinal, meaning, error FROM profiles WHERE file = ? AND outside", (number,))
    }
    for ordinal, before in outside.items():
        reading = readings[ordinal]
        if reading.profile is None:
            says = reason(reading.error) if reading.error is not None else "cannot be resolved"
            if before != (None, says):
                db.execute(
                    "UPDATE profiles SET meaning = NULL, error = ? WHERE file = ? AND ordinal = ?",
                    (storable(says), number, ordinal),
                )
            continue
        meaning, labels = understand(reading.profile.settings)
        identity = recorder.meaning(meaning)
        if before == (identity, None):
            continue
        origins = reading.profile.origins
        added = [*origins.defaults, *origins.derived] if isinstance(origins, Origins) else []
        sets = ", ".join(f"{quoted(name)} = ?" for name in LABELS)
        db.execute(
            f"UPDATE profiles SET meaning = ?, error = NULL, added = ?, {sets} WHERE file = ? AND ordinal = ?",
            (identity, json.dumps(added), *(label_cell(labels.get(name)) for name in LABELS), number, ordinal),
        )
    left = db.execute("SELECT count(meaning), min(error) FROM profiles WHERE file = ?", (number,)).fetchone()
    if left[0]:
        db.execute("UPDATE files SET status = 'read', why = '' WHERE id = ? AND status <> 'read'", (number,))
    else:
        db.execute("UPDATE files SET status = 'refused', why = ? WHERE id = ?", (left[1] or "", number))
