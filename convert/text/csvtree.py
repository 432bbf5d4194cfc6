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

from collections.abc import Iterable, Mapping, Sequence

from convert.errors import InputError, OutputError, Problem, UsageError
from convert.text.csvscan import DELIMITERS, Cell, scan, sniff_delimiter
from convert.text.edit import Edit, line_end
from convert.text.pairs import BLANKS
from convert.text.tree import NOTHING, Group, New, Tree

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from convert.text.source import Source


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> CsvTree:
    """Read a table. InputError for a missing column of names or beyond a limit; UsageError for impossible options."""
    return CsvTree(source, options)


class CsvTree(Tree):
    """The mark of a row is (line of the table, column), both from 0."""

    __slots__ = ("_columns", "_delimiter", "_head", "_key", "_notes", "_table", "_titles", "_unit_column")

    syntax = "csv"
    holds_units = True
    defaults: Mapping[str, Any] = {"delimiter": "", "key_column": "", "unit_column": "", "note_columns": ()}

    # ---- reading

    def _read(self) -> None:
        options = self.options
        self._delimiter = options["delimiter"] or sniff_delimiter(self.source)
        if self._delimiter not in DELIMITERS:
            raise UsageError("the delimiter of csv must be ',', ';' or a tab")
        self._table = list(scan(self.source, self._delimiter))
        self._head = next((at for at, row in enumerate(self._table) if any(map(self._value, row))), -1)
        self._titles = [self._value(cell) for cell in self._table[self._head]] if self._head >= 0 else []
        self._key = self._column(options["key_column"]) if options["key_column"] and self._titles else 0
        if self._key < 0:
            raise InputError(
                f"no column has the title {options['key_column']!r}",
                self.source.location(self._table[self._head][0][0]),
                f"the titles are {', '.join(map(repr, self._titles[:8]))}",
            )
        self._unit_column = self._column(options["unit_column"]) if options["unit_column"] else -1
        self._notes = [at for at, title in enumerate(self._titles) if title in options["note_columns"]]
        beside = {self._key, self._unit_column, *self._notes}
        self._columns = [at for at, title in enumerate(self._titles) if title and at not in beside]
        paths = [(title,) for title in self._titles]
        for line in range(self._head + 1, len(self._table)):
            row = self._table[line]
            key = self._value(row[self._key]) if self._key < len(row) else ""
            for column in self._columns if key else ():
                value = self._value(row[column]) if column < len(row) else ""
                if value:
                    self.rows.append((paths[column], key, value, (line, column)))

    def _column(self, title: str) -> int:
        return self._titles.index(title) if title in self._titles else -1

    def _value(self, cell: Cell) -> str:
        return cell[2] if self._quoted(cell) else cell[2].strip(BLANKS)

    def _quoted(self, cell: Cell) -> bool:
        return self.source.text.startswith('"', cell[0], cell[1])

    def _extent(self, cell: Cell) -> tuple[int, int]:
        """The span of a cell without the white space around it."""
        start, end, raw = cell
        if self._quoted(cell):
            return start, end
        start += len(raw) - len(raw.lstrip(BLANKS))
        return start, max(start, end - len(raw) + len(raw.rstrip(BLANKS)))

    def _span(self, index: int) -> tuple[int, int]:
        line, column = self.rows[index][3]
        return self._extent(self._table[line][column])

    def _starts(self) -> list[int]:
        table = self._table
        return [table[line][column][0] for _, _, _, (line, column) in self.rows]

    def _unit(self, index: int) -> str | None:
        return self._at(self.rows[index][3][0], self._unit_column) or None

    def _at(self, line: int, column: int) -> str:
        """The value at a place of the table, "" beyond its edges."""
        row = self._table[line]
        return self._value(row[column]) if 0 <= column < len(row) else ""

    def _list_groups(self) -> list[Group]:
        groups = [Group((), {}, 0, len(self.source.text))]
        for column in self._columns:
            groups.append(Group((self._titles[column],), {}, *self._extent(self._table[self._head][column])))
        return groups

    def _list_problems(self) -> list[Problem]:
        problems = self._repeated()
        seen: set[str] = set()
        for column in self._columns:
            if self._titles[column] in seen:
                says = f"the title {self._titles[column]!r} is there twice"
                problems.append(Problem(says, self._place(self._head, column), "rename one of the columns"))
            seen.add(self._titles[column])
        for line in range(self._head + 1, len(self._table)):
            row = self._table[line]
            named = bool(self._at(line, self._key))
            for column, cell in enumerate(row):
                if not self._value(cell):
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
        for row in self._table[-1:]:
            start, end, _ = row[-1] if row else (0, 0, "")
            inside = self.source.text[start + 1 : end].replace('""', "")
            if self.source.text.startswith('"', start, end) and '"' not in inside:
                says = "this quote is never closed"
                problems.append(Problem(says, self.source.location(start), "write a quote at the end of the cell"))
        return problems

    def _place(self, line: int, column: int) -> Any:
        return self.source.location(self._table[line][column][0])

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
                raise self._clash(row[1], self._unit(index), units[line])
        return edits + self._fill({(line, self._unit_place(unit)): self._quote(unit) for line, unit in units.items()})

    def _put(self, index: int, new: New) -> list[Edit]:
        line, column = self.rows[index][3]
        cell = self._table[line][column]
        return [self._write(cell, self._spell(new.key, new.value, self._quoted(cell)))]

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        return [(*self._span(index), "") for index in indices]

    def _add(self, path: tuple[str, ...], items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        if len(path) != 1:
            says = f"there is no place for the group {'/'.join(path)!r} in a table"
            raise OutputError(says, self.source.location(0), "a group of a table is one column: give its title")
        if self._head < 0:
            return self._begin(path[0], items)
        places: dict[tuple[int, int], str] = {}
        column = next((at for at in self._columns if self._titles[at] == path[0]), -1)
        if column < 0:  # behind all cells there are, so that no cell gets a title that it did not have
            column = max(map(len, self._table))
            places = {(line, column): "" for line, row in enumerate(self._table) if row}
            places[self._head, column] = path[0]
        lines: dict[str, list[int]] = {}
        for line in range(len(self._table) - 1, self._head, -1):
            if not self._at(line, column):
                lines.setdefault(self._at(line, self._key), []).append(line)
        more = []
        for new in items:
            free = lines.get(new.key)
            if not free or not new.key:
                more.append(self._row(new, column))
                continue
            line = free.pop()
            places[line, column] = self._spell(new.key, new.value)
            unit = self._at(line, self._unit_column)
            if new.unit is not None and new.unit != unit:
                if unit or places.get((line, self._unit_place(new.unit)), new.unit) != new.unit:
                    raise self._clash(new.key, unit, new.unit)
                places[line, self._unit_place(new.unit)] = self._quote(new.unit)
        last = max(line for line, row in enumerate(self._table) if row)
        end = line_end(self.source.text)
        at = self._table[last][-1][1]
        return [*self._fill(places), *((at, at, end + row) for row in more)]

    def _begin(self, title: str, items: Sequence[New]) -> list[Edit]:
        """A table where there is none yet."""
        options = self.options
        names = [options["key_column"] or "setting", options["unit_column"], *options["note_columns"][:1]]
        notes = (lambda new: new.key, lambda new: new.unit or "", lambda new: new.comment)
        end, size = line_end(self.source.text), len(self.source.text)
        rows = [self._join([*filter(None, names), title])]
        for new in items:
            if new.unit is not None and not options["unit_column"]:
                self._unit_place(new.unit)
            beside = [self._quote(note(new)) for name, note in zip(names, notes, strict=False) if name]
            rows.append(self._delimiter.join([*beside, self._spell(new.key, new.value)]))
        return [(size, size, "".join(row + end for row in rows))]

    def _row(self, new: New, column: int) -> str:
        """A row of the table for an entry, as long as the titles are or the column needs."""
        cells = [""] * max(len(self._titles), column + 1)
        cells[self._key] = self._quote(new.key)
        cells[column] = self._spell(new.key, new.value)
        if new.unit is not None:
            cells[self._unit_place(new.unit)] = self._quote(new.unit)
        if self._notes:
            cells[self._notes[0]] = self._quote(new.comment)
        return self._delimiter.join(cells)

    def _fill(self, places: Mapping[tuple[int, int], str]) -> list[Edit]:
        """The edits that put spelt cells at places of the table, beyond the end of a row too."""
        edits: list[Edit] = []
        beyond: dict[int, dict[int, str]] = {}
        for (line, column), spelt in sorted(places.items()):
            row = self._table[line]
            if column < len(row):
                edits.append(self._write(row[column], spelt))
            else:
                beyond.setdefault(line, {})[column] = spelt
        for line, cells in beyond.items():
            row = self._table[line]
            at = row[-1][1]
            added = (self._delimiter + cells.get(column, "") for column in range(len(row), max(cells) + 1))
            edits.append((at, at, "".join(added)))
        return edits

    def _write(self, cell: Cell, spelt: str) -> Edit:
        """The edit of one cell; white space around it stays, but not around quotes, which it would make literal."""
        return (cell[0], cell[1], spelt) if spelt.startswith('"') else (*self._extent(cell), spelt)

    def _unit_place(self, unit: str) -> int:
        if self._unit_column < 0:
            where = self.source.location(0)
            raise OutputError(f"this table has no column for the unit {unit!r}", where, "write the value without it")
        return self._unit_column

    def _clash(self, key: str, unit: str | None, wanted: str) -> OutputError:
        says = f"the row {key!r} is in the unit {unit or '(none)'}, and {wanted} is asked for in one of its columns"
        return OutputError(says, self.source.location(0), "a row has one unit: convert the value or the whole row")

    def _spell(self, key: str, value: str | tuple, quoted: bool = False) -> str:
        if not isinstance(value, str):
            where = self.source.location(0)
            raise OutputError(f"the list {key!r} cannot be written as it is", where, "join its values to one text")
        return self._quote(value, quoted)

    def _quote(self, value: str, quoted: bool = False) -> str:
        """A cell, in quotes if it has a delimiter, a quote, a line break (RFC 4180, 2.6) or white space at an end."""
        special = any(char in value for char in (self._delimiter, '"', "\n", "\r"))
        if quoted or special or value != value.strip(BLANKS):
            return '"' + value.replace('"', '""') + '"'
        return value

    def _join(self, values: Iterable[str]) -> str:
        return self._delimiter.join(map(self._quote, values))
