"""One run on a catalogue at a time. The system lets go of the lock when its holder ends, however it ends."""

from __future__ import annotations

import os
from typing import IO

from convert.errors import Location, OutputError
from convert.files import reason

NAME = "lock"
_FAR = 1 << 30
"""Where the lock lies on Windows, so that the text before it can still be read."""


class Lock:
    """The lock of a folder, held until `release`. OutputError that says who has it."""

    def __init__(self, folder: str) -> None:
        path = os.path.join(folder, NAME)
        try:
            self.file: IO[str] = open(path, "a+", encoding="utf-8")  # noqa: SIM115
        except OSError as error:
            raise OutputError(f"cannot be written: {reason(error)}", Location(path), "check its permissions") from None
        try:
            _take(self.file)
        except OSError:
            self.file.seek(0)
            holder = self.file.read(200).strip() or "another run"
            self.file.close()
            raise OutputError(
                f"the catalogue is in use by {holder}",
                Location(folder),
                "wait for it to end, or end it; it can be resumed",
            ) from None
        self.file.seek(0)
        self.file.truncate()
        self.file.write(_self())
        self.file.flush()

    def release(self) -> None:
        """Let the next one in."""
        try:
            self.file.seek(0)
            self.file.truncate()
        except OSError:
            pass
        self.file.close()


def _self() -> str:
    from datetime import datetime
    from socket import gethostname

    return f"process {os.getpid()} on {gethostname()}, since {datetime.now().astimezone():%Y-%m-%d %H:%M:%S}"


def _take(file: IO[str]) -> None:
    if os.name == "nt":
        import msvcrt

        file.seek(_FAR)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
