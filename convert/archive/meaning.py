"""What a profile means, in the forms the catalogue keeps: an exact text, its hash, and a row of columns to query.

The text is JSON with ids sorted: a whole number as itself, another one as "3/10", a percent of a setting as
{"percent", "of"}, a state as {"state"}, a list as a list. Numbers are settled first, so that one value in two spellings
is one text. Names and notes (`LABELS`) are no part of a meaning; they stay with the profile.

>>> from convert.model.value import Share
>>> one, _ = understand({"layer.height": Fraction(3, 10), "speed.travel": Fraction(150)})
>>> one.body
'{"layer.height":"3/10","speed.travel":150}'
>>> decode(one.body)["layer.height"]
Fraction(3, 10)
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from hashlib import sha256
from typing import Any

from convert.archive.outcome import Cell, Meaning
from convert.errors import BeadwiseError
from convert.model.decimals import settle
from convert.model.resolve import resolve, stated
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Share, State, Value

LABELS = ("machine.name", "feedstock.name", "feedstock.maker", "feedstock.colour", "process.name")
"""Settings that name things; changing one prints the same."""
LIST = "\x1f"
"""A query column that starts with this holds a JSON list, one value a tool."""
UNRESOLVED = "\x1f[]"
"""A percent of something that is not known: present, and equal to nothing."""


@cache
def columns() -> tuple[str, ...]:
    """The settings with a query column, long texts last, so that a scan of numbers does not read over them."""
    names = [name for name in SETTINGS if name not in LABELS]
    return tuple(sorted(names, key=lambda name: SETTINGS[name].kind in ("code", "outline")))


class _Column:
    """One setting: its place among the columns, the bit of its scope, and how its values are kept.

    `memo` knows values by identity: readers remember what a text says, so the same object comes again and again, and to
    hash a fraction takes longer than to spell it. The value is held beside its forms, so that no other takes its place.
    """

    __slots__ = ("bit", "memo", "name", "outline", "place", "shares")

    def __init__(self, name: str, place: int) -> None:
        self.name, self.place, self.bit = name, place, 1 << SCOPES.index(SETTINGS[name].scope)
        self.outline = SETTINGS[name].kind == "outline"
        self.memo: dict[int, tuple[Value, str, Cell]] = {}
        self.shares: dict[tuple[int, str, int], tuple[Value, Value, Cell]] = {}

    def forms(self, value: Value) -> tuple[Value, str, Cell]:
        """The value, its piece of the text, and its cell (RELATED where that hangs on other settings)."""
        cell: Cell
        if isinstance(value, Fraction):
            plain, cell = _number(value)
        elif isinstance(value, bool):
            plain, cell = value, int(value)
        elif isinstance(value, str):
            plain, cell = value, storable(value)
        else:
            plain = to_plain(value)
            cell = value.word if isinstance(value, State) else RELATED
        text = _dumps(plain)
        if cell is RELATED and self.outline:
            cell = text
        found = value, f'"{self.name}":{text}', cell
        if len(text) <= _LONGEST:
            if len(self.memo) >= _MOST_FORMS:
                self.memo.clear()
            self.memo[id(value)] = found
        return found

    def related(self, settings: Mapping[str, Value], value: Value) -> Cell:
        """The cell of a list or relation; a percent of a single number is remembered."""
        base = stated(settings, value.of) if isinstance(value, Share) and value.of in SETTINGS else None
        if base is None or not isinstance(settings[base], Fraction):
            return _cell(settings, self.name)
        of = settings[base]
        key = (id(value), base, id(of))
        found = self.shares.get(key)
        if found is None:
            found = value, of, _cell(settings, self.name)
            if len(self.shares) >= _MOST_FORMS:
                self.shares.clear()
            self.shares[key] = found
        return found[2]


RELATED = UNRESOLVED + "?"
"""Stands for the cell of a value that hangs on other settings."""
_MOST_FORMS = 300
"""Values a setting remembers."""
_LONGEST = 2000
"""Characters up to which it does; of longer texts readers make a new one each time."""
_dumps = json.JSONEncoder(sort_keys=True, separators=(",", ":")).encode


@cache
def _columns() -> dict[str, _Column]:
    return {name: _Column(name, at) for at, name in enumerate(columns())}


_memo: dict[tuple[int, int], tuple[int | str, int | float]] = {}
_MOST_MEMO = 100_000
"""Numbers that are remembered, of all settings together."""


def _number(value: Fraction) -> tuple[int | str, int | float]:
    """A number as the text keeps it, and as a column does."""
    key = (value.numerator, value.denominator)
    found = _memo.get(key)
    if found is None:
        settled = settle(value)
        top, bottom = settled.numerator, settled.denominator
        if bottom == 1 and abs(top) < 1 << 53:
            found = top, top
        else:
            found = (top if bottom == 1 else f"{top}/{bottom}"), _float(settled)
        if len(_memo) >= _MOST_MEMO:
            _memo.clear()
        _memo[key] = found
    return found


def _float(value: Fraction) -> float:
    try:
        return float(value)
    except OverflowError:
        return 1.7e308 if value > 0 else -1.7e308


def understand(settings: Mapping[str, Value]) -> tuple[Meaning, dict[str, Value]]:
    """The meaning of a profile's settings, and its labels."""
    known = _columns()
    row: list[Cell] = [None] * len(known)
    pieces: list[str] = []
    labels: dict[str, Value] = {}
    scopes = 0
    for name, value in settings.items():
        column = known.get(name)
        if column is None:
            labels[name] = value
            continue
        _, piece, cell = column.memo.get(id(value)) or column.forms(value)
        pieces.append(piece)
        row[column.place] = cell if cell is not RELATED else column.related(settings, value)
        scopes |= column.bit
    pieces.sort()  # as the names: a quote comes before all that a name goes on with
    body = "{" + ",".join(pieces) + "}"
    return Meaning(sha256(body.encode()).digest()[:16], body, scopes, len(pieces), tuple(row)), labels


