"""Where new entries go in a table: into rows of their key that are free, else into new rows; new groups are columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from convert.errors import OutputError
from convert.text.source import Source
from convert.text.tree import New


@dataclass(frozen=True, slots=True)
class Columns:
    """The titles of a table, which columns are groups, and those of the key, the unit and the note (-1: none)."""

    titles: Sequence[str]
    groups: Sequence[int]
    key: int
    unit: int
    note: int


class Adder:
    """What comes into a table, worked out without touching it.

    rows: the values that stand there; the one of the number `head` holds the titles, and is new if there are no rows.
    New rows are numbered on from them. places: the new values by row and column. size: how many cells a new row has.
    """

    def __init__(self, source: Source, columns: Columns, rows: Sequence[Sequence[str]], head: int) -> None:
        self._source, self._columns, self._rows, self._head = source, columns, rows, head
        self._by_title = {columns.titles[at]: at for at in reversed(columns.groups)}
        self._width = max(map(len, rows), default=len(columns.titles))
        self._keys = [self._at(row, columns.key) for row in range(len(rows))]
        self._units: dict[int, str] = {}
        self.places: dict[tuple[int, int], str] = {}
        self.size = len(columns.titles)
        if not rows:
            self._keys.append("")
            self.places.update(((head, at), title) for at, title in enumerate(columns.titles))

    def add(self, title: str, items: Sequence[New]) -> None:
        """Append entries to the column of that title, which is made if there is none."""
        column = self._column(title)
        free: dict[str, list[int]] = {}
        for row in range(len(self._keys) - 1, self._head, -1):
            if not self._at(row, column) and not self.places.get((row, column)):
                free.setdefault(self._keys[row], []).append(row)
        for new in items:
            if not isinstance(new.value, str):
                raise no_list(self._source, new.key)
            rows = free.get(new.key) if new.key else None
            row = rows.pop() if rows else self._row(new)
            self.places[row, column] = new.value
            if new.unit is not None:
                self._give(row, new.key, new.unit)

    def new_rows(self) -> list[list[str]]:
        """The cells of the new rows."""
        return [
            [self.places.get((row, column), "") for column in range(self.size)]
            for row in range(len(self._rows), len(self._keys))
        ]

    def _at(self, row: int, column: int) -> str:
        cells = self._rows[row] if row < len(self._rows) else ()
        return cells[column] if 0 <= column < len(cells) else ""

    def _column(self, title: str) -> int:
        """A new one goes behind all cells there are, so that no cell gets a title that it did not have."""
        if title not in self._by_title:
            column = self._by_title[title] = self._width
            self._width = self.size = column + 1
            self.places |= {(row, column): "" for row, cells in enumerate(self._rows) if cells}
            self.places[self._head, column] = title
        return self._by_title[title]

    def _row(self, new: New) -> int:
        row, columns = len(self._keys), self._columns
        self._keys.append(new.key)
        self.places[row, columns.key] = new.key
        if columns.note >= 0:
            self.places[row, columns.note] = new.comment
        return row

    def _give(self, row: int, key: str, unit: str) -> None:
        column = unit_column(self._source, self._columns.unit, unit)
        old = self._units.get(row) or self._at(row, column)
        if old and old != unit:
            raise clash(self._source, key, old, unit)
        if not old:
            self._units[row] = self.places[row, column] = unit


def unit_column(source: Source, column: int, unit: str) -> int:
    """The column of the units. OutputError if there is none."""
    if column < 0:
        where = source.location(0)
        raise OutputError(f"this table has no column for the unit {unit!r}", where, "write the value without it")
    return column


def clash(source: Source, key: str, unit: str | None, wanted: str) -> OutputError:
    """Two units for one row."""
    says = f"the row {key!r} is in the unit {unit or '(none)'}, and {wanted} is asked for in one of its columns"
    return OutputError(says, source.location(0), "a row has one unit: convert the value or the whole row")


def no_list(source: Source, key: str) -> OutputError:
    """A cell is one text."""
    says = f"the list {key!r} cannot be written as it is"
    return OutputError(says, source.location(0), "join its values to one text")
