"""INI text: `name = value` lines, flat or in `[sections]`, with comments; every byte is kept.

A line is blank, a comment (a mark at its start), a section header, a pair (the first separator splits it) or a stray
line, which is kept and reported. Nothing is refused but size. A name that occurs twice gives two entries and a problem.
A value is what follows the separator, without the white space around it; quotes and escapes belong to it.

With `continuation` "indent", a line that is indented deeper than the pair before it continues its value after a \\n;
blank lines in between count, comment lines do not. With "backslash", an odd number of backslashes at the end of a line
takes in the next line without its indentation. With `inline_comments`, a mark after white space ends the line.

>>> from convert.text.source import Source
>>> tree = parse(Source.from_bytes(b"[bead]\\nwidth = 0.4\\nnote:a=b\\n"))
>>> [(row[0], row[1], row[2]) for row in tree.rows]
[(('bead',), 'width', '0.4'), (('bead',), 'note', 'a=b')]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from convert.errors import OutputError, Problem, UsageError
from convert.text import pairs
from convert.text.edit import Edit, add_lines, line_end
from convert.text.iniread import Reading, without_comment
from convert.text.pairs import BLANKS, Pair
from convert.text.tree import NOTHING, Group, New, Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from convert.text.source import Source

_CONTINUATIONS = ("none", "indent", "backslash")


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> IniTree:
    """Read INI text. InputError only beyond a size limit; UsageError for impossible options."""
    return IniTree(source, options)


class IniTree(Tree):
    """The mark of a row is its line number from 0, or (first, last) where the value continues over lines."""

    __slots__ = ("_headers", "_strays")

    syntax = "ini"
    adds_at_once = True
    defaults: Mapping[str, Any] = {
        "separators": ("=", ":"),
        "comments": (";", "#", "//"),
        "inline_comments": False,
        "continuation": "none",
        "sections": True,
    }

    # ---- reading

    def _read(self) -> None:
        options = self.options
        if options["continuation"] not in _CONTINUATIONS:
            raise UsageError(f"continuation must be one of {', '.join(_CONTINUATIONS)}")
        if not options["separators"] or "" in options["separators"] + options["comments"]:
            raise UsageError("separators and comment marks of ini must not be empty")
        reading = Reading(self.source, options)
        self.rows, self._headers, self._strays = reading.rows, reading.headers, reading.strays

    def _pair(self, index: int) -> Pair:
        text, mark = self.source.text, self.rows[index][3]
        first, last = mark if isinstance(mark, tuple) else (mark, mark)
        start, full = self.source.line(first)
        end = start + len(without_comment(text[start:full], self.options))
        pair = pairs.locate(text, start, end, self.options["separators"])
        if last > first:
            start, full = self.source.line(last)
            return pair._replace(end=start + len(without_comment(text[start:full], self.options).rstrip(BLANKS)))
        return pair

    def _span(self, index: int) -> tuple[int, int]:
        pair = self._pair(index)
        return pair.start, pair.end

    def raw(self, index: int) -> str:
        if self.options["continuation"] == "none":  # each value is all of its text
            return self.rows[index][2]
        return super().raw(index)

    def _list_groups(self) -> list[Group]:
        starts = [self.source.start(line) for line, _, _ in self._headers]
        ends = [*starts[1:], len(self.source.text)]
        groups = [Group((), {}, 0, starts[0] if starts else ends[0])]
        for (_, _, name), start, end in zip(self._headers, starts, ends, strict=False):
            groups.append(Group((name,), {}, start, end))
        return groups

    def _list_problems(self) -> list[Problem]:
        problems = self._repeated()
        marks = " or ".join(repr(mark) for mark in self.options["separators"])
        for line in self._strays:
            where = self.source.location(self.source.start(line))
            says = "this line is neither a setting nor a comment"
            problems.append(Problem(says, where, f"write {marks} after a name"))
        seen: dict[str, int] = {}
        for line, _, name in self._headers:
            if name in seen:
                where = self.source.location(self.source.start(line))
                says = f"the section {name!r} was there already, on line {seen[name] + 1}"
                problems.append(Problem(says, where, "join the two"))
            seen.setdefault(name, line)
        return sorted(problems, key=lambda problem: problem.where.line if problem.where and problem.where.line else 0)

    def line(self, index: int) -> int:
        return self._lines(index)[0] + 1

    def lines(self) -> list[int]:
        return [(mark if mark.__class__ is int else mark[0]) + 1 for _, _, _, mark in self.rows]

    # ---- writing

    def _put(self, index: int, new: New) -> list[Edit]:
        pair = self._pair(index)
        indent = self.source.text[self.source.start(self._lines(index)[0]) : pair.key_start]
        return [(pair.start, pair.end, pairs.fill(self.source.text, pair, self._spell(new, indent)))]

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        return [
            (self.source.start(first), self.source.start(last + 1), "") for first, last in map(self._lines, indices)
        ]

    def _add(self, path: tuple[str, ...], items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        if path and (len(path) > 1 or not self.options["sections"]):
            says = f"there is no place for the group {'/'.join(path)!r} in this file"
            hint = "its settings stand in one level of sections" if path[1:] else "its settings stand in no sections"
            raise OutputError(says, self.source.location(0), hint)
        text = self.source.text
        rows, at, lines = self._block(path)
        indent, model = "", None
        if self.rows:
            last = rows[-1] if rows else len(self.rows) - 1
            spaced = next((index for index in reversed(rows[-20:]) if self.rows[index][2]), last)
            model = self._pair(spaced)
            indent = text[self.source.start(self._lines(last)[0]) : self._pair(last).key_start]
        mark = self.options["separators"][0]
        remark = self._remark() if any(new.comment for new in items) else ""
        for new in items:
            if remark:
                lines += [f"{indent}{remark} {line}" for line in new.comment.splitlines()]
            value = self._spell(new, indent)
            spelt = pairs.like(text, model, new.key, value) if model else pairs.plain(mark, new.key, value)
            lines.append(indent + spelt)
        return add_lines(text, at, lines)

    def _block(self, path: tuple[str, ...]) -> tuple[range, int, list[str]]:
        """Where to append to a group: its rows (of its last header), the offset, and the lines that must come first."""
        size, text = len(self.rows), self.source.text
        bounds = [0, *(before for _, before, _ in self._headers), size]
        names: list[tuple[str, ...]] = [(), *((name,) for _, _, name in self._headers)]
        for at in range(len(names) - 1, -1, -1):
            if names[at] == path:
                rows = range(bounds[at], bounds[at + 1])
                if rows:
                    return rows, self.source.start(self._lines(rows[-1])[1] + 1), []
                if path:
                    return rows, self.source.start(self._headers[at - 1][0] + 1), []
                return rows, self.source.start(self._headers[0][0]) if self._headers else len(text), []
        gap = [] if not text or text.endswith(("\n\n", "\r\n\r\n", "\r\r")) else [""]
        return range(0), len(text), [*gap, f"[{path[0]}]"]

    def _spell(self, new: New, indent: str) -> str:
        value = new.value
        if not isinstance(value, str):
            where = self.source.location(0)
            raise OutputError(f"the list {new.key!r} cannot be written as it is", where, "join its values to one text")
        if "\n" not in value and "\r" not in value:
            return value
        if self.options["continuation"] != "indent":
            where = self.source.location(0)
            raise OutputError(f"{new.key!r} has a line break, and a value is one line in this file", where)
        first, *rest = value.split("\n")
        return line_end(self.source.text).join([first, *(f"{indent}    {line}" if line else "" for line in rest)])

    def _remark(self) -> str:
        """The comment mark in use, "" if there is none."""
        marks: tuple[str, ...] = self.options["comments"]
        used = (mark for line in self.source.lines() for mark in marks if line.startswith(mark))
        return next(used, marks[0] if marks else "")

    def _lines(self, index: int) -> tuple[int, int]:
        mark = self.rows[index][3]
        return mark if isinstance(mark, tuple) else (mark, mark)
