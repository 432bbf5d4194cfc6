"""Reads JSON text into rows with spans, strictly by RFC 8259, without recursion and in one pass.

Runs of plain members (`"key": value,` without escapes; the value a scalar, a list of them, or where it stays in one
piece an object of such members) and of plain objects in a list are matched by one compiled pattern each, which is what
makes it fast; everything else goes member by member. `convert/text/jsonfault.py` works out what a text does wrong.
"""

from __future__ import annotations

import re
from json.decoder import JSONDecodeError, scanstring  # type: ignore[attr-defined]
from typing import NoReturn

from convert.errors import InputError
from convert.text.jsonfault import fault
from convert.text.limits import LIMITS, check
from convert.text.source import Source

Path = tuple[str, ...]
Back = tuple[int, int, Path, str]
Row = tuple[Path, str, "str | tuple", tuple[int, int]]

# All repeats are possessive: nothing here can backtrack over more than one value.
_BLANK = r"[ \t\n\r]*+"
_STRING = r'"[^"\\\x00-\x1f]*+"'
_SCALAR = r"-?(?:0|[1-9][0-9]*+)(?:\.[0-9]++)?(?:[eE][+-]?[0-9]++)?|true|false|null"
_NAME = rf'"[^"\\\x00-\x1f]*+"{_BLANK}:{_BLANK}'
_KEY = rf'"([^"\\\x00-\x1f]*+)"{_BLANK}:{_BLANK}'
_ITEM = f"(?:{_STRING}|{_SCALAR}){_BLANK}"
_LIST = rf"\[{_BLANK}(?:{_ITEM}(?:,{_BLANK}{_ITEM})*+)?+\]"
_VALUE = f"{_STRING}|{_SCALAR}|{_LIST}"
_MEMBER = f"{_NAME}(?:{_VALUE}){_BLANK}"
_OBJECT = rf"\{{{_BLANK}(?:{_MEMBER}(?:,{_BLANK}{_MEMBER})*+)?+\}}"
BLANK = re.compile(_BLANK)
SCALAR = re.compile(_SCALAR)
_MEMBERS = re.compile(f"{_BLANK}{_KEY}({_VALUE}){_BLANK}(?:,|(?=}}))")
_WHOLE_MEMBERS = re.compile(f"{_BLANK}{_KEY}({_VALUE}|{_OBJECT}){_BLANK}(?:,|(?=}}))")
_ITEMS = re.compile(f"{_BLANK}({_STRING}|{_SCALAR}){_BLANK}(?:,|(?=\\]))")
_OBJECTS = re.compile(f"{_BLANK}({_OBJECT}){_BLANK}(?:,|(?=\\]))")
_SCALARS = re.compile(f"{_STRING}|{_SCALAR}")
_WORD = re.compile(r"[-+.\w]")
_DEPTH = LIMITS["depth"].most
_KINDS = {'"': "text", "t": "flag", "f": "flag", "n": "null", "[": "list", "{": "object"}


def kind_of(raw: str) -> str:
    """The kind of a value, from its raw text.

    >>> kind_of('"a"'), kind_of("-1"), kind_of("null")
    ('text', 'number', 'null')
    """
    return _KINDS.get(raw[0], "number")


def _plain(raw: str) -> str | tuple:
    """The value of a raw text that one of the patterns matched: without escapes, lists flat; objects stay raw.

    >>> _plain('"a"'), _plain('[1, "b"]'), _plain("-1")
    ('a', ('1', 'b'), '-1')
    """
    if raw[0] == '"':
        return raw[1:-1]
    if raw[0] == "[":
        return tuple(item[1:-1] if item[0] == '"' else item for item in _SCALARS.findall(raw))
    return raw


class _Frame:
    """An open group: its path, whether it is an array, how many members it has so far, and its place in `groups`.

    whole: its members are entries even where they are objects. back: set if it is such a member itself: the number of
    rows and groups before it, the path of its parent and its key, so that it folds into one row when it closes.
    """

    __slots__ = ("back", "count", "listed", "path", "slot", "whole")

    def __init__(self, path: Path, listed: bool, slot: int, whole: bool, back: Back | None) -> None:
        self.path, self.listed, self.slot, self.whole, self.back = path, listed, slot, whole, back
        self.count = 0


