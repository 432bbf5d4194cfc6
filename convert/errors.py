"""The one family of errors, and the exit status that belongs to each.

Every error says what is wrong (`says`), where (`where`) and what to do (`hint`); the text is made late, from the
fields, so errors travel between processes and can be shown as a line, a table row or JSON.

    BeadwiseError          3   base; never raised itself
    |-- InputError         3   a file cannot be read as what it should be
    |   `-- AmbiguousInput 3   a file fits two dialects
    |-- OutputError        3   the output is refused, or its target exists
    |-- UsageError         2   the call itself is wrong
    `-- NothingDone        4   nothing could be compared, checked or converted

>>> error = InputError("no value after '='", Location("a.ini", 3, 7), "write a value or delete the line")
>>> str(error)
"a.ini:3:7: no value after '='; write a value or delete the line"
"""

from __future__ import annotations

from typing import NamedTuple

EXIT_OK = 0
EXIT_FOUND = 1
EXIT_USAGE = 2
EXIT_UNREADABLE = 3
EXIT_NOTHING = 4
EXIT_INTERNAL = 70
EXIT_INTERRUPTED = 130


class Location(NamedTuple):
    """A place in a file; lines and columns count from 1 (columns in characters).

    >>> str(Location("a.ini", 3)), str(Location("a.ini"))
    ('a.ini:3', 'a.ini')
    """

    path: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        if self.line is None:
            return self.path
        return f"{self.path}:{self.line}" if self.column is None else f"{self.path}:{self.line}:{self.column}"


class BeadwiseError(Exception):
    """Base of all errors that a user may see."""

    exit_code = EXIT_UNREADABLE

    def __init__(self, says: str, where: Location | None = None, hint: str = "") -> None:
        super().__init__(says, where, hint)
        self.says, self.where, self.hint = says, where, hint

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.says}" + (f"; {self.hint}" if self.hint else "")


class InputError(BeadwiseError):
    """A file cannot be read as what it should be."""


class AmbiguousInput(InputError):
    """A file fits two dialects equally well; both are named, none is guessed."""


class OutputError(BeadwiseError):
    """The output is refused: it does not read back, its target exists, or the disk says no."""


class UsageError(BeadwiseError):
    """The call is wrong: an unknown name, an impossible option, a value of the wrong kind."""

    exit_code = EXIT_USAGE


class NothingDone(BeadwiseError):
    """Nothing could be compared, checked or converted; never a pass."""

    exit_code = EXIT_NOTHING


class Problem(NamedTuple):
    """Something worth saying about an input that could nevertheless be read."""

    says: str
    where: Location | None = None
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.says}" + (f"; {self.hint}" if self.hint else "")
