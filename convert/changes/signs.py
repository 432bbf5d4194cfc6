"""Which way a change moves time, plastic, strength, surface and risk: schemas/changes.tsv beside physics.effects.

A row says what a rise of a setting does (a flag: switching it on): `+`, `-`, `0`, or `?` where it depends or is not
known; and the phrases for a rise and a fall. Where `physics.effects` has a row for a setting, its signs count.

>>> from convert.changes.compare import Fact
>>> signs(Fact("wall.count", 3, 2, Fraction(3), Fraction(2)))
{'time': -1, 'material': -1, 'strength': -1, 'surface': 0}
>>> phrase(Fact("support.enabled", False, True, False, True))
'Supports are built'
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from convert.changes.compare import Fact
from convert.model.setting import SETTINGS, feature
from convert.model.value import State, Value
from convert.physics.effects import effect
from convert.physics.tables import rows

MEASURES = ("time", "material", "strength", "surface")
ASIDE = frozenset(("support", "interface", "outline", "travel"))
"""Features that are taken off or laid beside the part; travels leave strings at most."""
BASES = {"none": Fraction(0), "skirt": Fraction(1), "brim": Fraction(2), "raft": Fraction(3)}
"""Words of base.kind, by what they cost."""
_COLUMNS = "setting up down time material strength surface status"
_SIGNS = {"+": 1, "-": -1, "0": 0}


class Row(NamedTuple):
    """What a rise and a fall of a setting do, in words and in signs; None where it depends or is not known."""

    up: str
    down: str
    signs: dict[str, int | None]


@cache
def _rows() -> dict[str, Row]:
    return {
        name: Row(up, down, dict(zip(MEASURES, map(_SIGNS.get, marks), strict=True)))
        for name, up, down, *marks, _ in rows("changes.tsv", _COLUMNS)
    }


def row(setting: str) -> Row | None:
    """The row of a setting: its own, or that of its group."""
    plain = setting.removesuffix("_first") if setting.startswith("heat.") else setting
    return _rows().get(plain) or _rows().get(plain[: plain.find(".") + 1])


def direction(fact: Fact) -> int | None:
    """+1 where a setting rose or was switched on, -1 where it fell or was switched off, else None."""
    before, after = fact.before_resolved, fact.after_resolved
    if before is None or after is None:
        return None
    ways = {_way(one, two) for one, two in _elements(before, after)} - {0}
    return ways.pop() if len(ways) == 1 else None


def _elements(before: Value, after: Value) -> list[tuple[Value, Value]]:
    first = before if isinstance(before, tuple) else (before,)
    second = after if isinstance(after, tuple) else (after,)
    size = max(len(first), len(second))
    if len(first) != size and len(first) == 1:
        first = first * size
    if len(second) != size and len(second) == 1:
        second = second * size
    return list(zip(first, second, strict=False))


def _way(one: Value, two: Value) -> int | None:
    if isinstance(one, bool) and isinstance(two, bool):
        return int(two) - int(one)
    first, second = _size(one), _size(two)
    if first is None or second is None:
        return None
    return (second > first) - (second < first)


def _size(value: Value) -> Fraction | float | None:
    if isinstance(value, Fraction):
        return value
    if isinstance(value, str):
        return BASES.get(value)
    if isinstance(value, State):
        return {"off": 0.0, "unlimited": float("inf")}.get(value.word)
    return None


def signs(fact: Fact) -> dict[str, int | None]:
    """The signs that a table gives for a change; time and material are to be computed where they can be."""
    known = effect(fact.setting)
    found = row(fact.setting)
    if known is not None:
        marks: dict[str, int | None] = {name: getattr(known, name) for name in MEASURES}
    elif found is not None:
        marks = dict(found.signs)
    else:
        return dict.fromkeys(MEASURES)
    if feature(fact.setting) in ASIDE:
        marks |= {"strength": 0, "surface": None if feature(fact.setting) == "travel" else 0}
    way = direction(fact)
    return {
        name: 0 if mark == 0 else None if mark is None or way is None else mark * way for name, mark in marks.items()
    }


def phrase(fact: Fact) -> str:
    """What a change does, in words without numbers; "" where the table has none."""
    found = row(fact.setting)
    if found is None:
        return ""
    if SETTINGS[fact.setting].kind in ("choice", "outline", "text", "code"):
        return found.up
    way = direction(fact)
    return "" if way is None else found.up if way > 0 or not found.down else found.down
