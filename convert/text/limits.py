"""The one table of limits on input, each with its reason. Input beyond a limit is refused, never cut.

The limits keep time and memory bounded on hostile files; each is far above what a settings file needs.
"""

from __future__ import annotations

from typing import NamedTuple

from convert.errors import InputError, Location


class Limit(NamedTuple):
    """The largest accepted amount, what is counted, and why there is a limit."""

    most: int
    counted: str
    reason: str


LIMITS = {
    "size": Limit(32 << 20, "bytes", "a settings file has some kilobytes; memory use is about ten times the file"),
    "program size": Limit(256 << 20, "bytes", "a machine program carries its settings beside millions of moves"),
    "entries": Limit(500_000, "settings", "no printer has more than some thousands, in all its profiles together"),
    "depth": Limit(100, "levels", "settings nest a few levels deep; endless nesting is an attack"),
    "columns": Limit(5_000, "columns", "one column is one profile; more than that is a slip of the delimiter"),
}


def check(name: str, amount: int, where: Location | str | None = None) -> None:
    """InputError if the amount is beyond the limit of that name. where: a place or the path of the file.

    >>> check("depth", 3)
    >>> check("depth", 101)
    Traceback (most recent call last):
    convert.errors.InputError: 101 levels are more than the 100 that are accepted; check that this is a settings file
    """
    limit = LIMITS[name]
    if amount > limit.most:
        raise InputError(
            f"{amount} {limit.counted} are more than the {limit.most} that are accepted",
            Location(where) if isinstance(where, str) else where,
            "check that this is a settings file",
        )
