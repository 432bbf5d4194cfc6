"""Reads INI text into rows (path, name, value, mark); `initree` says what the syntax is.

The mark of a row is its line number from 0, or (first, last) where the value goes on over lines.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from itertools import compress, count, repeat

from convert.text import pairs
from convert.text.pairs import BLANKS

_HEAD = 200  # lines above the first pair, at most, for the fast way

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from convert.text.source import Source


class Reading:
    """What was found: rows, section headers (line, number of rows before it, name) and the lines that are neither."""

    __slots__ = ("blanks", "comments", "headers", "marks", "options", "rows", "strays")

    def __init__(self, source: Source, options: Mapping[str, Any]) -> None:
        text = source.text
        self.options, self.marks, self.comments = options, options["separators"], options["comments"]
        self._clear()
        wide = not text.isascii() and any(blank in text for blank in pairs.WIDE_BLANKS)
        self.blanks = BLANKS + "\r\n" if wide else None  # None is faster, and the same where there are no wide blanks
        if (options["inline_comments"] and self._behind_values(source)) or options["continuation"] != "none":
            self._read_with_care(source.lines())
            return
        if wide or not self._read_at_once(source):
            self._clear()
            marks = [mark for mark in self.marks if mark in text] or [self.marks[0]]
            self._read_lines(source.lines(), sorted(marks, key=text.count, reverse=True))

    def _behind_values(self, source: Source) -> bool:
        """Whether a comment mark stands anywhere but at the start of a line; only then lines need a closer look."""
        text = source.text
        marked = sum(text.count(mark) for mark in self.comments)
        if not marked:
            return False
        return marked != sum(line.startswith(self.comments) for line in source.lines())

    def _clear(self) -> None:
        self.rows: list[tuple[tuple[str, ...], str, Any, Any]] = []
        self.headers: list[tuple[int, int, str]] = []
        self.strays: list[int] = []

    def _read_at_once(self, source: Source) -> bool:
        """All pairs together, if below the head of the text the lines are plain pairs; this is what makes reading fast.

        Comments, blank lines and section headers may stand among them. False if a line is of another kind.
        """
        text = source.text
        odds = _starts(self.comments, self.marks)
        path: tuple[str, ...] = ()
        start = number = 0
        while (line := text[start : text.find("\n", start) + 1]).strip()[:1] in odds:
            path = self._read_odd(line, number, path)
            start, number = start + len(line), number + 1
            if self.rows or not line or number > _HEAD:
                return False
        if text.count("\r", 0, start) != text.count("\r\n", 0, start):
            return False
        first, end = pairs.first_mark(line, self.marks)
        mark = line[first:end]
        if len(mark) != 1 or not mark.isascii() or text[-1] != "\n":
            return False
        body, line_end = text[start:], "\r\n" if "\r" in line else "\n"
        shape = _shape(body, mark)
        size = shape.count(b"\n")
        if line.count(mark) > 1 or shape.count(mark.encode()) > size:  # two on one line
            return False
        plain = shape == f"{mark}{line_end}".encode() * size and (line_end == "\n" or body.count(line_end) == size)
        found = _split(body, mark, size, 0, odds) if plain else None
        if found:
            self.rows = list(zip(repeat(path), found[0], map(str.strip, found[1]), count(number), strict=False))
            return True
        if "\r" in body:
            body = body.replace("\r\n", "\n").replace("\r", "\n")
        return self._read_among_others(body, mark, number, path)

    def _read_among_others(self, body: str, mark: str, number: int, path: tuple[str, ...]) -> bool:
        """Pairs among comments, blank lines and section headers, whose places pairs without a name take meanwhile."""
        odds = _starts(self.comments, self.marks)
        idle, odd = _others(self.comments)
        filled, others = idle.subn(f"\n {mark} ", body)
        size = body.count("\n")
        if not others or _shape(filled, mark) != f"{mark}\n".encode() * size:
            return False
        found = _split(filled, mark, size, others, odds)
        if not found:
            return False
        heads = [(head.start(1), head[1]) for head in odd.finditer(body)] if "[" in body else []
        before = at = 0
        for offset, line in [*heads, (len(body), "")]:
            last, at = at, at + body.count("\n", before, offset)
            names, values, before = found[0][last:at], found[1][last:at], offset
            rows = zip(repeat(path), names, map(str.strip, values), count(number + last), strict=False)
            self.rows += compress(rows, names)
            path = self._read_odd(line, number + at, path)
        return True

    def _read_lines(self, lines: list[str], marks: list[str]) -> None:
        """Line by line, with a short way for plain pairs and comments. marks: separators in use, commonest first."""
        mark, other = (*marks, "\n")[:2] if len(marks) < 3 else ("\n", "\n")  # a line holds no line end
        odd = _starts(self.comments, self.marks).union(BLANKS)
        plain = chr(ord(max(odd)) + 1)  # most names compare greater; for the others the set decides
        path: tuple[str, ...] = ()
        add, blanks, comments = self.rows.append, self.blanks, self.comments
        for number, (key, found, value) in enumerate(map(str.partition, lines, repeat(mark))):
            if found and other not in key and (key >= plain or (key and key[0] not in odd)):
                add((path, key.strip(blanks), value.strip(blanks), number))
            elif (key or found) and not key.startswith(comments):
                path = self._read_odd(key + found + value, number, path)

    def _read_odd(self, line: str, number: int, path: tuple[str, ...]) -> tuple[str, ...]:
        """Any line; returns the path that holds after it."""
        body = line.strip(self.blanks)
        if not body or body.startswith(self.comments):
            return path
        if body[0] == "[" and self.options["sections"]:
            name = self._header(body)
            if name is not None:
                self.headers.append((number, len(self.rows), name))
                return (name,)
        line = line.lstrip(self.blanks)
        start, end = pairs.first_mark(line, self.marks)
        if start > 0:
            self.rows.append((path, line[:start].rstrip(self.blanks), line[end:].strip(self.blanks), number))
        else:
            self.strays.append(number)
        return path

    def _header(self, body: str) -> str | None:
        """The name of a section header: up to the first or the last bracket with nothing but a comment behind it."""
        for close in (body.find("]"), body.rfind("]")):
            rest = body[close + 1 :].lstrip(BLANKS)
            if close > 0 and (not rest or rest.startswith(self.comments)):
                return body[1:close].strip(BLANKS)
        return None

    def _read_with_care(self, lines: list[str]) -> None:
        """With values that go on over lines and comments behind values."""
        take = {"none": None, "indent": self._take_deeper, "backslash": self._take_escaped}[
            self.options["continuation"]
        ]
        path: tuple[str, ...] = ()
        number, size = 0, len(lines)
        while number < size:
            line = without_comment(lines[number], self.options)
            before = len(self.rows)
            path = self._read_odd(line, number, path)
            first, number = number, number + 1
            if take and len(self.rows) > before:
                key, value = self.rows[-1][1:3]
                value, number = take(lines, number, line, value)
                self.rows[-1] = (path, key, value, first if number == first + 1 else (first, number - 1))

    def _take_deeper(self, lines: list[str], number: int, line: str, value: str) -> tuple[str, int]:
        """The value with the lines that are indented deeper than its first line, and the number of the line after."""
        depth = len(line) - len(line.lstrip(BLANKS))
        parts, blank, after = [value], 0, number
        for at in range(number, len(lines)):
            raw = lines[at].rstrip("\r")
            body = raw.lstrip(BLANKS)
            if not body:
                blank += 1
            elif not body.startswith(self.comments):
                if len(raw) - len(body) <= depth:
                    break
                parts += [""] * blank
                parts.append(without_comment(raw, self.options).strip(BLANKS))
                blank, after = 0, at + 1
        return "\n".join(parts), after

    def _take_escaped(self, lines: list[str], number: int, line: str, value: str) -> tuple[str, int]:
        """The value with the lines that its backslashes take in, and the number of the line after."""
        if not _goes_on(line):
            return value, number
        parts = [value[:-1]]
        stop = len(lines) - (lines[-1] == "")  # the last line end does not start a line
        more = True
        while more and number < stop:
            line = without_comment(lines[number], self.options)
            number += 1
            more = _goes_on(line)
            part = line.strip("\r").lstrip(BLANKS)
            parts.append(part[:-1] if more else part)
        return "".join(parts).strip(BLANKS), number


def without_comment(line: str, options: Mapping[str, Any]) -> str:
    """The line up to a comment mark after white space, if the options allow comments there."""
    comments = options["comments"]
    if not options["inline_comments"] or not any(mark in line for mark in comments):
        return line
    if not line.lstrip(BLANKS).startswith(comments):
        ends = []
        for mark in comments:
            at = line.find(mark, 1)
            while at > 0 and line[at - 1] not in BLANKS:
                at = line.find(mark, at + 1)
            if at > 0:
                ends.append(at)
        if ends:
            return line[: min(ends)].rstrip(BLANKS)
    return line


def _shape(text: str, mark: str) -> bytes:
    """The text without all but separators and line ends: it shows whether each line has one separator."""
    return text.encode("utf-8", "surrogatepass").translate(None, _all_but(mark))


def _split(
    text: str, mark: str, size: int, nameless: int, odds: frozenset[str]
) -> tuple[list[str], list[str]] | None:
    """Names and values of so many lines that all have one separator; None if other lines than pairs are among them.

    One split, at both separators and line ends, gives names and values in turn. The commonest spacing goes first: it
    needs no strip. nameless: how many lines are to have no name.
    """
    for gap in (f" {mark} ", mark):
        pieces = text.replace(gap, "\n").split("\n")
        names, values = pieces[: 2 * size : 2], pieces[1::2]
        if len(names) == len(values) == size:
            break
    joined = "\n".join(names)
    if any(odd and odd in joined for odd in odds):
        return None
    if any(map(joined.__contains__, BLANKS)):
        names = list(map(str.strip, names))
    named = names.count("") == nameless if nameless else all(names)
    return (names, values) if named else None


@cache
def _others(comments: tuple[str, ...]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Lines that are no pairs, each with the line end before it: all of them, and those that may be section headers."""
    marks = "|".join(map(re.escape, (*comments, "[")))
    first = re.escape("".join(mark[0] for mark in comments))
    others = rf"\n(?=[\n \t\[{first}])[ \t]*+(?:(?:{marks})[^\n]*+)?+(?=\n)"  # the first look is for speed only
    return re.compile(others), re.compile(r"\n([ \t]*+\[[^\n]*+)")


@cache
def _starts(comments: tuple[str, ...], marks: tuple[str, ...]) -> frozenset[str]:
    """The characters that may start what is not a plain pair; "" stands for a blank line."""
    return frozenset(word[:1] for word in ("", "[", *comments, *marks))


@cache
def _all_but(mark: str) -> bytes:
    return bytes(set(range(256)) - {10, 13, ord(mark)})


def _goes_on(line: str) -> bool:
    """Whether an odd number of backslashes ends the line: the last one is not escaped itself."""
    line = line.rstrip("\r")
    return (len(line) - len(line.rstrip("\\"))) % 2 == 1
