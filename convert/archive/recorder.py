"""Writes outcomes into the catalogue; every method belongs inside `Catalogue.atomic`."""

from __future__ import annotations

import json
from collections.abc import Iterable

from convert.archive.catalogue import Catalogue
from convert.archive.digest import stem
from convert.archive.meaning import LABELS, columns
from convert.archive.outcome import Digest, Meaning, Portrait
from convert.archive.steps import quoted

MOST_IDS = 20_000
"""Meanings whose ids are remembered between files."""

_PROFILE = (
    "INSERT INTO profiles (file, ordinal, folder, dialect, name, scopes, meaning, own, added, parents, broken, line,"
    " outside, " + ", ".join(quoted(name) for name in LABELS) + ") VALUES (" + ", ".join("?" * (13 + len(LABELS))) + ")"
)


class Recorder:
    """The single writer of files, profiles and meanings."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue, self.db = catalogue, catalogue.db
        self._ids: dict[bytes, int] = {}
        self._numbers = "INSERT INTO numbers VALUES (" + ", ".join("?" * (1 + len(columns()))) + ")"

    def file(self, folder: int, name: str, size: int, mtime: int, made: int, found: Digest) -> None:
        """A file as it was found now, in the place of what was known of it."""
        known = self.db.execute("SELECT id FROM files WHERE folder = ? AND name = ?", (folder, name)).fetchone()
        values = (size, mtime, made, found.sha, found.status, found.why, found.dialect)
        if known is None:
            file = self.db.execute(
                "INSERT INTO files (folder, name, size, mtime, made, sha, status, why, dialect)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (folder, name, *values),
            ).lastrowid
        else:
            file = known[0]
            self.db.execute("DELETE FROM profiles WHERE file = ?", (file,))
            self.db.execute(
                "UPDATE files SET size = ?, mtime = ?, made = ?, sha = ?, status = ?, why = ?, dialect = ?"
                " WHERE id = ?",
                (*values, file),
            )
        assert file is not None
        if found.portraits:
            rows = [self._profile(file, folder, name, found.dialect, at, one) for at, one in enumerate(found.portraits)]
            self.db.executemany(_PROFILE, rows)

    def _profile(self, file: int, folder: int, name: str, dialect: str, ordinal: int, one: Portrait) -> tuple:
        return (
            file,
            ordinal,
            folder,
            dialect,
            stem(name) if one.name is None else one.name,
            one.scopes,
            None if one.meaning is None else self.meaning(one.meaning),
            one.own,
            json.dumps(one.added) if one.added else "[]",
            json.dumps(one.parents) if one.parents else "[]",
            json.dumps(one.broken) if one.broken else "[]",
            one.line,
            int(one.outside),
            *one.labels,
        )

    def meaning(self, found: Meaning) -> int:
        """The id of a meaning, which is stored if it is new."""
        known = self._ids.get(found.digest)
        if known is not None:
            return known
        row = self.db.execute("SELECT id FROM meanings WHERE digest = ?", (found.digest,)).fetchone()
        if row is None:
            assert found.body, "a meaning came without its text before it was stored"
            made = self.db.execute(
                "INSERT INTO meanings (digest, scopes, size, body) VALUES (?, ?, ?, ?)",
                (found.digest, found.scopes, found.size, found.body),
            ).lastrowid
            assert made is not None
            self.db.execute(self._numbers, (made, *found.row))
            row = (made,)
        if len(self._ids) >= MOST_IDS:
            self._ids.clear()
        self._ids[found.digest] = row[0]
        return int(row[0])

    def same(self, folder: int, name: str, size: int, mtime: int, made: int) -> None:
        """A file that was looked at again and holds what it held."""
        self.db.execute(
            "UPDATE files SET size = ?, mtime = ?, made = ? WHERE folder = ? AND name = ?",
            (size, mtime, made, folder, name),
        )

    def drop(self, files: Iterable[int]) -> None:
        """Files that are gone."""
        ids = [(file,) for file in files]
        self.db.executemany("DELETE FROM profiles WHERE file = ?", ids)
        self.db.executemany("DELETE FROM files WHERE id = ?", ids)

    def drop_folder(self, folder: int) -> None:
        """A folder or zip that is gone, with its files."""
        self.db.execute("DELETE FROM profiles WHERE folder = ?", (folder,))
        self.db.execute("DELETE FROM files WHERE folder = ?", (folder,))
        self.db.execute("DELETE FROM folders WHERE id = ?", (folder,))

    def sweep(self) -> None:
        """Take away meanings that no profile has any more."""
        left = "SELECT id FROM meanings WHERE id NOT IN (SELECT meaning FROM profiles WHERE meaning IS NOT NULL)"
        for table, key in (("findings", "meaning"), ("numbers", "id"), ("meanings", "id")):
            self.db.execute(f"DELETE FROM {table} WHERE {key} IN ({left})")
        self._ids.clear()
