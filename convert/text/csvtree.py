"""CSV text: a table with a name in each row and a profile in each column; every byte is kept.

The first row that is not blank holds the titles. One column holds the names (the first, if no option says so), perhaps
one the units, perhaps some hold notes; each other column with a title is a group whose path is that title. A cell that
is not empty is an entry. White space around a cell without quotes is no part of its value.
Rows may be of any length.

>>> from convert.text.source import Source
>>> tree = parse(Source.from_bytes(b"name;A;B\\nwidth;0,4;\\nnote;;\\"x;y\\"\\n"))
>>> [row[:3] for row in tree.rows]
[(('A',), 'width', '0,4'), (('B',), 'note', 'x;y')]
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from convert.errors import InputError, OutputError, Problem, UsageError
from convert.text.csvadd import Adder, Columns, clash, no_list, unit_column
from convert.text.csvscan import DELIMITERS, Cell, cells_at, is_quoted, read, sniff_delimiter
from convert.text.edit import Edit, line_end
from convert.text.pairs import BLANKS
from convert.text.tree import NOTHING, Addition, Group, New, Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from convert.text.source import Source


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> CsvTree:
    """Read a table. InputError for a missing column of names or beyond a limit; UsageError for impossible options."""
    return CsvTree(source, options)


class CsvTree(Tree):
    """The mark of a row is (line of the table, column), both from 0."""

    __slots__ = (
        *("_cells", "_columns", "_delimiter", "_flat", "_head", "_key"),
        *("_notes", "_offsets", "_titles", "_unit_column", "_values"),
    )

    syntax = "csv"
    adds_at_once = True
    holds_units = True
    defaults: Mapping[str, Any] = {"delimiter": "", "key_column": "", "unit_column": "", "note_columns": ()}

    # ---- reading

    def _read(self) -> None:
        options = self.options
        self._delimiter = options["delimiter"] or sniff_delimiter(self.source)
        if self._delimiter not in DELIMITERS:
            raise UsageError("the delimiter of csv must be ',', ';' or a tab")
        self._values, self._offsets = read(self.source, self._delimiter)
        self._flat = self.source.flat
        self._cells: dict[int, list[Cell]] = {}
        self._head = next((at for at, row in enumerate(self._values) if any(row)), -1)
        self._titles = self._values[self._head] if self._head >= 0 else []
        self._key = self._column(options["key_column"]) if options["key_column"] and self._titles else 0
        if self._key < 0:
            raise InputError(
                f"no column has the title {options['key_column']!r}",
                self.source.location(self._row(self._head)[0][0]),
                f"the titles are {', '.join(map(repr, self._titles[:8]))}",
            )
        self._unit_column = self._column(options["unit_column"]) if options["unit_column"] else -1
        self._notes = [at for at, title in enumerate(self._titles) if title in options["note_columns"]]
        beside = {self._key, self._unit_column, *self._notes}
        self._columns = [at for at, title in enumerate(self._titles) if title and at not in beside]
        columns = [(column, (self._titles[column],)) for column in self._columns]
        for line, row in enumerate(self._values[self._head + 1 :], self._head + 1):
            size = len(row)
            if self._key < size and (key := row[self._key]):
                for column, path in columns:
                    if column < size and (value := row[column]):
                        self.rows.append((path, key, value, (line, column)))

    def _row(self, line: int) -> list[Cell]:
        """The cells of a row of the table with their places, worked out when they are asked for."""
        if line not in self._cells:
            self._cells[line], _ = cells_at(self.source, self._flat, self._offsets[line], self._delimiter)
        return self._cells[line]

    def _column(self, title: str) -> int:
        return self._titles.index(title) if title in self._titles else -1

    def _quoted(self, cell: Cell) -> bool:
        return is_quoted(self.source.text, cell)

    def _extent(self, cell: Cell) -> tuple[int, int]:
        """The span of a cell without the white space around it."""
        start, end, raw = cell
        if self._quoted(cell):
            return start, end
        start += len(raw) - len(raw.lstrip(BLANKS))
        return start, max(start, end - len(raw) + len(raw.rstrip(BLANKS)))

    def _span(self, index: int) -> tuple[int, int]:
        line, column = self.rows[index][3]
        return self._extent(self._row(line)[column])

    def lines(self) -> list[int]:
        starts = self.source.starts
        first = [bisect_right(starts, offset) for offset in self._offsets]
        first.append(len(starts) + (starts[-1] < len(self.source.text)))
        return [
            first[line] if first[line + 1] == first[line] + 1 else self.line(index)  # a quoted cell goes on over lines
            for index, (_, _, _, (line, _)) in enumerate(self.rows)
        ]

    def _unit(self, index: int) -> str | None:
        return self._at(self.rows[index][3][0], self._unit_column) or None

    def _at(self, line: int, column: int) -> str:
        """The value at a place of the table, "" beyond its edges."""
        row = self._values[line]
        return row[column] if 0 <= column < len(row) else ""

    def _list_groups(self) -> list[Group]:
        groups = [Group((), {}, 0, len(self.source.text))]
        head = self._row(self._head) if self._columns else []
        for column in self._columns:
            groups.append(Group((self._titles[column],), {}, *self._extent(head[column])))
        return groups

    def _list_problems(self) -> list[Problem]:
        problems = self._repeated()
        seen: set[str] = set()
        for column in self._columns:
            if self._titles[column] in seen:
                says = f"the title {self._titles[column]!r} is there twice"
                problems.append(Problem(says, self._place(self._head, column), "rename one of the columns"))
            seen.add(self._titles[column])
        for line in range(self._head + 1, len(self._values)):
            named = bool(self._at(line, self._key))
            for column, value in enumerate(self._values[line]):
                if not value:
                    continue
                if not named and column in self._columns:
                    problems.append(Problem("this row has no name", self._place(line, column), "name it or empty it"))
                    break
                if column >= len(self._titles) or not self._titles[column]:
                    says = "this cell stands in a column without a title"
                    problems.append(Problem(says, self._place(line, column), "give the column a title"))
        if len(self._titles) == 1 and (seems := sniff_delimiter(self.source)) != self._delimiter:
            says = f"the delimiter {self._delimiter!r} cuts nothing; it seems to be {seems!r}"
            problems.append(Problem(says, self._place(self._head, 0), "save the table with the other delimiter"))
        if self._values:
            row = self._row(len(self._values) - 1)
            start, end, _ = row[-1] if row else (0, 0, "")
            inside = self.source.text[start + 1 : end].replace('""', "")
            if self.source.text.startswith('"', start, end) and '"' not in inside:
                says = "this quote is never closed"
                problems.append(Problem(says, self.source.location(start), "write a quote at the end of the cell"))
        return problems

    def _place(self, line: int, column: int) -> Any:
        return self.source.location(self._row(line)[column][0])

    # ---- writing

    def _put_all(self, news: Mapping[int, New]) -> list[Edit]:
        edits = super()._put_all(news)
        units: dict[int, str] = {}
        for index, new in news.items():
            if new.unit is not None and new.unit != self._unit(index):
                units[self.rows[index][3][0]] = new.unit
        for index, row in enumerate(self.rows if units else ()):
            line = row[3][0]
            if line in units and (index not in news or news[index].unit != units[line]):
                raise clash(self.source, row[1], self._unit(index), units[line])
        places = {(line, unit_column(self.source, self._unit_column, unit)): unit for line, unit in units.items()}
        return edits + self._fill({place: self._quote(unit) for place, unit in places.items()})

    def _put(self, index: int, new: New) -> list[Edit]:
        line, column = self.rows[index][3]
        cell = self._row(line)[column]
        if not isinstance(new.value, str):
            raise no_list(self.source, new.key)
        return [self._write(cell, self._quote(new.value, self._quoted(cell)))]

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        return [(*self._span(index), "") for index in indices]

    def _add_all(self, additions: Sequence[Addition]) -> list[Edit]:
        for path, _, _ in additions:
            if len(path) != 1:
                says = f"there is no place for the group {'/'.join(path)!r} in a table"
                raise OutputError(says, self.source.location(0), "a group of a table is one column: give its title")
        text, end = self.source.text, line_end(self.source.text)
        adder = self._adder()
        for (title,), items, _ in additions:
            adder.add(title, items)
        rows = [self._delimiter.join(map(self._quote, cells)) for cells in adder.new_rows()]
        if self._head < 0:
            return [(len(text), len(text), "".join(row + end for row in rows))]
        last = max(line for line, row in enumerate(self._values) if row)
        at = self._row(last)[-1][1]
        old = {place: self._quote(value) for place, value in adder.places.items() if place[0] < len(self._values)}
        return [*self._fill(old), *((at, at, end + row) for row in rows)]

    def _adder(self) -> Adder:
        options = self.options
        if self._head >= 0:
            notes = self._notes[0] if self._notes else -1
            columns = Columns(self._titles, self._columns, self._key, self._unit_column, notes)
            return Adder(self.source, columns, self._values, self._head)
        unit, note = options["unit_column"], next(iter(options["note_columns"]), "")
        titles = [title for title in (options["key_column"] or "setting", unit, note) if title]
        places = (titles.index(title) if title else -1 for title in (unit, note))
        return Adder(self.source, Columns(titles, (), 0, *places), (), 0)

    def _fill(self, places: Mapping[tuple[int, int], str]) -> list[Edit]:
        """The edits that put spelt cells at places of the table, beyond the end of a row too."""
        edits: list[Edit] = []
        beyond: dict[int, dict[int, str]] = {}
        for (line, column), spelt in sorted(places.items()):
            row = self._row(line)
            if column < len(row):
                edits.append(self._write(row[column], spelt))
            else:
                beyond.setdefault(line, {})[column] = spelt
        for line, cells in beyond.items():
            row = self._row(line)
            at = row[-1][1]
            added = (self._delimiter + cells.get(column, "") for column in range(len(row), max(cells) + 1))
            edits.append((at, at, "".join(added)))
        return edits

    def _write(self, cell: Cell, spelt: str) -> Edit:
        """The edit of one cell; white space around it stays, but not around quotes, which it would make literal."""
        return (cell[0], cell[1], spelt) if spelt.startswith('"') else (*self._extent(cell), spelt)

    def _quote(self, value: str, quoted: bool = False) -> str:
        """A cell, in quotes if it has a delimiter, a quote, a line break (RFC 4180, 2.6) or white space at an end."""
        special = self._delimiter in value or '"' in value or "\n" in value or "\r" in value
        if quoted or special or value != value.strip(BLANKS):
            return '"' + value.replace('"', '""') + '"'
        return value
