"""Brings a catalogue up to date with its archive: scan, read, look up parents, journal.

Each batch is one transaction, so a run that is killed has done some batches and not the others; the next one goes on.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import chain
from typing import TYPE_CHECKING

from convert.archive.catalogue import Catalogue
from convert.archive.outcome import Outcome, Same, Task
from convert.archive.pool import Pool
from convert.archive.scan import NO_TIME, Item, Scan, touched
from convert.dialects.registry import Registry
from convert.errors import InputError, Location, OutputError, UsageError
from convert.files import reason

if TYPE_CHECKING:
    from convert.archive.cluster import Cluster
    from convert.archive.recorder import Recorder

Progress = Callable[[int], None]
"""Told how many files have been looked at."""
Digests = Callable[[Iterable[list[Task]]], Iterator[list[Outcome]]]
"""The outcomes of batches of files, in order."""


@dataclass(slots=True)
class Summary:
    """What a run found. found = read + refused + skipped; `unchanged` of them were not read again."""

    found: int = 0
    read: int = 0
    distinct: int = 0
    unchanged: int = 0
    profiles: int = 0
    meanings: int = 0
    refused: list[tuple[str, str]] = field(default_factory=list)
    skipped: list[tuple[str, str]] = field(default_factory=list)
    unresolved: list[tuple[str, str, str]] = field(default_factory=list)


def normalise(
    archive: str,
    into: str,
    jobs: int = 1,
    tables: Sequence[str] = (),
    tool: str = "",
    progress: Progress | None = None,
    cluster: Cluster | None = None,
) -> Summary:
    """Read an archive into the catalogue in a folder. OutputError if it is in use or the disk refuses.

    With a cluster, the files are read there instead of by `jobs` processes here.
    """
    _apart(archive, into)
    registry = Registry(tables)
    with Catalogue(into, write=True) as catalogue:
        pool = Pool(jobs, _prepare, (tuple(os.path.abspath(path) for path in tables),))

        def digests(batches: Iterable[list[Task]]) -> Iterator[list[Outcome]]:
            if cluster is None:
                return pool.map(_digest_batch, batches)
            from convert.archive.remote import outcomes

            return outcomes(cluster, registry, batches)

        try:
            number = _begin(catalogue, os.path.abspath(archive), registry, tool)
            try:
                scan = Scan(catalogue, archive)
                _read(catalogue, scan, digests, progress)
            except BaseException as error:
                pool.close(at_once=True)
                _end(catalogue, number, "interrupted" if isinstance(error, KeyboardInterrupt) else "failed")
                raise
            if catalogue.fact("dirty"):
                from convert.archive.heirs import resolve_all

                resolve_all(catalogue, registry)
            _end(catalogue, number, "done", scan)
        finally:
            pool.close()
        return summary(catalogue, scan.unchanged)


def _apart(archive: str, into: str) -> None:
    """The archive is never written to, so the catalogue lies elsewhere."""
    if not os.path.isdir(archive):
        what = "is no folder" if os.path.lexists(archive) else "does not exist"
        raise InputError(what, Location(archive), "name the folder that holds the archive")
    root, target = os.path.realpath(archive), os.path.realpath(into)
    if target == root or target.startswith(root.rstrip(os.sep) + os.sep):
        raise UsageError("the catalogue would lie in the archive", Location(into), "name a folder outside of it")


def _begin(catalogue: Catalogue, archive: str, registry: Registry, tool: str) -> int:
    """Write the journal's line, and mark what other tables or another version read."""
    from datetime import UTC, datetime

    known = catalogue.fact("archive")
    if known is not None and known != archive:
        raise OutputError(
            f"holds the catalogue of {known}", Location(catalogue.folder), "give each archive an --into of its own"
        )
    shas = {name: _sha(registry.heads[name].path) for name in registry.names()}
    before = dict(catalogue.rows("SELECT dialect, sha FROM dialects"))
    changed = sorted(name for name in before.keys() | shas.keys() if before.get(name) != shas.get(name))
    with catalogue.atomic() as db:
        catalogue.set_fact("archive", archive)
        if catalogue.fact("tool") != tool:
            _stale(catalogue, "1")
        elif before and changed:
            for name in changed:
                _stale(catalogue, "dialect = ?", name)
            # A file that no table fitted may be one of the new or changed table.
            _stale(catalogue, "dialect = '' AND sha <> x'' AND status <> 'read'")
        catalogue.set_fact("tool", tool)
        if changed:
            db.execute("DELETE FROM dialects")
            db.executemany("INSERT INTO dialects VALUES (?, ?)", shas.items())
        text = " ".join(f"{name}={sha[:12]}" for name, sha in shas.items())
        now = datetime.now(UTC).isoformat(timespec="seconds")
        made = db.execute("INSERT INTO runs (started, tool, tables) VALUES (?, ?, ?)", (now, tool, text)).lastrowid
    assert made is not None
    return made


