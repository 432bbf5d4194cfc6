"""JSON (RFC 8259) as a lossless tree.

Objects are groups, and so are arrays that hold an object anywhere; their items have the names "0", "1", ... Scalars and
all other arrays are entries. Numbers keep their text; every occurrence of a repeated key is an entry.

Options: value_objects, a list of paths ("*" stands for any one name): the members of an object there are entries even
where they are objects; such an entry has the kind "object" and its raw text as value.

In a `New`, a tuple of the kind "list" is written in the form of the list that it replaces, else as numbers and flags if
every item can be one, else as texts. A tuple of the kind "text", "number" or "flag" has items of that form. JSON has no
comments: `New.comment` is not written.

>>> from convert.text.source import Source
>>> tree = parse(Source.from_bytes(b'{"bead": {"width": 0.4, "order": [1, 2]}}'))
>>> [(entry.path, entry.key, entry.value, entry.kind) for entry in tree.entries]
[(('bead',), 'width', '0.4', 'number'), (('bead',), 'order', ('1', '2'), 'list')]
>>> tree.replace({0: New("width", "0.45", "number")}).extend(("fan",), [New("on", "true", "flag")]).render()
b'{"bead": {"width": 0.45, "order": [1, 2]}, "fan": {"on": true}}'
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from convert.errors import OutputError, UsageError
from convert.text.blanks import back_over_blanks
from convert.text.edit import Edit
from convert.text.jsonadd import Adder
from convert.text.jsonscan import BLANK, Path, Scan, kind_of
from convert.text.jsonwrite import Writer, member_start
from convert.text.source import Source
from convert.text.tree import NOTHING, Addition, Group, New, Tree


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> JsonTree:
    """The tree of a JSON text; InputError with the place if it is not valid JSON."""
    return JsonTree(source, options)


class JsonTree(Tree):
    """A JSON text. The mark of a row is the span of the raw value."""

    __slots__ = ("_opened", "_writer")

    syntax = "json"
    adds_at_once = True
    defaults: Mapping[str, object] = {"value_objects": ()}

    def _read(self) -> None:
        scan = Scan(self.source, _paths(self.options["value_objects"]))
        self.rows = scan.rows
        self._opened = scan.groups
        self._writer: Writer | None = None

    def _span(self, index: int) -> tuple[int, int]:
        return self.rows[index][3]

    def starts(self) -> list[int]:
        return [start for _, _, _, (start, _) in self.rows]

    def _kind(self, index: int) -> str:
        _, _, value, (start, _) = self.rows[index]
        kind = kind_of(self.source.text[start])
        return "object" if kind == "list" and isinstance(value, str) else kind

    def _list_groups(self) -> list[Group]:
        root = [] if self._opened else [Group((), {}, 0, len(self.source.text))]
        return root + [Group(path, {}, start, end) for path, start, end in self._opened]

    # ---- edits

    def _put(self, index: int, new: New) -> list[Edit]:
        _, _, value, (start, end) = self.rows[index]
        kind = self._kind(index)
        if isinstance(new.value, tuple):
            if kind == "list":
                return self._write().list_edits(new, start, end)
        elif (new.value, new.kind) == (value, kind):
            return []
        return [(start, end, self._write().value(new))]

    def _write(self) -> Writer:
        if self._writer is None:
            self._writer = Writer(self.source)
        return self._writer

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        """Neighbours go in one run, with the commas between and after them; at the end of a group, with that before."""
        text = self.source.text
        runs: list[list[int]] = []  # offset of the separator before the run, the end of its last value
        for index in indices:
            start, end = self._span(index)
            before = back_over_blanks(text, member_start(text, start)) - 1
            if before < 0:
                says = "the only value of the file cannot be deleted"
                raise OutputError(says, self.where(index), "delete the file instead")
            if runs and self._skip(runs[-1][1]) == before:
                runs[-1][1] = end
            else:
                runs.append([before, end])
        edits = []
        for before, end in runs:
            after = self._skip(end)
            if text[after] == ",":
                edits.append((before + 1, after + 1, ""))
            elif text[before] == ",":
                edits.append((before, end, ""))
            else:
                edits.append((before + 1, after, ""))
        return edits

    def _add_all(self, additions: Sequence[Addition]) -> list[Edit]:
        return Adder(self.source, self.rows, self._opened, self._write()).add(additions)

    def _skip(self, pos: int) -> int:
        return BLANK.match(self.source.text, pos).end()  # type: ignore[union-attr]


def _paths(option: object) -> tuple[Path, ...]:
    if not isinstance(option, tuple) or not all(isinstance(path, (list, tuple)) for path in option):
        says = "the option 'value_objects' of json must be a list of paths"
        raise UsageError(says, hint='write it as [["group", "part"]]')
    return tuple(map(tuple, option))
