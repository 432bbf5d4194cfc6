"""Conditions as SQL over the catalogue's columns, and what they find.

A column holds a number, a word (a state or a choice), a text, or a JSON list behind `meaning.LIST`; functions of our
own look into lists: any tool matches.
"""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Mapping, Sequence
from fractions import Fraction
from operator import itemgetter
from typing import Any, NamedTuple

from convert.archive.catalogue import Catalogue
from convert.archive.digest import scopes_of
from convert.archive.meaning import LABELS, LIST, storable
from convert.archive.run import PATH
from convert.archive.steps import quoted
from convert.archive.where import All, Compare, Condition, Has, Not, settings_of
from convert.model.setting import SETTINGS
from convert.model.value import State, Value

NEAR = 1e-12
"""Relative distance at which two numbers of the catalogue are one; values are kept to about 1e-16."""


class Hit(NamedTuple):
    """One profile that a condition holds for; `values` are those of the settings asked about."""

    path: str
    name: str
    scopes: tuple[str, ...]
    dialect: str
    meaning: int
    values: Mapping[str, Any] = {}


def interval(op: str, value: Fraction) -> tuple[float, float]:
    """The closed interval of numbers that match.

    >>> interval("<=", Fraction(2))
    (-inf, 2.000000000002)
    """
    number = float(value)
    near = abs(number) * NEAR
    low, high = number - near, number + near
    if op == "<":
        return -math.inf, math.nextafter(low, -math.inf)
    if op == "<=":
        return -math.inf, high
    if op == ">":
        return math.nextafter(high, math.inf), math.inf
    return low, (math.inf if op == ">=" else high)


def compile_condition(condition: Condition) -> tuple[str, list[Any]]:
    """SQL that is 1 or 0 over columns `n` (numbers) and `p` (profiles), and its values."""
    if isinstance(condition, Has):
        return f"({column(condition.setting)} IS {'NOT ' if condition.present else ''}NULL)", []
    if isinstance(condition, Not):
        inner, values = compile_condition(condition.part)
        return f"(NOT {inner})", values
    if isinstance(condition, Compare):
        if condition.op == "in":
            parts = [_compare(condition.setting, "=", value) for value in condition.values]
            return _joined(parts, " OR ")
        return _compare(condition.setting, condition.op, condition.values[0])
    return _joined(
        [compile_condition(part) for part in condition.parts], " AND " if isinstance(condition, All) else " OR "
    )


def _joined(parts: list[tuple[str, list[Any]]], word: str) -> tuple[str, list[Any]]:
    return "(" + word.join(sql for sql, _ in parts) + ")", [value for _, values in parts for value in values]


def column(setting: str) -> str:
    return f"{'p' if setting in LABELS else 'n'}.{quoted(setting)}"


def _compare(setting: str, op: str, value: Value) -> tuple[str, list[Any]]:
    here = column(setting)
    lists = SETTINGS[setting].per_tool
    if op == "contains":
        return f"ifnull(has_text({here}, ?), 0)", [str(value).casefold()]
    if isinstance(value, Fraction):
        low, high = interval(op, value)
        if op == "!=":
            return f"({here} IS NOT NULL AND any_beside({here}, ?, ?))", [low, high]
        # A list may stand anywhere: a percent of a setting with a value a tool is a list too.
        return (
            f"(CASE typeof({here}) WHEN 'null' THEN 0 WHEN 'text' THEN any_inside({here}, ?, ?)"
            f" ELSE {here} BETWEEN ? AND ? END)",
            [low, high, low, high],
        )
    word = value.word if isinstance(value, State) else int(value) if isinstance(value, bool) else storable(str(value))
    if lists or op == "!=":
        return f"ifnull(any_{'other' if op == '!=' else 'equal'}({here}, ?), 0)", [word]
    return f"ifnull({here} = ?, 0)", [word]


def _items(cell: Any) -> list[Any]:
    if isinstance(cell, str) and cell.startswith(LIST):
        found: list[Any] = json.loads(cell[1:])
        return found
    return [cell]


def _any_inside(cell: Any, low: float, high: float) -> bool:
    return any(isinstance(item, (int, float)) and low <= item <= high for item in _items(cell))


def _any_beside(cell: Any, low: float, high: float) -> bool:
    return any(not (isinstance(item, (int, float)) and low <= item <= high) for item in _items(cell))


def _any_equal(cell: Any, word: Any) -> bool | None:
    return None if cell is None else any(item == word for item in _items(cell))


def _any_other(cell: Any, word: Any) -> bool | None:
    return None if cell is None else any(item != word for item in _items(cell))


def _has_text(cell: Any, text: str) -> bool | None:
    return None if cell is None else any(text in str(item).casefold() for item in _items(cell))


def add_functions(db: sqlite3.Connection) -> None:
    """The functions that look into lists and texts."""
    for name, count, function in (
        ("any_inside", 3, _any_inside),
        ("any_beside", 3, _any_beside),
        ("any_equal", 2, _any_equal),
        ("any_other", 2, _any_other),
        ("has_text", 2, _has_text),
    ):
        db.create_function(name, count, function, deterministic=True)


def statement(
    condition: Condition | None, severity: int | None = None, shown: Sequence[str] = ()
) -> tuple[str, list[Any]]:
    """The query for a condition."""
    values: list[Any] = []
    held = ["p.meaning IS NOT NULL"]
    beside = any(name not in LABELS for name in shown)
    if condition is not None:
        sql, values = compile_condition(condition)
        named = settings_of(condition)
        if any(name in LABELS for name in named):
            held.append(sql)
            beside = True
        else:  # the numbers are scanned once, in their own order
            held.append(f"p.meaning IN (SELECT n.id FROM numbers n WHERE {sql})")
    if severity is not None:
        held.append("p.meaning IN (SELECT meaning FROM findings WHERE severity >= ?)")
        values.append(severity)
    extra = "".join(f", {column(name)}" for name in shown)
    joined = " JOIN numbers n ON n.id = p.meaning" if beside else ""
    return (
        f"SELECT {PATH}, p.name, p.scopes, p.dialect, p.meaning{extra} FROM profiles p{joined}"
        f" JOIN files f ON f.id = p.file JOIN folders d ON d.id = f.folder WHERE {' AND '.join(held)}",
        values,
    )


def find(
    catalogue: Catalogue, condition: Condition | None, severity: int | None = None, shown: Sequence[str] = ()
) -> list[Hit]:
    """The profiles that a condition holds for, by path."""
    add_functions(catalogue.db)
    sql, values = statement(condition, severity, shown)
    scopes = [scopes_of(bits) for bits in range(8)]
    hits = [
        Hit(
            path,
            name,
            scopes[bits],
            dialect,
            meaning,
            dict(zip(shown, map(plain, cells), strict=True)) if cells else {},
        )
        for path, name, bits, dialect, meaning, *cells in catalogue.rows(sql, *values)
    ]
    hits.sort(key=itemgetter(0, 1))
    return hits


def plain(cell: Any) -> Any:
    """A column's value, lists as lists."""
    return _items(cell) if isinstance(cell, str) and cell.startswith(LIST) else cell