def _stale(catalogue: Catalogue, which: str, *values: str) -> None:
    db = catalogue.db
    db.execute(f"UPDATE files SET mtime = {NO_TIME}, sha = NULL WHERE {which}", values)
    db.execute(
        f"UPDATE folders SET mtime = {NO_TIME} WHERE size IS NOT NULL"
        f" AND id IN (SELECT folder FROM files WHERE mtime = {NO_TIME} AND sha IS NULL)"
    )


def _sha(path: str) -> str:
    try:
        with open(path, "rb") as file:
            return sha256(file.read()).hexdigest()
    except OSError as error:
        raise InputError(f"cannot be read: {reason(error)}", Location(path)) from None


def _end(catalogue: Catalogue, number: int, outcome: str, scan: Scan | None = None) -> None:
    from datetime import UTC, datetime

    now = datetime.now(UTC).isoformat(timespec="seconds")
    values = (now, outcome, scan.looked if scan else None, scan.unchanged if scan else None, number)
    try:
        with catalogue.atomic() as db:
            db.execute("UPDATE runs SET ended = ?, outcome = ?, looked = ?, unchanged = ? WHERE id = ?", values)
    except OutputError:
        if outcome == "done":
            raise  # otherwise the error that ended the run is the one to tell


def _read(catalogue: Catalogue, scan: Scan, digests: Digests, progress: Progress | None) -> None:
    """Look at everything, and write what is new. What reads and writes is loaded only if anything is."""
    batches = scan.batches()
    first = next(batches, None)
    if first is None and not scan.gone():
        return
    from convert.archive.recorder import Recorder

    recorder = Recorder(catalogue)
    waiting: deque[list[Item]] = deque()

    def pieces() -> Iterator[list[Task]]:
        for batch in chain([first] if first is not None else [], batches):
            waiting.append(batch)
            yield [item.task for item in batch if item.task is not None]

    done = 0
    for outcomes in digests(pieces()):
        batch = waiting.popleft()
        with catalogue.atomic():
            if _write(recorder, batch, iter(outcomes)):
                touched(catalogue)
        done += len(outcomes)
        if progress is not None:
            progress(scan.unchanged + done)
    with catalogue.atomic():
        gone = scan.gone()
        for folder in gone:
            recorder.drop_folder(folder)
        if gone:
            touched(catalogue)


def _prepare(given: tuple[str, ...]) -> None:
    from convert.archive.work import prepare

    prepare(given)


def _digest_batch(tasks: list[Task]) -> list[Outcome]:
    from convert.archive.work import digest_batch

    return digest_batch(tasks)


def _write(recorder: Recorder, batch: list[Item], outcomes: Iterator[Outcome]) -> bool:
    """Write a batch; whether profiles came or went."""
    changed = False
    for item in batch:
        if item.gone:
            recorder.drop(item.gone)
            changed = True
        elif item.done:
            recorder.db.execute(
                "UPDATE folders SET size = ?, mtime = ? WHERE id = ?", (item.size, item.mtime, item.folder)
            )
        else:
            found = next(outcomes) if item.task is not None else item.digest
            if isinstance(found, Same):
                recorder.same(item.folder, item.name, item.size, item.mtime, item.made)
            else:
                assert found is not None
                recorder.file(item.folder, item.name, item.size, item.mtime, item.made, found)
                changed = True
    return changed


PATH = "CASE WHEN d.path = '' OR d.path LIKE '%!' THEN d.path || f.name ELSE d.path || '/' || f.name END"
"""The shown path of a file `f` in a folder `d`, in SQL."""


def summary(catalogue: Catalogue, unchanged: int = 0) -> Summary:
    """What the catalogue holds."""
    made = Summary(unchanged=unchanged)
    kept = catalogue.fact("summary")
    if kept is None:
        counts = catalogue.one("SELECT count(*), count(DISTINCT sha) FROM files WHERE status = 'read'")
        others = catalogue.one("SELECT count(*), count(DISTINCT meaning) FROM profiles")
        kept = " ".join(map(str, (*counts, *others)))
        if catalogue.lock is not None:
            with catalogue.atomic():
                catalogue.set_fact("summary", kept)
    made.read, made.distinct, made.profiles, made.meanings = map(int, kept.split())
    for status, into in (("refused", made.refused), ("skipped", made.skipped)):
        into += catalogue.rows(
            f"SELECT {PATH}, f.why FROM files f JOIN folders d ON d.id = f.folder"
            " WHERE f.status <> 'read' AND f.status = ? ORDER BY 1",
            status,
        )
    made.unresolved = list(
        catalogue.rows(
            f"SELECT {PATH}, p.name, p.error FROM profiles p JOIN files f ON f.id = p.file"
            " JOIN folders d ON d.id = f.folder WHERE p.outside AND p.error IS NOT NULL ORDER BY 1, 2"
        )
    )
    made.found = made.read + len(made.refused) + len(made.skipped)
    return made
