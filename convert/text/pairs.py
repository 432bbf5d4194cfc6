"""A name and a value on one line, as INI text and the comment lines of a program write them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

# White space of ASCII within a line; no-break spaces and the like belong to names and values.
BLANKS = " \t\x0b\x0c\x1c\x1d\x1e\x1f"
# What `str.strip()` would take away beyond ASCII: a text without these may use the faster `strip()`.
WIDE_BLANKS = (
    "\x85\xa0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u2028\u2029\u202f\u205f\u3000"
)


class Pair(NamedTuple):
    """Offsets into a text: the name, the separator and the value, each as start and end."""

    key_start: int
    key_end: int
    mark_start: int
    mark_end: int
    start: int
    end: int


def first_mark(line: str, marks: Sequence[str], start: int = 0, end: int | None = None) -> tuple[int, int]:
    """Start and end of the separator that comes first in the line; (-1, -1) if there is none.

    >>> first_mark("a: b = c", ["=", ":"])
    (1, 2)
    """
    best = (-1, -1)
    for mark in marks:
        at = line.find(mark, start, end)
        if at >= 0 and (best[0] < 0 or at < best[0]):
            best = at, at + len(mark)
    return best


def locate(text: str, start: int, end: int, marks: Sequence[str]) -> Pair:
    """The pair in text[start:end], which holds a separator.

    The span of an empty value lies one blank after the separator, if there is a blank.

    >>> locate("x = 1 ", 0, 6, ["="])
    Pair(key_start=0, key_end=1, mark_start=2, mark_end=3, start=4, end=5)
    """
    line = text[start:end]
    key_start = start + len(line) - len(line.lstrip(BLANKS))
    mark_start, mark_end = first_mark(text, marks, key_start, end)
    key_end = key_start + len(text[key_start:mark_start].rstrip(BLANKS))
    value = text[mark_end:end]
    lead = len(value) - len(value.lstrip(BLANKS))
    if lead == len(value):
        at = mark_end + min(1, lead)
        return Pair(key_start, key_end, mark_start, mark_end, at, at)
    value_end = mark_end + len(value.rstrip(BLANKS))
    return Pair(key_start, key_end, mark_start, mark_end, mark_end + lead, value_end)


def fill(text: str, pair: Pair, value: str) -> str:
    """The text to put at the value's span, so that it stands as far from the separator as the name does."""
    spaced = pair.key_end < pair.mark_start and pair.start == pair.end == pair.mark_end
    return " " + value if spaced and value[:1] not in ("", "\r", "\n") else value


def like(text: str, pair: Pair, key: str, value: str) -> str:
    """A name and value spaced as an existing pair; values that stand in a column stay in it.

    >>> line = "bead = 1"
    >>> like(line, locate(line, 0, 8, ["="]), "speed", "40")
    'speed = 40'
    """
    between = text[pair.key_end : pair.mark_start]
    if len(between) > 1 and between.isspace() and "\t" not in between:
        key = (key + " ").ljust(pair.mark_start - pair.key_start)
    else:
        key += between
    gap = text[pair.mark_end : pair.start] if pair.start < pair.end else between[:1]
    return f"{key}{text[pair.mark_start : pair.mark_end]}{gap}{value}"


def plain(mark: str, key: str, value: str) -> str:
    """A name and value where there is nothing to imitate.

    >>> plain("=", "a", "1"), plain(":", "a", "1"), plain(" ", "a", "1")
    ('a = 1', 'a: 1', 'a 1')
    """
    if not mark.strip(BLANKS):
        return key + mark + value
    return f"{key}{mark} {value}" if mark == ":" else f"{key} {mark} {value}"