def to_plain(value: Value) -> Any:
    """A value as JSON keeps it."""
    if isinstance(value, Fraction):
        return _number(value)[0]
    if isinstance(value, Share):
        return {"percent": _number(value.percent)[0], "of": value.of}
    if isinstance(value, State):
        return {"state": value.word}
    if isinstance(value, tuple):
        return [to_plain(item) for item in value]
    return value


def _cell(settings: Mapping[str, Value], name: str) -> Cell:
    """The query column of a list or relation: what it comes to."""
    try:
        found = resolve(settings, name)
    except BeadwiseError:
        found = None
    if found is None:
        return UNRESOLVED
    if isinstance(found, tuple):
        return LIST + json.dumps([_single(item) for item in found], separators=(",", ":"))
    return _single(found)


def _single(value: Value) -> Cell:
    if isinstance(value, Fraction):
        return _number(value)[1]
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, State):
        return value.word
    return storable(value) if isinstance(value, str) else UNRESOLVED


def label_cell(value: Value | None) -> Cell:
    """The column of a label."""
    if value is None:
        return None
    if isinstance(value, tuple):
        return LIST + json.dumps([_single(item) for item in value])
    return _single(value)


def storable(text: str) -> str:
    """A text that a database can hold: half characters become escapes."""
    if text.isascii():
        return text
    try:
        text.encode()
    except UnicodeEncodeError:
        return text.encode("utf-8", "backslashreplace").decode()
    return text


def encode(settings: Mapping[str, Value]) -> str:
    """Settings as the exact text, labels included."""
    return json.dumps(
        {name: to_plain(value) for name, value in settings.items()}, sort_keys=True, separators=(",", ":")
    )


def decode(body: str) -> dict[str, Value]:
    """The settings of a text."""
    rows = SETTINGS.rows()
    made: dict[str, Value] = {}
    for name, value in json.loads(body).items():
        setting = rows.get(name)
        if setting is not None:  # a setting of another version is not known here
            made[name] = _value(value, setting.is_number or setting.kind == "outline")
    return made


def _value(value: Any, number: bool) -> Value:
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        return Fraction(value)
    if isinstance(value, str):
        return Fraction(value) if number else value
    if isinstance(value, dict):
        return State(value["state"]) if "state" in value else Share(Fraction(value["percent"]), value["of"])
    return tuple(_value(item, number) for item in value)
