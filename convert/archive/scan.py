"""Compares the archive with the catalogue: what is new, changed or gone. Only sizes and times are looked at here.

A file whose time is so near to the look that a later change could leave the same time behind ("racy") is remembered
without its time, and read again the next time; its hash then tells whether it changed.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from convert.archive import zips
from convert.archive.catalogue import Catalogue
from convert.archive.outcome import REFUSED, Digest, Task
from convert.archive.walk import Folder, Found, join, walk
from convert.errors import InputError

RACY = 2_000_000_000
"""Nanoseconds: the coarsest clock of a file system in use (FAT) ticks every two seconds."""
NO_TIME = -1
BATCH_FILES = 48
BATCH_BYTES = 4 << 20


class Item(NamedTuple):
    """One thing to be written: a file to read (`task`), a file not read (`digest`), files gone, a zip done."""

    folder: int
    name: str = ""
    size: int = 0
    mtime: int = 0
    made: int = 0
    task: Task | None = None
    digest: Digest | None = None
    gone: tuple[int, ...] = ()
    done: bool = False


@dataclass(slots=True)
class Scan:
    """One look over the archive."""

    catalogue: Catalogue
    root: str
    looked: int = 0
    unchanged: int = 0
    seen: set[int] = field(default_factory=set)
    _rows: dict[str, tuple[int, int]] = field(default_factory=dict)

    def batches(self) -> Iterator[list[Item]]:
        """What there is to do, in pieces."""
        batch: list[Item] = []
        files = size = 0
        for item in self._items():
            batch.append(item)
            files += 1
            size += item.size if item.task else 0
            if files >= BATCH_FILES or size >= BATCH_BYTES:
                yield batch
                batch, files, size = [], 0, 0
        if batch:
            yield batch

    def _items(self) -> Iterator[Item]:
        for folder in walk(self.root, self._remembered):
            now = time.time_ns()
            same = len(folder.same)
            self.looked += same
            self.unchanged += same
            if same == len(self._rows) and not folder.files:
                continue
            gone = self._rows.keys() - folder.same
            number = self._number(folder.path) if folder.files or gone else 0
            for file in folder.files:
                gone.discard(file.name)
                known = self._file(number, file.name) if file.name in self._rows else None
                if file.is_zip:
                    yield from self._zip(folder, file, number, known, now)
                else:
                    self.looked += 1
                    yield _item(number, folder.path, file, known[1] if known else b"", "", now)
            if gone:
                yield Item(number, gone=self._ids(number, gone))

    def _remembered(self, path: str) -> dict[str, tuple[int, int]]:
        """Sizes and times of the files of a folder, as the catalogue knows them."""
        self._rows = {}
        row = self.catalogue.one("SELECT id FROM folders WHERE path = ?", path)
        if row is not None:
            self.seen.add(row[0])
            rows = self.catalogue.rows("SELECT name, size, mtime FROM files WHERE folder = ?", row[0])
            self._rows = {name: (size, mtime) for name, size, mtime in rows}
        return self._rows

    def _number(self, path: str) -> int:
        """The id of a folder, which is made if it is new."""
        row = self.catalogue.one("SELECT id FROM folders WHERE path = ?", path)
        if row is None:
            with self.catalogue.atomic() as db:
                row = (db.execute("INSERT INTO folders (path) VALUES (?)", (path,)).lastrowid,)
        self.seen.add(row[0])
        return int(row[0])

    def _file(self, folder: int, name: str) -> tuple[int, bytes] | None:
        """Id and hash of a file."""
        found: tuple[int, bytes] | None = self.catalogue.one(
            "SELECT id, sha FROM files WHERE folder = ? AND name = ?", folder, name
        )
        return found

    def _ids(self, folder: int, names: set[str]) -> tuple[int, ...]:
        return tuple(found[0] for name in sorted(names) if (found := self._file(folder, name)) is not None)

    def _zip(
        self, folder: Folder, file: Found, number: int, known: tuple[int, bytes] | None, now: int
    ) -> Iterator[Item]:
        path = join(folder.path, file.name) + "!"
        row = self.catalogue.one("SELECT id, size, mtime FROM folders WHERE path = ?", path)
        if row is not None and row[1] == file.size and row[2] == file.mtime:
            self.seen.add(row[0])
            inside: int = self.catalogue.one("SELECT count(*) FROM files WHERE folder = ?", row[0])[0]
            self.looked += inside
            self.unchanged += inside
            return
        try:
            found = zips.members(file.real)
        except InputError as error:
            self.looked += 1
            yield _item(number, folder.path, file._replace(status=REFUSED, why=error.says), b"", "", now)
            return
        if known is not None:  # it was refused before
            yield Item(number, gone=(known[0],))
        zipped = self._number(path)
        before = {
            name: (identity, sha)
            for name, identity, sha in self.catalogue.rows("SELECT name, id, sha FROM files WHERE folder = ?", zipped)
        }
        with self.catalogue.atomic() as db:
            db.execute("UPDATE folders SET size = ?, mtime = ? WHERE id = ?", (file.size, NO_TIME, zipped))
        for member in found:
            known = before.pop(member.name, None)
            self.looked += 1
            yield _item(zipped, path, member, known[1] if known else b"", file.real, 0)
        if before:
            yield Item(zipped, gone=tuple(identity for identity, _ in before.values()))
        yield Item(zipped, size=file.size, mtime=_time(file.mtime, now), done=True)

    def gone(self) -> list[int]:
        """The folders that were not met."""
        return [row[0] for row in self.catalogue.rows("SELECT id FROM folders") if row[0] not in self.seen]


def touched(catalogue: Catalogue) -> None:
    """Remember that parents have to be looked up anew. To be called inside `atomic`."""
    catalogue.set_fact("dirty", "1")
    catalogue.db.execute("DELETE FROM facts WHERE name = 'summary'")


def _item(number: int, folder: str, file: Found, known: bytes, zip_path: str, now: int) -> Item:
    mtime = _time(file.mtime, now)
    if file.status:
        return Item(number, file.name, file.size, mtime, file.mtime, digest=Digest(b"", file.status, file.why, ""))
    path = f"{folder}/{file.name}" if folder else file.name
    return Item(number, file.name, file.size, mtime, file.mtime, task=Task(path, file.real, zip_path, known or b""))


def _time(mtime: int, now: int) -> int:
    """The time to remember; none where it is racy."""
    return NO_TIME if now and now - mtime < RACY else mtime
