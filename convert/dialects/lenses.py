"""Lenses between the keys of a file and the settings of a profile.

A lens joins one key or several to one setting or several. `read(cells)` takes the cells that stand in the file by key
and gives values by setting; `write(values, old)` gives the cells that say these values. The laws are those of the
atoms.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, NamedTuple

from convert.dialects.atoms import ABSENT, Atom, CannotSay, Cell, NumberAtom, PhraseAtom, Unreadable
from convert.dialects.code import CodeAtom
from convert.model.value import Share, State, Value

Cells = Mapping[str, Cell]
Values = Mapping[str, Value]
Numbers = Callable[[str], "str | None"]


class Said(NamedTuple):
    """What one text says: settings with their values, or why it cannot be read (`readable` False) or is doubted."""

    values: tuple[tuple[str, Value], ...]
    readable: bool = True
    says: str = ""
    hint: str = ""


class Lens:
    """Base of all lenses. `keys` and `settings` say what it joins; the reader and the writer remember things here.

    `memo` is what a text says, `told` what is written for a value.
    """

    __slots__ = ("keys", "memo", "settings", "told")

    def __init__(self, keys: Sequence[str], settings: Sequence[str]) -> None:
        self.keys, self.settings = tuple(keys), tuple(settings)
        self.memo: dict[str, Said] = {}
        self.told: dict[tuple[type, Value], Any] = {}

    def read(self, cells: Cells) -> dict[str, Value]:
        """Values by setting; a setting that the cells leave out is absent. Raises Unreadable."""
        raise NotImplementedError

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        """Cells by key; None takes the key away. Raises CannotSay."""
        raise NotImplementedError


class OneLens(Lens):
    """One key, one setting, one value."""

    __slots__ = ("atom", "key", "setting")

    def __init__(self, key: str, setting: str, atom: Atom) -> None:
        super().__init__((key,), (setting,))
        self.key, self.setting, self.atom = key, setting, atom

    def read(self, cells: Cells) -> dict[str, Value]:
        cell = cells[self.key]
        value = self.read_cell(cell)
        return {} if value is ABSENT else {self.setting: value}

    def read_cell(self, cell: Cell) -> Value:
        value = cell.value
        if isinstance(value, str):
            return self.atom.read(value, cell.unit)
        if isinstance(self.atom, CodeAtom):
            return self.atom.read_lines(value)
        if len(value) == 1 and isinstance(value[0], str):
            return self.atom.read(value[0], cell.unit)
        raise Unreadable(f"holds {len(value)} values where one is expected", "this row reads no lists")

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        value = values[self.setting]
        before = old.get(self.key)
        if isinstance(value, tuple) and not isinstance(self.atom, PhraseAtom):
            raise CannotSay("holds one value for all tools")
        if isinstance(self.atom, CodeAtom):
            return {self.key: self.atom.write(value, before, number)}
        if before is not None and isinstance(before.value, tuple):
            inner = self.atom.write(value, Cell(before.value[0], "text", before.unit))
            return {self.key: Cell((inner.value,), "list", inner.unit)}
        return {self.key: self.atom.write(value, before)}


class ListLens(OneLens):
    """One key, one value per tool: separated text or an array."""

    __slots__ = ("array", "separator")

    def __init__(self, key: str, setting: str, atom: Atom, separator: str) -> None:
        super().__init__(key, setting, atom)
        self.array = separator == "array"
        self.separator = "," if self.array else separator

    def read_cell(self, cell: Cell) -> Value:
        value = cell.value
        items = value if isinstance(value, tuple) else value.split(self.separator)
        if len(items) == 1 and isinstance(items[0], str):
            return self.atom.read(items[0].strip(" \t"), cell.unit)
        values = []
        for item in items:
            if not isinstance(item, str):
                raise Unreadable("holds a list inside a list", "one value per tool is expected")
            values.append(self.atom.read(item.strip(" \t"), cell.unit))
        if ABSENT in values:
            raise Unreadable("leaves one tool without a value", "write a value for every tool")
        return tuple(values)

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        value = values[self.setting]
        before = old.get(self.key)
        items = value if isinstance(value, tuple) else (value,)
        styles: list[str] = [""] * len(items)
        array = self.array
        if before is not None:
            array = isinstance(before.value, tuple)
            old_items = before.value if isinstance(before.value, tuple) else before.value.split(self.separator)
            if len(old_items) == len(items):
                styles = [item if isinstance(item, str) else "" for item in old_items]
            elif old_items and isinstance(old_items[-1], str):
                styles = [old_items[min(i, len(old_items) - 1)] for i in range(len(items))]
        unit, written = None, []
        for item, style in zip(items, styles, strict=True):
            bare = style.strip(" \t")
            like = Cell(bare, "text", before.unit if before is not None else None) if bare else None
            cell = self.atom.write(item, like)
            if not isinstance(cell.value, str):
                raise CannotSay("holds plain values only")
            lead = style[: len(style) - len(style.lstrip(" \t"))] if bare else ""
            tail = style[len(style.rstrip(" \t")) :] if bare else ""
            written.append(lead + cell.value + tail)
            unit = cell.unit
        if array:
            return {self.key: Cell(tuple(written), "list" if before is not None else self.atom_kind(), unit)}
        kind = before.kind if before is not None else ("text" if len(written) > 1 else self.atom_kind())
        return {self.key: Cell(self.separator.join(written), kind, unit)}

    def atom_kind(self) -> str:
        return self.atom.kind if isinstance(self.atom, NumberAtom) else "text"


class SplitLens(Lens):
    """One key that holds several settings, parted by one separator, or by one for each gap."""

    __slots__ = ("atoms", "key", "separators")

    def __init__(self, key: str, settings: Sequence[str], atoms: Sequence[Atom], separators: Sequence[str]) -> None:
        super().__init__((key,), settings)
        self.key, self.atoms, self.separators = key, tuple(atoms), tuple(separators)

    def parts(self, value: str | tuple) -> Sequence:
        """The parts of a value; too few of them where a separator is missing, too many where there are more."""
        if isinstance(value, tuple):
            return value
        if len(set(self.separators)) == 1:
            return value.split(self.separators[0])
        found, rest = [], value
        for separator in self.separators:
            part, there, rest = rest.partition(separator)
            found.append(part)
            if not there:
                return found
        return [*found, rest]

    def read(self, cells: Cells) -> dict[str, Value]:
        cell = cells[self.key]
        parts = self.parts(cell.value)
        if len(parts) != len(self.atoms):
            says = " and ".join(repr(separator) for separator in dict.fromkeys(self.separators))
            raise Unreadable(
                f"holds {len(parts)} part(s), {len(self.atoms)} expected", f"parts are separated by {says}"
            )
        values = {}
        for setting, atom, part in zip(self.settings, self.atoms, parts, strict=True):
            value = atom.read(str(part).strip(" \t"), cell.unit)
            if value is not ABSENT:
                values[setting] = value
        return values

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        before = old.get(self.key)
        styles: Sequence = [None] * len(self.atoms)
        if before is not None:
            found = self.parts(before.value)
            if len(found) == len(self.atoms):
                styles = found
        parts, unit = [], None
        for setting, atom, style in zip(self.settings, self.atoms, styles, strict=True):
            value = values.get(setting)
            if value is None:
                value = ABSENT
                if not (isinstance(atom, NumberAtom) and ABSENT in atom.words):
                    raise CannotSay(f"is written together with {setting}, which has no value")
            bare = style.strip(" \t") if style else ""
            like = Cell(bare, "text", before.unit if before is not None else None) if bare else None
            cell = atom.write(value, like)
            lead = style[: len(style) - len(style.lstrip(" \t"))] if bare else ""
            tail = style[len(style.rstrip(" \t")) :] if bare else ""
            parts.append(f"{lead}{cell.value}{tail}")
            unit = cell.unit
        if before is not None and isinstance(before.value, tuple):
            return {self.key: Cell(tuple(parts), "list", unit)}
        text = parts[0] + "".join(gap + part for gap, part in zip(self.separators, parts[1:], strict=True))
        return {self.key: Cell(text, "text", unit)}


class FlagsLens(Lens):
    """Several flag keys that together say one choice; none of them set says `none`."""

    __slots__ = ("atom", "choices", "none", "setting")

    def __init__(self, choices: Mapping[str, str], setting: str, atom: Atom, none: str | None) -> None:
        super().__init__(tuple(choices), (setting,))
        self.choices, self.setting, self.atom, self.none = dict(choices), setting, atom, none

    def read(self, cells: Cells) -> dict[str, Value]:
        chosen = [
            choice
            for key, choice in self.choices.items()
            if key in cells and self.atom.read(str(cells[key].value), cells[key].unit) is True
        ]
        if len(chosen) > 1:
            raise Unreadable(f"{' and '.join(chosen)} are both chosen", "leave one of the keys on")
        if chosen:
            return {self.setting: chosen[0]}
        return {} if self.none is None else {self.setting: self.none}

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        value = values[self.setting]
        if value not in self.choices.values() and value != self.none:
            raise CannotSay(f"has no key for '{value}'")
        cells: dict[str, Cell | None] = {}
        for key, choice in self.choices.items():
            if old and key not in old and choice != value:
                continue  # a key that the file leaves out stays out
            cells[key] = self.atom.write(choice == value, old.get(key))
        return cells


class AxesLens(Lens):
    """Two keys, the X and the Y coordinates of an outline."""

    __slots__ = ("atom", "separator")

    def __init__(self, x: str, y: str, setting: str, atom: Atom, separator: str) -> None:
        super().__init__((x, y), (setting,))
        self.atom, self.separator = atom, separator

    def read(self, cells: Cells) -> dict[str, Value]:
        missing = [key for key in self.keys if key not in cells]
        if missing:
            raise Unreadable(f"needs the key {missing[0]!r} beside it", "an outline has X and Y coordinates")
        columns = []
        for key in self.keys:
            cell = cells[key]
            items = cell.value if isinstance(cell.value, tuple) else cell.value.split(self.separator)
            columns.append(
                [self.atom.read(str(item).strip(" \t"), cell.unit) for item in items if str(item).strip(" \t")]
            )
        if len(columns[0]) != len(columns[1]):
            raise Unreadable(f"{len(columns[0])} X and {len(columns[1])} Y coordinates", "give each point both")
        return {self.settings[0]: tuple(zip(columns[0], columns[1], strict=True))}

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        points = values[self.settings[0]]
        if not is_outline(points):
            raise CannotSay("holds one closed outline of points")
        cells: dict[str, Cell | None] = {}
        for axis, key in enumerate(self.keys):
            before = old.get(key)
            column = [point[axis] for point in points]  # type: ignore[union-attr, index]
            array = self.separator == "array" if before is None else isinstance(before.value, tuple)
            if array:
                styles = (
                    before.value if before is not None and len(before.value) == len(column) else [None] * len(column)
                )
                texts = [_number(self.atom, v, s) for v, s in zip(column, styles, strict=True)]
                cells[key] = Cell(tuple(texts), "list", before.unit if before is not None else None)
            else:
                text = in_place(self.atom, column, before, self.separator)
                cells[key] = Cell(text, "text", before.unit if before is not None else None)
        return cells


class OutlineLens(Lens):
    """One key that holds the points of an outline: "0/0 300/0 300/300", or nested arrays."""

    __slots__ = ("areas", "atom", "coordinates", "key", "points", "setting")

    def __init__(self, key: str, setting: str, atom: NumberAtom, points: str, coordinates: str, areas: str) -> None:
        super().__init__((key,), (setting,))
        self.key, self.setting, self.atom = key, setting, atom
        self.points, self.coordinates, self.areas = points, coordinates, areas

    def read(self, cells: Cells) -> dict[str, Value]:
        cell = cells[self.key]
        if isinstance(cell.value, tuple):
            return {self.setting: self._read_array(cell.value, cell.unit)}
        special = self.atom.special.get(cell.value)
        if special is not None:
            return {} if special is ABSENT else {self.setting: special}
        areas = []
        for area in cell.value.split(self.areas):
            points = []
            for point in area.split(self.points):
                if not point.strip(" \t"):
                    continue
                pair = point.split(self.coordinates)
                if len(pair) != 2:
                    raise Unreadable(
                        f"the point {point.strip()!r} has {len(pair)} coordinate(s), not 2",
                        f"points are written x{self.coordinates}y",
                    )
                points.append(tuple(self.atom.read(number.strip(" \t"), cell.unit) for number in pair))
            areas.append(tuple(points))
        return {self.setting: areas[0] if len(areas) == 1 else tuple(areas)}

    def _read_array(self, value: tuple, unit: str | None) -> Value:
        if value and all(isinstance(item, tuple) and item and isinstance(item[0], tuple) for item in value):
            return tuple(self._read_array(item, unit) for item in value)
        points = []
        for item in value:
            if not isinstance(item, tuple) or len(item) != 2 or not all(isinstance(n, str) for n in item):
                raise Unreadable("a point is a pair of numbers", "write [[x, y], [x, y], ...]")
            points.append((self.atom.read(item[0], unit), self.atom.read(item[1], unit)))
        return tuple(points)

    def write(self, values: Values, old: Cells, number: Numbers | None = None) -> dict[str, Cell | None]:
        value = values[self.setting]
        before = old.get(self.key)
        if isinstance(value, (State, Share)):
            return {self.key: self.atom.write(value, before)}
        areas = (value,) if is_outline(value) else value
        if not isinstance(areas, tuple) or not all(is_outline(area) for area in areas):
            raise CannotSay("holds outlines of points")
        unit = before.unit if before is not None else self.atom.beside
        if self.points == "array" if before is None else isinstance(before.value, tuple):
            nested = tuple(
                tuple(tuple(_number(self.atom, n, None) for n in point) for point in area)  # type: ignore[union-attr]
                for area in areas
            )
            kind = "list" if before is not None else self.atom.kind
            cell = Cell(nested[0] if is_outline(value) else nested, kind, unit)
            if before is not None and self._same(before, value):
                cell = before  # numbers in arrays keep the spelling they have
            return {self.key: cell}
        flat = [number for area in areas for point in area for number in point]  # type: ignore[union-attr]
        fresh = self.areas.join(self._spell(area) for area in areas)
        text = in_place(self.atom, flat, before, None)
        cell = Cell(text or fresh, "text", unit)
        if text and not self._same(cell, value):
            cell = Cell(fresh, "text", unit)
        return {self.key: cell}

    def _spell(self, area: Any) -> str:
        """The text of one outline in a new file."""
        return self.points.join(self.coordinates.join(_number(self.atom, n, None) for n in point) for point in area)

    def _same(self, cell: Cell, value: Value) -> bool:
        try:
            return self.read({self.key: cell}).get(self.setting) == value
        except Unreadable:
            return False


def is_outline(value: object) -> bool:
    """A tuple of points, each a pair of numbers.

    >>> is_outline(((Fraction(0), Fraction(1)),)), is_outline((Fraction(1),))
    (True, False)
    """
    return (
        isinstance(value, tuple)
        and bool(value)
        and all(
            isinstance(point, tuple) and len(point) == 2 and all(isinstance(n, Fraction) for n in point)
            for point in value
        )
    )


def _number(atom: Atom, value: Value, style: str | None) -> str:
    return str(atom.write(value, Cell(style, "text") if style else None).value)


def in_place(atom: Atom, values: Sequence[Value], before: Cell | None, separator: str | None) -> str:
    """The old text with its numbers replaced one by one; joined anew where the count differs ("" without separator)."""
    if before is not None and isinstance(before.value, str):
        pieces, numbers = _numbers(before.value, getattr(atom, "mark", "."))
        if len(numbers) == len(values):
            out = [pieces[0]]
            for value, style, piece in zip(values, numbers, pieces[1:], strict=True):
                out += [_number(atom, value, style), piece]
            return "".join(out)
    return "" if separator is None else separator.join(_number(atom, value, None) for value in values)


_AFTER_SIGN = tuple("0123456789.")


def _numbers(text: str, mark: str = ".") -> tuple[list[str], list[str]]:
    """The number-like runs of a text and what stands between them (one piece more than numbers)."""
    digits = ".0123456789" + mark
    pieces: list[str] = []
    numbers: list[str] = []
    at = 0
    while True:
        start = at
        while start < len(text) and not (
            text[start] in "0123456789" or (text[start] in "+-." and text[start + 1 : start + 2] in _AFTER_SIGN)
        ):
            start += 1
        pieces.append(text[at:start])
        if start == len(text):
            return pieces, numbers
        end = start + 1
        while end < len(text) and (text[end] in digits or (text[end] in "eE" and text[end + 1 : end + 2].isdigit())):
            end += 1
        numbers.append(text[start:end])
        at = end
