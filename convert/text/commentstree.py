"""Name-value pairs in the comment lines of a machine program; the program itself is left alone.

A comment line starts with `;`, or is one comment in parentheses, in which further parentheses are not allowed (RS-274,
NIST IR 6556, 3.3.4). Spellings such as `; name = value`, `;name:value` and `(name=value)` are read. Comments behind
commands and comments without a separator are no pairs. Marker lines, if given, enclose the only part that is read.

Options: mark (";" or "("; "" takes both), separators, begin and end (the text of the marker lines, "" for none).

>>> from convert.text.source import Source
>>> tree = parse(Source.from_bytes(b"; width = 0.4\\nG1 X5 ; fast: yes\\n(speed=40)\\n"))
>>> [row[1:3] for row in tree.rows]
[('width', '0.4'), ('speed', '40')]
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence

from convert.errors import Location, OutputError, Problem, UsageError
from convert.text import pairs
from convert.text.edit import Edit, add_lines
from convert.text.pairs import BLANKS, Pair
from convert.text.tree import NOTHING, Group, New, Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from convert.text.source import Source


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> CommentsTree:
    """Read the comment lines of a program. InputError only beyond a size limit; UsageError for impossible options."""
    return CommentsTree(source, options)


class CommentsTree(Tree):
    """The mark of a row is the start and the end of its line, without the line end."""

    __slots__ = ("_cut_off", "_regions", "_strays")

    syntax = "comments"
    limit = "program size"
    defaults: Mapping[str, Any] = {"mark": "", "separators": ("=", ":"), "begin": "", "end": ""}

    # ---- reading

    def _read(self) -> None:
        options = self.options
        if options["mark"] not in ("", ";", "("):
            raise UsageError("the mark of comment lines must be ';', '(' or ''")
        if not options["separators"] or "" in options["separators"]:
            raise UsageError("separators of comment lines must not be empty")
        flat = self.source.flat
        lines = sorted(
            line for mark in (options["mark"] or ";(") for line in _comment_lines(self.source.text, flat, mark)
        )
        begin, end = self._markers()
        self._regions: list[tuple[int, int]] = []  # from behind a begin line to the end line (or the end of the text)
        self._strays: list[int] = []  # offsets of comments without a pair between marker lines
        inside = not begin
        if inside:
            self._regions.append((0, len(flat)))
        for line_start, line_stop, start, stop in lines:
            body = flat[start:stop].strip(BLANKS)
            if begin and body == begin:
                inside = True
                self._regions.append((self._line_after(line_start), len(flat)))
            elif end and body == end and inside:
                inside = False
                self._regions[-1] = (self._regions[-1][0], line_start)
            elif inside:
                first, last = pairs.first_mark(body, options["separators"])
                if first > 0:
                    mark = (line_start, line_stop, start, stop)
                    self.rows.append(((), body[:first].rstrip(BLANKS), body[last:].lstrip(BLANKS), mark))
                elif body and begin:
                    self._strays.append(start)
        self._cut_off = inside and bool(begin and end)

    def _markers(self) -> tuple[str, str]:
        """The marker lines as their comments read, whether the options give them with their comment mark or without."""
        begin, end = (self.options[name].lstrip(";(" + BLANKS).rstrip(")" + BLANKS) for name in ("begin", "end"))
        return begin, end

    def _line_after(self, offset: int) -> int:
        return self.source.start(self.source.place(offset)[0])

    def _pair(self, index: int) -> Pair:
        start, stop = self.rows[index][3][2:]
        return pairs.locate(self.source.text, start, stop, self.options["separators"])

    def _span(self, index: int) -> tuple[int, int]:
        pair = self._pair(index)
        return pair.start, pair.end

    def line(self, index: int) -> int:
        return self.source.place(self.rows[index][3][0])[0]

    def lines(self) -> list[int]:
        starts = self.source.starts
        return [bisect_right(starts, mark[0]) for _, _, _, mark in self.rows]

    def _list_groups(self) -> list[Group]:
        return [Group((), {}, 0, len(self.source.text))]

    def _list_problems(self) -> list[Problem]:
        problems = self._repeated()
        for start in self._strays:
            says = "this comment among the settings is no setting"
            marks = " or ".join(repr(mark) for mark in self.options["separators"])
            problems.append(Problem(says, self.source.location(start), f"write {marks} after a name"))
        if self._cut_off:
            says = f"the comment line {self.options['end']!r}, which ends the settings, is missing"
            where = self.source.location(len(self.source.text))
            problems.append(Problem(says, where, "check that the file is complete"))
        if not self._regions:
            says = f"there is no comment line {self.options['begin']!r}, after which the settings would start"
            problems.append(Problem(says, Location(self.source.path), "check that the file is complete"))
        return problems

    # ---- writing

    def _put(self, index: int, new: New) -> list[Edit]:
        pair = self._pair(index)
        return [(pair.start, pair.end, pairs.fill(self.source.text, pair, self._spell(new)))]

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        starts = (self.rows[index][3][0] for index in indices)
        return [(start, self._line_after(start), "") for start in starts]

    def _add(self, path: tuple[str, ...], items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        if path:
            says = f"there is no place for the group {'/'.join(path)!r} in the comment lines of a program"
            raise OutputError(says, Location(self.source.path), "its settings stand in no groups")
        text, lines = self.source.text, []
        if self.rows:
            start, stop, _, body_end = self.rows[-1][3]
            at = self._line_after(start)
            model = self._pair(len(self.rows) - 1)
            before, after = text[start : model.key_start], text[body_end:stop]
            lines = [before + pairs.like(text, model, new.key, self._spell(new)) + after for new in items]
        else:
            region = self._regions[-1] if self._regions else (len(text), len(text))
            at = region[0] if self.options["begin"] else region[1]
            before, after = ("(", ")") if self.options["mark"] == "(" else ("; ", "")
            mark = self.options["separators"][0]
            lines = [before + pairs.plain(mark, new.key, self._spell(new)) + after for new in items]
            if not self._regions:
                begin, end = self._markers()
                lines = [before + begin + after, *lines, *([before + end + after] if end else [])]
        return add_lines(text, at, lines)

    def _spell(self, new: New) -> str:
        if not isinstance(new.value, str):
            says = f"the list {new.key!r} cannot be written as it is"
            raise OutputError(says, Location(self.source.path), "join its values to one text")
        if "\n" in new.value or "\r" in new.value:
            raise OutputError(f"{new.key!r} has a line break, and a value is one line here", Location(self.source.path))
        return new.value


def _comment_lines(text: str, flat: str, mark: str) -> Iterator[tuple[int, int, int, int]]:
    """The lines whose first character is the mark: start and end of the line, start and end of the comment in it."""
    done = 0
    while (at := flat.find(mark, done)) >= 0:
        start = flat.rfind("\n", done, at) + 1 or done
        end = flat.find("\n", at)
        if end < 0:
            end = len(flat)
        done = end + 1
        end -= text[end - 1 : end + 1] == "\r\n"
        if not flat[start:at].strip(BLANKS):
            if mark == ";":
                yield start, end, end - len(flat[at:end].lstrip(";")), end
            else:
                stop = start + len(flat[start:end].rstrip(BLANKS)) - 1
                if flat.find(")", at, end) == stop and flat.find("(", at + 1, end) < 0:
                    yield start, end, at + 1, stop
