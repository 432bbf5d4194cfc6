"""Where new members and groups go in a JSON text, and how they look there."""

from __future__ import annotations

from collections.abc import Sequence

from convert.errors import OutputError
from convert.text.blanks import back_over_blanks
from convert.text.edit import Edit
from convert.text.jsonlayout import Layout, Member
from convert.text.jsonscan import Path, Row
from convert.text.jsonwrite import Writer
from convert.text.limits import check
from convert.text.source import Source
from convert.text.tree import Addition


class _Fresh:
    """What comes into a group, in order: raw values by name, and groups that are made themselves.

    listed: whether the group is an array; its next item has the name `count`.
    """

    __slots__ = ("count", "groups", "listed", "members")

    def __init__(self, listed: bool, count: int = 0) -> None:
        self.listed, self.count = listed, count
        self.members: list[tuple[str, str | _Fresh]] = []
        self.groups: dict[str, _Fresh] = {}


class Adder:
    """Works out the edits that append entries to groups of one text, all at once.

    groups: [path, start, end] of all groups, the root first; of several with one path the last is meant.
    """

    def __init__(self, source: Source, rows: Sequence[Row], groups: Sequence[list], writer: Writer) -> None:
        self._source, self._text, self._writer = source, source.text, writer
        self._rows, self._groups = rows, groups

    def add(self, additions: Sequence[Addition]) -> list[Edit]:
        """The edits; groups that are missing are made, lists where an item called "0" is the first thing in them."""
        spans = {path: (start, end) for path, start, end in self._groups}
        tops: dict[Path, _Fresh] = {}
        for path, items, _ in additions:
            check("depth", len(path), self._source.path)
            known = next((path[:size] for size in range(len(path), -1, -1) if path[:size] in spans), None)
            if known is None:
                raise self._no_group(path, "the file holds a single value")
            if known not in tops:
                tops[known] = self._top(known, *spans[known])
            fresh = self._within(tops[known], path, len(known))
            for new in items:
                self._enter(fresh, path, new.key)
                fresh.members.append((new.key, self._writer.value(new)))
        return [edit for path, top in tops.items() for edit in self._insert(*spans[path], top)]

    def _top(self, path: Path, start: int, end: int) -> _Fresh:
        """What comes into a group that is there. Another may have the same path, where keys are repeated."""
        if self._text[start] != "[":
            return _Fresh(listed=False)
        items = [row for row in self._rows if row[0] == path and start < row[3][0] < end]
        groups = [at for above, at, _ in self._groups if above[:-1] == path and start < at < end]
        return _Fresh(listed=True, count=len(items) + len(groups))

    def _within(self, fresh: _Fresh, path: Path, size: int) -> _Fresh:
        """The group of that path below one that `size` of its names lead to."""
        if path[size:] and any(row[0] == path[:size] and row[1] == path[size] for row in self._rows):
            raise self._no_group(path, f"{path[size]!r} is a value there, not an object")
        for at in range(size, len(path)):
            name = path[at]
            inner = fresh.groups.get(name)
            if inner is None:
                if any(name == other for other, _ in fresh.members):
                    raise self._no_group(path, f"{name!r} is a value there, not an object")
                self._enter(fresh, path, name)
                inner = fresh.groups[name] = _Fresh(listed=path[at + 1 : at + 2] == ("0",))
                fresh.members.append((name, inner))
            fresh = inner
        return fresh

    def _enter(self, fresh: _Fresh, path: Path, name: str) -> None:
        if fresh.listed and name != str(fresh.count):
            raise self._no_group(path, f"the next item of that list is {fresh.count}")
        fresh.count += 1

    def _insert(self, start: int, end: int, top: _Fresh) -> list[Edit]:
        if not top.members:
            return []
        text, layout = self._text, self._layout(start, end)
        members = self._spelt(top, layout, 1)
        tail = back_over_blanks(text, end - 1)
        if tail == start + 1:
            return [(tail, tail, layout.fill(members, text[tail : end - 1]))]
        return [(tail, tail, "".join("," + layout.gap + layout.member(member) for member in members))]

    def _spelt(self, fresh: _Fresh, layout: Layout, depth: int) -> list[Member]:
        members: list[Member] = []
        for name, new in fresh.members:
            if isinstance(new, str):
                raw = new
            else:
                raw = layout.group(self._spelt(new, layout, depth + 1), depth, new.listed)
            members.append((None if fresh.listed else self._writer.text(name), raw))
        return members

    def _layout(self, start: int, end: int) -> Layout:
        """How members are laid out in the group at start:end, seen from its last member."""
        tail = back_over_blanks(self._text, end - 1)
        last = None
        if tail > start + 1:
            spans = [row[3] for row in self._rows] + [(group[1], group[2]) for group in self._groups]
            last = next(first for first, after in spans if after == tail and first > start)
        return Layout.seen(self._text, self._groups, start, last)

    def _no_group(self, path: Path, why: str) -> OutputError:
        says = f"nothing can be added at {'/'.join(path) or 'the root'}: {why}"
        return OutputError(says, self._source.location(0), "choose another place")
