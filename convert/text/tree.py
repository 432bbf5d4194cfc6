"""What all text trees share: entries with their spans, and edits that leave every other byte alone.

A tree is its source text plus `rows`, one light tuple per entry. All else (entries, groups, problems) is derived when
asked for. A syntax is one subclass of `Tree` with these parts:

    syntax, defaults, holds_units, limit     class attributes: name, options and their defaults, see below
    adds_at_once           whether the edits for additions to several groups may be spliced in together
    _read()                set self.rows: (path, key, value, mark), in document order; mark is the syntax's own
    _span(index)           start and end of the raw text of a value
    _kind(index), _unit(index)               only where not always "text" and None
    starts(), lines()      only where they are had quicker than by _span
    _list_groups()         the groups, root first
    _list_problems()       problems; the default reports what is written more than once
    _put(index, new)       the edits that give an entry a new value
    _cut(indices)          the edits that remove entries (ascending), together with what belonged to each
    _add(path, items, attributes)            the edits that append entries to a group, made if missing
    _add_all(additions)    only where those for several groups are more than one after the other

An edit is (start, end, new text). `replace` and `extend` splice the edits in, parse the result and compare it with what
was asked: text that would not read back is refused with an OutputError, never returned.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from convert.errors import Location, OutputError, Problem, UsageError
from convert.text.edit import Edit, splice
from convert.text.limits import check

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any, Self

    from convert.text.source import Source

NOTHING: Mapping[str, Any] = {}


class Entry(NamedTuple):
    """One name-value pair. `value` is decoded (a list is a tuple of strings or tuples); `start:end` is its raw text.

    kind: "text", "number", "flag", "null", "list" or "object". unit: what stands beside the value, or None.
    """

    path: tuple[str, ...]
    key: str
    value: str | tuple
    kind: str
    unit: str | None
    start: int
    end: int
    index: int  # type: ignore[assignment]  # stands in front of the tuple's own


class Group(NamedTuple):
    """A section, object, element or column; the root has the path (). `start:end` is its text."""

    path: tuple[str, ...]
    attributes: Mapping[str, str]
    start: int
    end: int


class New(NamedTuple):
    """A value to write. In `replace` the key and the comment are not used; unit None leaves the unit as it is."""

    key: str
    value: str | tuple
    kind: str = "text"
    unit: str | None = None
    comment: str = ""


Addition = tuple[tuple[str, ...], Sequence[New], Mapping[str, str]]
"""What `extend` takes: path, items, attributes."""


class Tree:
    """The entries of one text. Immutable: `replace` and `extend` return another tree."""

    __slots__ = ("_groups", "_problems", "options", "rows", "source")

    syntax = ""
    defaults: Mapping[str, Any] = {}
    holds_units = False
    adds_at_once = False
    limit = "size"

    def __init__(self, source: Source, options: Mapping[str, object] = NOTHING) -> None:
        """Read the source. InputError where it is beyond a limit or breaks the syntax; UsageError for bad options."""
        check(self.limit, len(source.data), source.path)
        self.source = source
        self.options = settle(self.syntax, self.defaults, options) if options else self.defaults
        self.rows: list[tuple[tuple[str, ...], str, Any, Any]] = []
        self._groups: list[Group] | None = None
        self._problems: list[Problem] | None = None
        self._read()
        check("entries", len(self.rows), source.path)

    def __repr__(self) -> str:
        return f"<{self.syntax} tree of {self.source.path}, {len(self.rows)} entries>"

    # ---- reading

    @property
    def entries(self) -> Sequence[Entry]:
        """All entries in document order; each is made when it is looked at."""
        return Entries(self)

    def entry(self, index: int) -> Entry:
        """The entry of that ordinal (0..len(rows)-1)."""
        path, key, value, _ = self.rows[index]
        return Entry(path, key, value, self._kind(index), self._unit(index), *self._span(index), index)

    def form(self, index: int) -> tuple[str, str | None]:
        """Kind and unit of an entry; quicker than its whole entry."""
        return self._kind(index), self._unit(index)

    def raw(self, index: int) -> str:
        """The raw text of an entry's value."""
        start, end = self._span(index)
        return self.source.text[start:end]

    @property
    def groups(self) -> list[Group]:
        """The groups in document order, the root first."""
        if self._groups is None:
            self._groups = self._list_groups()
        return self._groups

    @property
    def problems(self) -> list[Problem]:
        """What is odd about the text although it could be read."""
        if self._problems is None:
            self._problems = self._list_problems()
        return self._problems

    def pieces(self) -> Iterator[str]:
        """The text, cut before and after each value; joined they are `source.text`."""
        text, done = self.source.text, 0
        for index in range(len(self.rows)):
            start, end = self._span(index)
            yield text[done:start]
            yield text[start:end]
            done = end
        yield text[done:]

    def render(self) -> bytes:
        """The bytes of the tree; of an unedited tree, exactly the bytes that were read."""
        return self.source.encode("".join(self.pieces()))

    def where(self, index: int) -> Location:
        """The place of an entry's value."""
        return self.source.location(self._span(index)[0])

    def line(self, index: int) -> int:
        """The line, from 1, on which an entry's value begins; quicker than its whole entry."""
        return self.source.place(self._span(index)[0])[0]

    def lines(self) -> list[int]:
        """The line of each entry; quicker than one by one."""
        starts = self.source.starts
        return [bisect_right(starts, start) for start in self.starts()]

    def starts(self) -> list[int]:
        """The offset of each entry's value; quicker than one by one."""
        return [self._span(index)[0] for index in range(len(self.rows))]

    # ---- writing

    def replace(self, changes: Mapping[int, New | None]) -> Self:
        """Give entries (by index) new values; None deletes the entry with what belongs to it.

        Every other byte stays. OutputError if the syntax, the encoding or the place cannot hold a value.
        """
        size = len(self.rows)
        if not all(0 <= index < size for index in changes):
            raise IndexError("there is no such entry")
        news = {index: new for index, new in changes.items() if new is not None}
        gone = sorted(index for index in changes if index not in news)
        for index, new in news.items():
            self._accept(new, self.where(index))
        edits = self._put_all(news)
        if gone:
            edits += self._cut(gone)
        tree = self._again(splice(self.source.text, edits))
        kept = [index for index in range(size) if index in news or index not in changes]
        for index, row in zip(kept, tree.rows, strict=False):
            before = self.rows[index]
            wanted = news[index].value if index in news else before[2]
            if row[2] != wanted or (not gone and row[:2] != before[:2]):
                raise self._unreadable(before[1], self.where(index))
        if len(kept) != len(tree.rows):
            raise self._unreadable(", ".join(self.rows[index][1] for index in list(changes)[:3]), None)
        return tree

    def extend(self, path: tuple[str, ...], items: Sequence[New], attributes: Mapping[str, str] = NOTHING) -> Self:
        """Append entries to a group; missing groups are made, with these attributes where the syntax has them.

        Every byte that was there stays, in order. OutputError if the syntax cannot hold a name or value.
        """
        return self._extended([(tuple(path), items, attributes)])

    def extend_all(self, groups: Sequence[Addition]) -> Self:
        """`extend` for several groups: (path, items, attributes) each. Parsed once where the syntax allows it."""
        if self.adds_at_once and len({path for path, _, _ in groups}) == len(groups):
            known = {group.path for group in self.groups}
            return self._extended(sorted(groups, key=lambda addition: addition[0] not in known))  # new groups go last
        tree = self
        for path, items, attributes in groups:
            tree = tree.extend(path, items, attributes)
        return tree

    def _extended(self, groups: Sequence[Addition]) -> Self:
        for _, items, _ in groups:
            for new in items:
                self._accept(new, None)
        edits = self._add_all(groups)
        tree = self._again(splice(self.source.text, edits))
        before = [row[:3] for row in self.rows]
        after = [row[:3] for row in tree.rows]
        wanted = [(path, new.key, new.value) for path, items, _ in groups for new in items]
        if after != before + wanted:  # they need not come last
            more = Counter(after)
            more.subtract(before + wanted)
            odd = [key for path, key, value in wanted if more[path, key, value]]
            if odd or len(after) != len(before) + len(wanted):
                raise self._unreadable(odd[0] if odd else ", ".join(key for _, key, _ in wanted[:3]), None)
        for path, items, _ in groups:
            if not items and path not in [group.path for group in tree.groups]:
                raise self._unreadable(str(path), None)
        return tree

    def _accept(self, new: New, where: Location | None) -> None:
        if new.unit is not None and not self.holds_units:
            says = f"this file has no place for the unit {new.unit!r} of {new.key!r}"
            raise OutputError(says, where or Location(self.source.path), "write the value in the unit the file expects")

    def _again(self, text: str) -> Self:
        return type(self)(self.source.with_text(text), self.options)

    def _unreadable(self, key: str, where: Location | None) -> OutputError:
        says = f"{key!r} would not read back as it was meant"
        hint = f"{self.syntax} cannot hold this name or value here"
        return OutputError(says, where or Location(self.source.path), hint)

    # ---- the parts of a syntax

    def _read(self) -> None:
        raise NotImplementedError

    def _span(self, index: int) -> tuple[int, int]:
        raise NotImplementedError

    def _kind(self, index: int) -> str:
        return "text"

    def _unit(self, index: int) -> str | None:
        return None

    def _list_groups(self) -> list[Group]:
        raise NotImplementedError

    def _list_problems(self) -> list[Problem]:
        return self._repeated()

    def _put_all(self, news: Mapping[int, New]) -> list[Edit]:
        return [edit for index, new in news.items() for edit in self._put(index, new)]

    def _put(self, index: int, new: New) -> list[Edit]:
        raise NotImplementedError

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        raise NotImplementedError

    def _add_all(self, additions: Sequence[Addition]) -> list[Edit]:
        return [edit for addition in additions for edit in self._add(*addition)]

    def _add(self, path: tuple[str, ...], items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        raise NotImplementedError

    def _repeated(self) -> list[Problem]:
        """One problem for each name that is written more than once in its group."""
        first: dict[tuple[tuple[str, ...], str], list[int]] = {}
        for index, row in enumerate(self.rows):
            first.setdefault(row[:2], []).append(index)
        problems = []
        for (_, key), indices in first.items():
            if len(indices) > 1:
                lines = [str(self.where(index).line) for index in indices[:5]] + ["..."] * (len(indices) > 5)
                says = f"{key!r} is written {len(indices)} times, on lines {', '.join(lines)}"
                problems.append(Problem(says, self.where(indices[-1]), "keep one of them"))
        return problems


class Entries(Sequence[Entry]):
    """The entries of a tree as a sequence that makes each one late."""

    __slots__ = ("_tree",)

    def __init__(self, tree: Tree) -> None:
        self._tree = tree

    def __len__(self) -> int:
        return len(self._tree.rows)

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, slice):
            return [self._tree.entry(at) for at in range(*index.indices(len(self)))]
        size = len(self)
        if not -size <= index < size:
            raise IndexError(index)
        return self._tree.entry(index % size)


