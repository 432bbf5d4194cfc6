"""Reading and writing files with care.

Only regular files within the size limit are read. A file is written beside its target, flushed to disk and renamed into
place, so a reader sees the old bytes or the new ones, never a part; links are not followed.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress

from convert.errors import InputError, Location, OutputError


def read_bytes(path: str, most: int) -> bytes:
    """The bytes of a regular file of at most `most` bytes; "-" is standard input. InputError otherwise."""
    where = Location(path)
    if path == "-":
        import sys

        if sys.stdin is None:
            raise InputError("standard input is closed", where, "give a file")
        try:
            data = sys.stdin.buffer.read(most + 1)
        except OSError as error:
            raise InputError(f"standard input cannot be read: {reason(error)}", where, "give a file") from None
        if len(data) > most:
            raise InputError(f"standard input is larger than {most} bytes", where, "split it, or give a file")
        return data
    try:
        with open(path, "rb", opener=_open_plainly) as file:
            status = os.fstat(file.fileno())
            if stat.S_ISDIR(status.st_mode):
                raise InputError("is a folder", where, "name the files in it, or use 'normalise' for a whole archive")
            if not stat.S_ISREG(status.st_mode):
                raise InputError("is no regular file", where, "only files are read, no devices or pipes")
            if status.st_size > most:
                raise InputError(
                    f"has {status.st_size} bytes, more than the limit of {most}", where, "is it a settings file?"
                )
            return file.read(most + 1)
    except IsADirectoryError:
        raise InputError("is a folder", where, "name the files in it, or use 'normalise' for a whole archive") from None
    except (OSError, ValueError) as error:
        raise InputError(f"cannot be read: {reason(error)}", where, "check the path and its permissions") from None


def _open_plainly(path: str, flags: int) -> int:
    # Without O_NONBLOCK, opening a pipe that nobody writes to would wait for ever.
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def reason(error: Exception) -> str:
    """What the system said, without its number."""
    return (getattr(error, "strerror", None) or str(error)).lower()


def write_bytes(path: str, data: bytes, replace: bool = False) -> None:
    """Write a whole file or nothing. OutputError if it exists (unless `replace`), is a link, or the disk refuses."""
    where = Location(path)
    try:
        status = os.lstat(path)
    except FileNotFoundError:
        status = None
    except (OSError, ValueError) as error:
        raise OutputError(f"cannot be written: {reason(error)}", where, "check the path") from None
    mode = 0o666
    if status is not None:
        if stat.S_ISLNK(status.st_mode):
            raise OutputError("is a link", where, "name the file it leads to")
        if stat.S_ISDIR(status.st_mode):
            raise OutputError("is a folder", where, "name a file in it")
        if not stat.S_ISREG(status.st_mode):
            raise OutputError("is no regular file", where, "name a file")
        if not replace:
            raise OutputError("exists already", where, "give --replace to overwrite it, or another --out")
        mode = stat.S_IMODE(status.st_mode)
    folder = os.path.dirname(path) or "."
    aside = os.path.join(folder, f".{os.path.basename(path)[:100]}.{os.getpid()}.part")
    try:
        os.makedirs(folder, exist_ok=True)
        with open(aside, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if status is not None:
            os.chmod(aside, mode)
        if status is None and not replace:
            _place_new(aside, path)
        else:
            os.replace(aside, path)
        _sync_folder(folder)
    except FileExistsError:
        raise OutputError("exists already", where, "give --replace to overwrite it, or another --out") from None
    except OSError as error:
        raise OutputError(f"cannot be written: {reason(error)}", where, "nothing was changed there") from None
    finally:
        with suppress(OSError):  # renamed already, or never made
            os.unlink(aside)


def _place_new(aside: str, path: str) -> None:
    """Rename, but never over a file that appeared meanwhile."""
    try:
        os.link(aside, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        os.replace(aside, path)


def _sync_folder(folder: str) -> None:
    """Make the rename itself durable; not every system can open a folder."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        with suppress(OSError):
            os.fsync(handle)
    finally:
        os.close(handle)
