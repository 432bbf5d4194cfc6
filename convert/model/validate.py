"""The judge at the boundary: a document against the JSON Schema of profiles; `check` is its fast twin for profiles.

>>> slow = {"fan.max": {"value": 255, "unit": "%"}}
>>> doc = {"beadwise": "profile/1", "name": "", "scopes": [], "settings": slow}
>>> print(validate(doc, "a.json")[0])
a.json: fan.max is 255 %, allowed 0 to 100; 255 looks like a scale of 0 to 255: 100 %
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from convert.errors import InputError, Location, Problem
from convert.model.check import MAX_TOOLS, check, check_relations, explain, is_good, place_problem
from convert.model.codec import decode_parts
from convert.model.decimals import settle
from convert.model.jsontext import exact
from convert.model.setting import SCOPES, SETTINGS, Setting
from convert.resources import read_bytes
from convert.units import Unit, convert, unit

if TYPE_CHECKING:
    from jsonschema.protocols import Validator

__all__ = ["check", "judge", "validate"]

# The deepest list or object of a valid document: document, settings, setting, value, outline, point.
MAX_DEPTH = 6

_cache: list[Validator] = []


def validate(doc: object, path: str, text: str = "") -> list[Problem]:
    """All problems of a document: its form and ranges by the JSON Schema, and its relations.

    `text`, if given, is the text that the document was read from; then the problems know their lines.
    """
    profile, frame, wrong = decode_parts(doc, path, text)
    bad, frame_errors = judge(doc)
    problems = frame or [Problem(says, Location(path), "see schemas/profile.schema.json") for says in frame_errors]
    for name in (name for name in _settings(doc) if name in bad):
        if name in wrong:
            problems.append(wrong[name])
        elif name in profile.settings and not is_good(SETTINGS[name], profile.settings[name]):
            problems.append(place_problem(profile, name, *explain(SETTINGS[name], profile.settings[name])))
        else:
            problems.append(Problem(f"{str(name)[:60]} is not as the schema wants it: {bad[name]}", Location(path)))
    return problems + check_relations(profile, set(bad))


def _settings(doc: object) -> Mapping[str, Any]:
    found = doc.get("settings") if isinstance(doc, Mapping) else None
    return found if isinstance(found, Mapping) else {}


def judge(doc: object) -> tuple[dict[str, str], list[str]]:
    """The bare verdict of the JSON Schema: setting -> what is wrong, and what is wrong outside the settings."""
    bad: dict[str, str] = {}
    frame: list[str] = []
    prepared = _prepared(doc)
    for error in _validator().iter_errors(prepared):
        place = list(error.absolute_path)
        if len(place) > 1 and place[0] == "settings":
            bad.setdefault(str(place[1]), error.message[:200])
        elif place == ["settings"] and error.validator == "additionalProperties":
            bad.update((name, "no such setting") for name in prepared["settings"] if name not in SETTINGS)
        else:
            frame.append(error.message[:200])
    return bad, frame


def _validator() -> Validator:
    if not _cache:
        import json

        from jsonschema import Draft202012Validator  # heavy, and wanted at the boundary only

        schema = json.loads(read_bytes("schemas", "profile.schema.json"), parse_float=Fraction)
        _cache.append(Draft202012Validator(schema))
    return _cache[0]


def _prepared(doc: object) -> Any:
    """The document with exact numbers, and all quantities in the schema's unit, so that the ranges can be judged.

    What is longer or deeper than anything valid is cut, to stay as invalid and become cheaper.
    """
    made = _exact(doc, None, MAX_DEPTH)
    if not isinstance(made, dict):
        return made
    if isinstance(made.get("scopes"), list):
        made["scopes"] = made["scopes"][: len(SCOPES) + 1]
    settings = made.get("settings")
    if not isinstance(settings, dict):
        return made
    for name, item in settings.items():
        setting = SETTINGS.rows().get(name)
        if setting is None or not isinstance(item, dict):
            continue
        if isinstance(item.get("value"), list) and setting.kind != "outline":
            item["value"] = item["value"][: MAX_TOOLS + 1]
        units = _units(item, setting)
        if units is not None:
            settings[name] = {**_exact(item, units, MAX_DEPTH), "unit": setting.unit}
    return made


def _units(item: dict[str, Any], setting: Setting) -> tuple[Unit, Unit] | None:
    """The unit of a value and that of its setting, if they differ and both are known."""
    if not setting.unit or not isinstance(item.get("unit"), str):
        return None
    try:
        units = unit(item["unit"], setting.unit_kind), unit(setting.unit, setting.unit_kind)
    except InputError:
        return None
    return units if units[0].code != units[1].code or item["unit"] != setting.unit else None


def _exact(value: Any, units: tuple[Unit, Unit] | None, depth: int) -> Any:
    """A copy with exact numbers, converted unless they are percents of a setting; None for what is too deep."""
    if isinstance(value, Mapping):
        inside = None if "percent" in value else units
        return {name: _exact(item, inside, depth - 1) for name, item in value.items()} if depth else None
    if isinstance(value, list):
        return [_exact(item, units, depth - 1) for item in value] if depth else None
    found = exact(value)
    if found is None:
        return str(value) if isinstance(value, float) else value  # no infinity passes for a number
    if units is not None and units[0].code != units[1].code:
        found = settle(convert(found, *units))
    return int(found) if found.denominator == 1 else found
