"""The catalogue: one SQLite file in a folder, and the one way to write to it.

Everything that is written goes through `atomic`, so whoever is killed leaves the state before or after, never between.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from convert.archive.lock import Lock
from convert.archive.steps import STEPS
from convert.errors import InputError, Location, NothingDone, OutputError
from convert.files import reason

NAME = "catalogue.sqlite"
PAGE = 8192
"""Bytes a page: a row of numbers fits into one."""


class Catalogue:
    """An open catalogue. `write=True` takes its lock and brings its tables up to date."""

    def __init__(self, folder: str, write: bool = False) -> None:
        self.folder = folder
        self.path = os.path.join(folder, NAME)
        self.lock: Lock | None = None
        if write:
            self._prepare()
            self.lock = Lock(folder)
        try:
            with self.guarded():
                self.db = self._connect(write)
                if write:
                    self._tune()
                    self._step()
                else:
                    self._check()
        except BaseException:
            self.close()
            raise

    def _prepare(self) -> None:
        try:
            os.makedirs(self.folder, exist_ok=True)
        except OSError as error:
            raise OutputError(
                f"cannot be made: {reason(error)}", Location(self.folder), "name another folder"
            ) from None

    def _connect(self, write: bool) -> sqlite3.Connection:
        if write:
            return sqlite3.connect(self.path, isolation_level=None, timeout=20)
        if not os.path.isfile(self.path):
            raise NothingDone("there is no catalogue", Location(self.folder), "make one with 'beadwise normalise'")
        from urllib.parse import quote

        place = "file:" + quote(os.path.abspath(self.path))
        sealed = (
            "&immutable=1" if not os.access(self.folder, os.W_OK) and not os.path.exists(self.path + "-wal") else ""
        )
        return sqlite3.connect(f"{place}?mode=ro{sealed}", uri=True, isolation_level=None, timeout=20)

    def _tune(self) -> None:
        """Pages, journal and cache of a catalogue that is written to."""
        self.db.execute(f"PRAGMA page_size = {PAGE}")
        self.db.execute("PRAGMA journal_mode = WAL")
        self.db.execute("PRAGMA synchronous = NORMAL")
        self.db.execute("PRAGMA cache_size = -16000")

    # ---- versions

    def _version(self) -> int:
        version: int = self.db.execute("PRAGMA user_version").fetchone()[0]
        if version > len(STEPS):
            raise OutputError(
                "the catalogue was made by a later version of beadwise",
                Location(self.path),
                "use that, or another --into",
            )
        return version

    def _step(self) -> None:
        for number in range(self._version(), len(STEPS)):
            with self.atomic():
                for statement in STEPS[number]():
                    self.db.execute(statement)
                self.db.execute(f"PRAGMA user_version = {number + 1}")

    def _check(self) -> None:
        if self._version() < len(STEPS):
            raise OutputError(
                "the catalogue is unfinished or of an earlier version",
                Location(self.path),
                "run 'beadwise normalise' again",
            )

    # ---- writing

    @contextmanager
    def atomic(self) -> Iterator[sqlite3.Connection]:
        """The one way to write: all of the block happens, or nothing of it. OutputError if the disk refuses."""
        with self.guarded():
            self.db.execute("BEGIN IMMEDIATE")
            try:
                yield self.db
                self.db.execute("COMMIT")
            except BaseException:
                if self.db.in_transaction:
                    self.db.execute("ROLLBACK")
                raise

    @contextmanager
    def guarded(self) -> Iterator[None]:
        """Faults of the database as errors that say what to do."""
        where = Location(self.path)
        try:
            yield
        except sqlite3.OperationalError as error:
            says = str(error).lower()
            if "full" in says:
                hint = "make room and run again; what is in the catalogue is sound"
                raise OutputError("cannot be written: the disk is full", where, hint) from None
            if "locked" in says or "busy" in says:
                raise OutputError("is in use by another program", where, "wait for it to end") from None
            if any(word in says for word in ("readonly", "unable to open", "disk i/o", "permission")):
                hint = "check its permissions and the disk; what is in the catalogue is sound"
                raise OutputError(f"cannot be used: {says}", where, hint) from None
            raise
        except sqlite3.DatabaseError as error:
            if isinstance(error, (sqlite3.IntegrityError, sqlite3.ProgrammingError)):
                raise
            hint = "delete it and run 'beadwise normalise' again; the archive is as it was"
            raise InputError(f"is no sound catalogue: {str(error).lower()}", where, hint) from None

    # ---- reading

    def rows(self, sql: str, *values: Any) -> sqlite3.Cursor:
        """The rows of a query."""
        with self.guarded():
            return self.db.execute(sql, values)

    def one(self, sql: str, *values: Any) -> Any:
        """The first row of a query, or None."""
        return self.rows(sql, *values).fetchone()

    def fact(self, name: str) -> str | None:
        found = self.one("SELECT value FROM facts WHERE name = ?", name)
        return found[0] if found else None

    def set_fact(self, name: str, value: str) -> None:
        """To be called inside `atomic`."""
        self.db.execute("INSERT OR REPLACE INTO facts VALUES (?, ?)", (name, value))

    def close(self) -> None:
        if hasattr(self, "db"):
            self.db.close()
        if self.lock is not None:
            self.lock.release()
            self.lock = None

    def __enter__(self) -> Catalogue:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()
