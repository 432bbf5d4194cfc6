"""Members of a zip as bytes.

Nothing is extracted to a path; names are labels, sizes are bounded before and while reading.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from convert.archive.outcome import REFUSED, SKIPPED
from convert.archive.walk import Found
from convert.errors import InputError
from convert.text.limits import LIMITS

if TYPE_CHECKING:
    from zipfile import ZipFile, ZipInfo

MOST_MEMBERS = 200_000
"""More members than any archive of settings has in one zip; the list of them is held in memory."""
MOST_RATIO = 200
"""Text packs ten or twenty to one; deflate ends at about a thousand to one, and only for nothing but repetition."""
SMALL = 1 << 20
"""A member of up to this size may be packed at any ratio."""
ENCRYPTED = 0x1


def members(path: str) -> list[Found]:
    """The members of a zip, in its own order; those that will not be read say why. InputError if it is no sound zip."""
    with _open(path) as file:
        infos = file.infolist()
        if len(infos) > MOST_MEMBERS:
            raise InputError(f"the zip has {len(infos)} members, more than {MOST_MEMBERS}")
        if sum(info.compress_size for info in infos) > os.path.getsize(path):
            raise InputError("the members of the zip overlap, as in a bomb")
        return _named([_found(info, at) for at, info in enumerate(infos) if not info.is_dir()])


def _found(info: ZipInfo, at: int) -> Found:
    name = _shown(info.filename)
    status, why = _judge(info, name)
    return Found(name, str(at), info.file_size, _made(info), status, why)


def _made(info: ZipInfo) -> int:
    """When the member was last changed, in nanoseconds, as far as its zip says (two seconds, no time zone)."""
    from calendar import timegm

    return timegm((*info.date_time, 0, 0, 0)) * 1_000_000_000


def _judge(info: ZipInfo, name: str) -> tuple[str, str]:
    """Why a member is not read, if it is not."""
    most = LIMITS["size"].most
    parts = name.split("/")
    if any(part.startswith(".") and part not in (".", "..") for part in parts):
        return SKIPPED, "a hidden file"
    if name[-4:].lower() == ".zip":
        return SKIPPED, "a zip inside a zip; it is not opened"
    if (info.external_attr >> 16) & 0o170000 == 0o120000:
        return SKIPPED, "a link; links are not followed"
    if info.flag_bits & ENCRYPTED:
        return REFUSED, "encrypted; take it out of the zip first"
    if info.file_size > most:
        return REFUSED, f"has {info.file_size} bytes, more than the limit of {most}"
    if info.file_size > SMALL and info.file_size > MOST_RATIO * info.compress_size:
        return REFUSED, f"unpacks to {info.file_size} bytes from {info.compress_size}, as a bomb does"
    return "", ""


def _named(found: list[Found]) -> list[Found]:
    """Later members of one name get a number, for each is counted."""
    seen: dict[str, int] = {}
    named = []
    for one in found:
        seen[one.name] = seen.get(one.name, 0) + 1
        named.append(one if seen[one.name] == 1 else one._replace(name=f"{one.name}#{seen[one.name]}"))
    return named


def _shown(name: str) -> str:
    return name.encode("utf-8", "backslashreplace").decode() or "?"


class Zip:
    """An open zip whose members are read by their place in it."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.file = _open(path)
        self.infos = self.file.infolist()

    def read(self, at: int) -> bytes:
        """The bytes of one member. InputError if it is damaged or larger than it says."""
        import zlib
        from zipfile import BadZipFile

        if at >= len(self.infos):
            raise InputError("is no longer in the zip")
        info = self.infos[at]
        most = min(info.file_size, LIMITS["size"].most)
        try:
            with self.file.open(info) as member:
                data = member.read(most + 1)
        except (BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError, ValueError, zlib.error) as error:
            raise InputError(f"cannot be unpacked: {str(error).lower() or type(error).__name__}") from None
        if len(data) > most:
            raise InputError("is larger than the zip says")
        return data

    def close(self) -> None:
        self.file.close()


def _open(path: str) -> ZipFile:
    from zipfile import BadZipFile, ZipFile

    try:
        return ZipFile(path)
    except (BadZipFile, NotImplementedError, ValueError, EOFError, OverflowError) as error:
        raise InputError(f"is no sound zip: {str(error).lower()}") from None
    except OSError as error:
        raise InputError(f"cannot be read: {(error.strerror or str(error)).lower()}") from None
