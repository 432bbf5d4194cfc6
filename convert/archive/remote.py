"""The per-file work where the archive is not at hand: a pure function of what it is sent.

The bytes of the files travel, and so do the name tables that are not shipped: a worker needs neither the archive nor
the user's tables, only beadwise, and exactly the one that runs here. Zips are opened here; a file that holds what it
held before is not sent. The bytes are small beside the work on them.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from functools import cache, lru_cache
from hashlib import sha256
from typing import NamedTuple

from convert.archive.cluster import Cluster, short
from convert.archive.digest import Tables, digest
from convert.archive.outcome import Digest, Outcome, Same, Task
from convert.archive.pool import Engine, Result, Work
from convert.archive.work import contents
from convert.dialects.registry import Registry
from convert.errors import Location, NothingDone


class Parcel(NamedTuple):
    """Files (bytes, path) to read, the name tables beside the shipped ones, and the release that must read them."""

    release: str
    tables: tuple[tuple[str, bytes], ...]
    files: tuple[tuple[bytes, str], ...]


@cache
def release() -> str:
    """A hash of beadwise's code, name tables and schemas: where it is the same, all files read the same."""
    from convert import resources

    made = sha256()
    for root in (os.path.dirname(resources.__file__), resources.folder("mappings"), resources.folder("schemas")):
        for folder, inner, names in os.walk(root):
            inner[:] = sorted(name for name in inner if name not in ("__pycache__", "_data"))
            for name in sorted(name for name in names if not name.endswith((".pyc", ".pyo"))):
                path = os.path.join(folder, name)
                made.update(os.path.relpath(path, root).replace(os.sep, "/").encode())
                with open(path, "rb") as file:
                    made.update(sha256(file.read()).digest())
    return made.hexdigest()[:16]


@lru_cache(maxsize=4)
def _tables(contents: tuple[tuple[str, bytes], ...]) -> Tables:
    return Tables(Registry(contents=dict(contents)))


def digest_parcel(parcel: Parcel) -> list[Digest]:
    """The outcomes of some files, in order. NothingDone if another release is asked for."""
    _agree(parcel.release)
    tables = _tables(parcel.tables)
    return [digest(data, path, tables) for data, path in parcel.files]


def map_agreed(cluster: Engine, function: Callable[[Work], Result], work: Iterable[Work]) -> Iterator[Result]:
    """As the cluster's `map`, and NothingDone if a worker has another release."""
    return cluster.map(_agreed, ((release(), function, piece) for piece in work))


def _agreed(asked: tuple[str, Callable[[Work], Result], Work]) -> Result:
    wanted, function, piece = asked
    _agree(wanted)
    return function(piece)


def _agree(wanted: str) -> None:
    """A worker may join when those that were there have been asked already (`check`)."""
    if wanted != release():
        raise _differs("a worker", release(), wanted)


def check(cluster: Cluster) -> None:
    """NothingDone unless all workers have the release that runs here."""
    here = release()
    for worker, found in sorted(cluster.each(release).items()):
        if isinstance(found, BaseException):
            hint = "install on the workers what is installed here"
            raise NothingDone(f"the worker {worker} has no beadwise: {short(found)}", Location(cluster.place), hint)
        if found != here:
            raise _differs(f"the worker {worker}", found, here)


def _differs(who: str, there: str, here: str) -> NothingDone:
    says = f"{who} has another beadwise (code and tables {there}, here {here})"
    return NothingDone(says, None, "install on the workers what is installed here")


def outcomes(cluster: Cluster, registry: Registry, batches: Iterable[list[Task]]) -> Iterator[list[Outcome]]:
    """The outcomes of batches of files, in order."""
    tables, here = tuple(registry.contents().items()), Tables(registry)
    waiting: deque[list[Outcome | None]] = deque()

    def parcels() -> Iterator[Parcel]:
        for batch in batches:
            known: list[Outcome | None] = []
            files = []
            for task, found in zip(batch, contents(batch, here), strict=True):
                if isinstance(found, Digest):
                    known.append(found)
                elif sha256(found).digest() == task.known:
                    known.append(Same(task.known))
                else:
                    known.append(None)
                    files.append((found, task.path))
            waiting.append(known)
            yield Parcel(release(), tables, tuple(files))

    for digests in cluster.map(digest_parcel, parcels()):
        read = iter(digests)
        yield [next(read) if found is None else found for found in waiting.popleft()]
