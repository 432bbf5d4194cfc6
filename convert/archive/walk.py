"""Walks an archive: every file and every member of a zip is met exactly once, and nothing is written or followed.

Links are not followed, hidden files and folders are met but not opened, and a zip inside a zip is data like any other.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import NamedTuple

from convert.archive.outcome import REFUSED, SKIPPED
from convert.errors import InputError, Location
from convert.files import reason


class Found(NamedTuple):
    """One file of a folder: its name as shown, the real one, what `stat` says; `why` is set where it is not read."""

    name: str
    real: str
    size: int
    mtime: int
    status: str = ""
    why: str = ""

    @property
    def is_zip(self) -> bool:
        return not self.status and self.name[-4:].lower() == ".zip"


class Folder(NamedTuple):
    """One folder: its path from the archive's root as shown ("" is the root), the real one, and its files.

    `same` are the names of files with the size and time that they were known with; they are not in `files`.
    """

    path: str
    real: str
    files: list[Found]
    same: list[str]


Known = Callable[[str], Mapping[str, tuple[int, int]]]
"""Path of a folder -> name of each known file -> its size and time."""


def shown(name: str) -> str:
    r"""A name as text: bytes that are no text become escapes, for neither catalogue nor terminal can hold them.

    >>> shown("plain.ini"), shown("odd\udcff.ini")
    ('plain.ini', 'odd\\xff.ini')
    """
    if name.isascii():
        return name
    try:
        name.encode()
    except UnicodeEncodeError:
        return os.fsencode(name).decode("utf-8", "backslashreplace")
    return name


def join(folder: str, name: str) -> str:
    """The shown path of a file in a folder or in a zip.

    >>> join("", "a.ini"), join("old", "a.ini"), join("old/b.zip!", "c/d.ini")
    ('a.ini', 'old/a.ini', 'old/b.zip!c/d.ini')
    """
    return f"{folder}{name}" if not folder or folder[-1] == "!" else f"{folder}/{name}"


def walk(root: str, known: Known | None = None) -> Iterator[Folder]:
    """Folders depth first, names sorted; each with its files. InputError if the root itself cannot be read."""
    waiting = [("", root)]
    while waiting:
        path, real = waiting.pop()
        files: list[Found] = []
        inner: list[tuple[str, str]] = []
        same: list[str] = []
        before = known(path) if known is not None else {}
        try:
            with _entries(real) as entries:
                for entry in entries:
                    row = before.get(entry.name)  # this loop runs for every file of every run
                    if row is not None:
                        try:
                            status = entry.stat(follow_symlinks=False)
                        except OSError:
                            continue  # it went away just now
                        if row[0] == status.st_size and row[1] == status.st_mtime_ns:
                            same.append(entry.name)
                            continue
                    _sort(entry, path, real, files, inner)
        except OSError as error:
            if not path:
                raise InputError(f"cannot be read: {reason(error)}", Location(root), "name a folder") from None
            files, same = [Found("", real, 0, 0, REFUSED, f"the folder cannot be read: {reason(error)}")], []
        files.sort()
        yield Folder(path, real, _told_apart(files), same)
        inner.sort(reverse=True)
        waiting += inner


@contextmanager
def _entries(real: str) -> Iterator[Iterator[os.DirEntry[str]]]:
    """The entries of a folder; looked at from inside it where that goes, which spares the way there for each."""
    if os.scandir not in os.supports_fd:
        with os.scandir(real) as entries:
            yield entries
        return
    handle = os.open(real, os.O_RDONLY)
    try:
        with os.scandir(handle) as entries:
            yield entries
    finally:
        os.close(handle)


def _sort(
    entry: os.DirEntry[str], folder: str, place: str, files: list[Found], inner: list[tuple[str, str]]
) -> None:
    name, real = shown(entry.name), os.path.join(place, entry.name)
    try:
        status = entry.stat(follow_symlinks=False)
    except OSError as error:
        files.append(Found(name, real, 0, 0, REFUSED, f"cannot be read: {reason(error)}"))
        return
    size, mtime = status.st_size, status.st_mtime_ns
    if name[0] == ".":
        kind = "folder" if stat.S_ISDIR(status.st_mode) else "file"
        files.append(Found(name, real, size, mtime, SKIPPED, f"a hidden {kind}"))
    elif stat.S_ISREG(status.st_mode):
        files.append(Found(name, real, size, mtime))
    elif stat.S_ISDIR(status.st_mode):
        inner.append((join(folder, name), real))
    elif stat.S_ISLNK(status.st_mode):
        files.append(Found(name, real, size, mtime, SKIPPED, "a link; links are not followed"))
    else:
        files.append(Found(name, real, size, mtime, SKIPPED, "no regular file"))


def _told_apart(files: list[Found]) -> list[Found]:
    """Two names that look the same once shown get a mark."""
    if len({file.name for file in files}) == len(files):
        return files
    taken: set[str] = set()
    made = []
    for file in files:
        name = file.name
        while name in taken:
            name += "~"
        taken.add(name)
        made.append(file._replace(name=name))
    return made


def count(root: str) -> int:
    """How many files there are, roughly and quickly: for a time left, not for the account."""
    total = 0
    waiting = [root]
    while waiting:
        try:
            with os.scandir(waiting.pop()) as entries:
                for entry in entries:
                    if entry.name[0] != "." and entry.is_dir(follow_symlinks=False):
                        waiting.append(entry.path)
                    else:
                        total += 1
        except OSError:
            continue
    return total
