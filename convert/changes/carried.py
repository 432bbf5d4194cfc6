"""Keys that no name table knows, compared as text and, where they hold structure, inside it (by deepdiff, which is
imported only then).

>>> from convert.model.profile import Carried
>>> old = {"quern": (Carried((), "spare.lamp", "on"), Carried((), "spare.map", '{"a": 1}'))}
>>> new = {"quern": (Carried((), "spare.lamp", "off"), Carried((), "spare.map", '{"a": 2}'))}
>>> [(one.key, one.before, one.after, one.inside) for one in compare_carried(old, new)]
[('spare.lamp', 'on', 'off', ''), ('spare.map', '{"a": 1}', '{"a": 2}', 'root["a"]')]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from convert.model.profile import Carried

MOST_TEXT = 20_000
"""Texts longer than this are compared as a whole, not inside."""


class CarriedChange(NamedTuple):
    """A key that is not understood and differs; None: it is not there. `inside` is where in its structure."""

    dialect: str
    path: tuple[str, ...]
    key: str
    before: str | None
    after: str | None
    inside: str = ""


def compare_carried(old: Mapping[str, Sequence[Carried]], new: Mapping[str, Sequence[Carried]]) -> list[CarriedChange]:
    """What differs among the carried keys of dialects that both sides carry something of, in order."""
    found: list[CarriedChange] = []
    for dialect in old:
        one, two = _table(old[dialect]), _table(new.get(dialect, ()))
        if one != two:
            found += _differences(dialect, one, two)
    for dialect in new:
        if dialect not in old:
            found += _differences(dialect, {}, _table(new[dialect]))
    return found


Name = tuple[tuple[str, ...], str, int]


def _table(keys: Sequence[Carried]) -> dict[Name, str]:
    """Text by path, key and the how-manieth of that name."""
    seen: dict[tuple[tuple[str, ...], str], int] = {}
    made: dict[Name, str] = {}
    for key in keys:
        name = (key.path, key.key)
        seen[name] = seen.get(name, 0) + 1
        made[(*name, seen[name])] = key.text
    return made


def _differences(dialect: str, old: Mapping[Name, str], new: Mapping[Name, str]) -> list[CarriedChange]:
    made = []
    for name in dict.fromkeys([*old, *new]):
        before, after = old.get(name), new.get(name)
        if before != after:
            made.append(CarriedChange(dialect, name[0], name[1], before, after, _inside(before, after)))
    return made


def _inside(before: str | None, after: str | None) -> str:
    """Where two structured texts differ: the first place, and how many more."""
    first, second = _structure(before), _structure(after)
    if first is None or second is None:
        return ""
    from deepdiff import DeepDiff

    report = DeepDiff(first, second, ignore_order=False)
    places = [element.path().replace("'", '"') for kind in report.tree.values() for element in kind]
    if not places:
        return ""
    return places[0] + (f" and {len(places) - 1} more" if len(places) > 1 else "")


def _structure(text: str | None) -> Any:
    """The object or list that a text holds; None where it is plain."""
    if text is None or len(text) > MOST_TEXT or text.lstrip()[:1] not in ("{", "["):
        return None
    import json

    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        return None