class Scan:
    """What one walk over a JSON text finds.

    rows: (path, key, value, (start, end)) for each entry, in document order.
    groups: [path, start, end] for each object, and each array that holds objects, in document order.
    whole: paths of objects whose members stay in one piece; "*" stands for any one name.
    """

    def __init__(self, source: Source, whole: tuple[Path, ...] = ()) -> None:
        self.rows: list[Row] = []
        self.groups: list[list] = []
        self._source, self._text, self._whole = source, source.text, whole
        self._stack: list[_Frame] = []
        self._branching: set[int] = set()  # where the arrays start that are known to hold objects
        self._walk()

    def _walk(self) -> None:
        text, stack = self._text, self._stack
        pos = self._value((), "", self._skip(0))
        while stack:
            frame = stack[-1]
            pos = self._skip(pos)
            mark = text[pos : pos + 1]
            if mark == ("]" if frame.listed else "}"):
                pos += 1
                self._close(pos)
                continue
            if frame.count:
                if mark != ",":
                    self._fail(pos, "]" if frame.listed else "}")
                pos += 1
            found = self._objects(frame, pos) if frame.listed else self._members(frame, pos)
            if found:
                pos = found.end()
                if text[pos - 1] != ",":
                    continue
            if frame.listed:
                key, pos = str(frame.count), self._skip(pos)
            else:
                key, pos = self._key(pos)
            frame.count += 1
            pos = self._value(frame.path, key, pos)
        pos = self._skip(pos)
        if pos < len(text):
            self._fail(pos, "end")

    def _members(self, frame: _Frame, pos: int) -> re.Match[str] | None:
        """Reads the run of plain members at `pos` of an object into rows; gives the match of the last one."""
        pattern, path, add, found = _WHOLE_MEMBERS if frame.whole else _MEMBERS, frame.path, self.rows.append, None
        for found in iter(pattern.scanner(self._text, pos).match, None):  # type: ignore[attr-defined]
            key, raw = found.groups()
            add((path, key, raw[1:-1] if raw[0] == '"' else _plain(raw), found.span(2)))
        frame.count += found is not None
        return found

    def _objects(self, frame: _Frame, pos: int) -> re.Match[str] | None:
        """Reads the run of plain objects at `pos` of an array into groups and rows; gives the match of the last one."""
        if frame.whole:
            return None
        text, add, found = self._text, self.rows.append, None
        for found in iter(_OBJECTS.scanner(text, pos).match, None):  # type: ignore[attr-defined]
            start, end = found.span(1)
            if not frame.count:
                self._check_depth(start, 1)
            path = (*frame.path, str(frame.count))
            frame.count += 1
            self.groups.append([path, start, end])
            for member in _MEMBERS.finditer(text, start + 1, end):
                key, raw = member.groups()
                add((path, key, raw[1:-1] if raw[0] == '"' else _plain(raw), member.span(2)))
        return found

    def _check_depth(self, pos: int, more: int) -> None:
        if len(self._stack) + more > _DEPTH:
            check("depth", len(self._stack) + more, self._source.location(pos))

    def _fail(self, pos: int, wanted: str) -> NoReturn:
        says, pos, hint = fault(self._text, pos, wanted)
        raise InputError(says, self._source.location(pos), hint)

    def _skip(self, pos: int) -> int:
        return BLANK.match(self._text, pos).end()  # type: ignore[union-attr]

    def _key(self, pos: int) -> tuple[str, int]:
        pos = self._skip(pos)
        if not self._text.startswith('"', pos):
            self._fail(pos, "key")
        key, pos = self._string(pos)
        pos = self._skip(pos)
        if not self._text.startswith(":", pos):
            self._fail(pos, "colon")
        return key, self._skip(pos + 1)

    def _value(self, path: Path, key: str, pos: int) -> int:
        """Reads the value at `pos` into a row, or opens the group there; gives the place after it."""
        first = self._text[pos : pos + 1]
        value: str | tuple | None = None
        if first == "[":
            value, end = self._list(pos)
        elif first != "{":
            value, end = self._scalar(pos)
        if value is None:
            self._open(path, key, pos, first == "[")
            return pos + 1
        self.rows.append((path, key, value, (pos, end)))
        return end

    def _open(self, path: Path, key: str, pos: int, listed: bool) -> None:
        back = None
        if self._stack:
            if self._stack[-1].whole:
                back = (len(self.rows), len(self.groups), path, key)
            path = (*path, key)
        self._check_depth(pos, 1)
        whole = bool(self._whole) and any(
            len(path) == len(names) and all(name in ("*", own) for name, own in zip(names, path, strict=True))
            for names in self._whole
        )
        self._stack.append(_Frame(path, listed, len(self.groups), whole, back))
        self.groups.append([path, pos, 0])

    def _close(self, end: int) -> None:
        frame = self._stack.pop()
        group = self.groups[frame.slot]
        group[2] = end
        if frame.back:
            rows, groups, path, key = frame.back
            del self.rows[rows:], self.groups[groups:]
            self.rows.append((path, key, self._text[group[1] : end], (group[1], end)))

    def _scalar(self, pos: int) -> tuple[str, int]:
        if self._text.startswith('"', pos):
            return self._string(pos)
        found = SCALAR.match(self._text, pos)
        if not found or _WORD.match(self._text, found.end()):
            self._fail(pos, "value")
        return found[0], found.end()

    def _string(self, pos: int) -> tuple[str, int]:
        try:
            return scanstring(self._text, pos + 1, True)
        except JSONDecodeError as error:
            self._fail(pos if error.msg.startswith("Unterminated") else error.pos, "string")

    def _list(self, start: int) -> tuple[tuple | None, int]:
        """The array at `start` as nested tuples of texts and the place after it; (None, start) if an object is in it.

        When an object turns up, every array open around it is noted as a group, so that no array is tried twice.
        """
        if start in self._branching:
            return None, start
        text, opened = self._text, [start]
        values: list[list[str | tuple]] = [[]]
        pos = start + 1
        while True:
            items, found = values[-1], None
            for found in iter(_ITEMS.scanner(text, pos).match, None):  # type: ignore[attr-defined]
                value = found[1]
                items.append(value[1:-1] if value[0] == '"' else value)
            if found:
                pos = found.end()
            comma = text[pos - 1] == ","
            pos = self._skip(pos)
            mark = text[pos : pos + 1]
            if mark == "{":
                self._branching.update(opened)
                return None, start
            if mark == "[":
                opened.append(pos)
                values.append([])
                self._check_depth(pos, len(opened))
                pos += 1
                continue
            if comma or mark != "]":
                value, pos = self._scalar(pos)
                items.append(value)
                pos = self._skip(pos)
            while text.startswith("]", pos):
                done, pos = tuple(values.pop()), pos + 1
                opened.pop()
                if not values:
                    return done, pos
                values[-1].append(done)
                pos = self._skip(pos)
            if not text.startswith(",", pos):
                self._fail(pos, "]")
            pos += 1
