"""What a worker does with a batch of files: read the bytes, digest them, give back plain results."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from hashlib import sha256

from convert.archive.digest import Tables, digest
from convert.archive.outcome import REFUSED, SKIPPED, Digest, Outcome, Same, Task
from convert.archive.zips import Zip
from convert.dialects.registry import Registry
from convert.errors import BeadwiseError
from convert.files import read_bytes
from convert.text.limits import LIMITS

MOST_REMEMBERED = 2000
"""Digests a worker keeps: archives are full of copies."""
MOST_SENT = 20_000
"""Hashes of meanings a worker keeps."""

_tables: Tables | None = None
_remembered: dict[tuple[bytes, str], Digest] = {}
_sent: set[bytes] = set()


def prepare(given: tuple[str, ...]) -> None:
    """Load the name tables, once a worker."""
    global _tables
    _tables = Tables(Registry(given))
    _remembered.clear()
    _sent.clear()


def digest_batch(tasks: list[Task]) -> list[Outcome]:
    """The outcomes of some files, in order.

    The collector of cycles would look at every new tree several times; it is called once at the end instead, for what
    the batch left behind.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        return _digest_batch(tasks)
    finally:
        gc.collect(0)
        if collecting:
            gc.enable()


def _digest_batch(tasks: list[Task]) -> list[Outcome]:
    assert _tables is not None
    return [
        found if isinstance(found, Digest) else digest_one(found, task.path, task.known)
        for task, found in zip(tasks, contents(tasks, _tables), strict=True)
    ]


def contents(tasks: list[Task], tables: Tables) -> Iterator[bytes | Digest]:
    """The bytes of each file, or why it has none."""
    opened: Zip | None = None
    try:
        for task in tasks:
            try:
                if task.zip:
                    if opened is None or opened.path != task.zip:
                        if opened is not None:
                            opened.close()
                            opened = None
                        opened = Zip(task.zip)
                    yield opened.read(int(task.real))
                else:
                    yield read_bytes(task.real, LIMITS["size"].most)
            except BeadwiseError as error:
                yield _unreadable(task, error, tables)
    finally:
        if opened is not None:
            opened.close()


def _unreadable(task: Task, error: BeadwiseError, tables: Tables) -> Digest:
    """A file that gives no bytes; one too large that is no text is none of ours."""
    if "more than the limit" in error.says and not task.zip and tables.by_suffix(task.path) is None:
        try:
            with open(task.real, "rb") as file:
                head = file.read(4096)
        except OSError:
            head = b""
        if b"\0" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")):
            return Digest(b"", SKIPPED, "no settings file: large, and no text", "")
    return Digest(b"", REFUSED, error.says, "")


def digest_one(data: bytes, path: str, known: bytes = b"") -> Outcome:
    """The outcome for one file's bytes; the same bytes are not read twice."""
    assert _tables is not None
    sha = sha256(data).digest()
    if sha == known:
        return Same(sha)
    table = _tables.by_suffix(path)  # all that a digest takes from the file's name
    key = (sha, table.dialect if table else "")
    found = _remembered.get(key)
    if found is None:
        found = _lightened(digest(data, path, _tables, sha))
        if len(_remembered) >= MOST_REMEMBERED:
            _remembered.clear()
        _remembered[key] = _without_texts(found)
    return found


def _lightened(found: Digest) -> Digest:
    """Without the texts of meanings that this worker has sent before; the catalogue has them by then."""
    known = {p.meaning.digest for p in found.portraits if p.meaning is not None and p.meaning.digest in _sent}
    if len(_sent) > MOST_SENT:
        _sent.clear()
    _sent.update(p.meaning.digest for p in found.portraits if p.meaning is not None)
    return _without_texts(found, known)


def _without_texts(found: Digest, known: set[bytes] | None = None) -> Digest:
    """Without the texts of these meanings, or of all."""
    if known is not None and not known:
        return found
    return found._replace(
        portraits=tuple(
            portrait._replace(meaning=portrait.meaning._replace(body="", row=()))
            if portrait.meaning is not None and (known is None or portrait.meaning.digest in known)
            else portrait
            for portrait in found.portraits
        )
    )