def settle(syntax: str, defaults: Mapping[str, Any], given: Mapping[str, object]) -> dict[str, Any]:
    """The options of a syntax: the defaults, overridden. UsageError for an unknown name or a value of another type.

    A list is taken for a tuple. A default of None accepts anything.

    >>> settle("ini", {"marks": ("=",), "deep": False}, {"marks": ["=", ":"]})
    {'marks': ('=', ':'), 'deep': False}
    >>> settle("ini", {"marks": ("=",), "deep": False}, {"deep": "yes"})
    Traceback (most recent call last):
    convert.errors.UsageError: the option 'deep' of ini must be bool, not str
    """
    options = dict(defaults)
    for name, value in given.items():
        if name not in defaults:
            raise UsageError(f"{syntax} has no option {name!r}", hint=f"its options are {', '.join(sorted(defaults))}")
        if isinstance(value, list):
            value = tuple(value)
        default = defaults[name]
        if default is not None and type(value) is not type(default):
            wanted, got = type(default).__name__, type(value).__name__
            raise UsageError(f"the option {name!r} of {syntax} must be {wanted}, not {got}")
        if default and isinstance(value, tuple) and not all(isinstance(word, str) for word in value):
            raise UsageError(f"the option {name!r} of {syntax} must be a list of texts")
        options[name] = value
    return options
