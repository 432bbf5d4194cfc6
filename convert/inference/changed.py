"""Two exports of one program with one value changed between them: the key that moved is the setting."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from convert.errors import InputError, Location, UsageError
from convert.inference.habits import habits
from convert.inference.samples import number
from convert.inference.structure import infer
from convert.inference.values import USUAL, _scale
from convert.model.value import Value
from convert.text.source import Source

CLOSE = 1e-6
NAMED = 8


def moved(before: Source, after: Source, setting: str, value: Value) -> tuple[str, str]:
    """Label of the key that moved to the value of a setting, and the code of the unit it is in ("" if that is open).

    InputError if nothing moved, UsageError if several keys did and the value does not tell which is meant.
    """
    structure = infer([before, after])
    old, new = structure.trees
    was: dict[tuple, list] = {}
    for path, key, text, _ in old.rows:
        was.setdefault((path, key), []).append(text)
    found: list[tuple[tuple[str, ...], str, object]] = []
    for path, key, text, _ in new.rows:
        texts = was.get((path, key))
        if not texts or text not in texts:
            found.append((path, key, text))
    if not found:
        raise InputError(
            f"no key differs from {before.path}", Location(after.path), "change the setting and export again"
        )
    fitting = [
        (path, key, unit) for path, key, text in found for unit in _units(text, setting, value, structure.decimal)
    ]
    keys = {(path, key) for path, key, _ in fitting} or {(path, key) for path, key, _ in found}
    if len(keys) > 1:
        names = ", ".join(key for _, key in sorted(keys)[:NAMED])
        raise UsageError(
            f"{len(keys)} keys moved: {names}", Location(after.path), "change one setting only, and export again"
        )
    path, key = next(iter(keys))
    for one in structure.keys:
        if one.name == key and any(structure.trees[file].rows[index][0] == path for file, index in one.entries):
            units = [unit for p, k, unit in fitting if (p, k) == (path, key) and unit]
            return one.label, units[0] if len(units) == 1 else ""
    raise UsageError(f"{key!r} lies outside the profiles", Location(after.path), "change another setting")


def _units(text: object, setting: str, value: Value, mark: str) -> Sequence[str]:
    """Units in which a text says the value; [""] for a word."""
    habit = habits()[setting]
    if not isinstance(text, str):
        return []
    said = number(text.strip().strip("\"'"), mark)
    if not habit.setting.is_number or not isinstance(value, Fraction):
        return [] if said is not None and habit.setting.kind not in ("flag", "choice") else [""]
    if said is None:
        return []
    if habit.setting.kind == "count":
        return [""] if said.value == float(value) else []
    if said.unit:
        return [""]
    units = []
    for code, _ in USUAL.get(habit.setting.kind, ()):
        factor, offset = _scale(code, habit.setting.kind, habit.setting.unit)
        if abs(said.value * factor + offset - float(value)) <= CLOSE * max(abs(float(value)), 1e-9):
            units.append(code)
    return units
