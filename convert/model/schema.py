"""Makes schemas/profile.schema.json from the tables of settings and units: `python -m convert.model.schema`.

The schema judges a value in the schema's own unit entirely. For a value in another unit of the kind it judges the form,
not the range: bounds in other units have no exact decimals. `convert.model.validate` brings values to the schema's unit
first, and then lets this schema judge the range as well.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from convert.model.check import MAX_TOOLS, MIN_POINTS, SEVERAL_OUTLINES, relatives
from convert.model.jsontext import dumps, number
from convert.model.setting import SCOPES, SETTINGS, Setting
from convert.model.value import STATES
from convert.units import spellings

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FILE = "profile.schema.json"

Schema = dict[str, Any]


def build() -> Schema:
    """The JSON Schema (2020-12) of a canonical profile."""
    definitions: Schema = {"state": _state()}
    settings: Schema = {}
    for setting in SETTINGS.values():
        name, definition = _definition(setting, definitions)
        definitions.setdefault(name, definition)
        settings[setting.id] = {"description": setting.meaning, "$ref": f"#/$defs/{name}"}
    text: Schema = {"type": "string"}
    names: Schema = {"type": "array", "items": text}
    return {
        "$schema": DIALECT,
        "$id": "urn:beadwise:schema:profile:1",
        "title": "Canonical profile",
        "description": "The settings of a print for one or more scopes. A value has a unit of its kind, or is a "
        "percent of another setting, or a state. The ranges hold in the schema's unit, the one with bounds; a value in "
        "another unit is converted first.",
        "type": "object",
        "properties": {
            "beadwise": {"const": "profile/1"},
            "name": text,
            "scopes": {
                "type": "array",
                "items": {"enum": list(SCOPES)},
                "uniqueItems": True,
                "maxItems": len(SCOPES),
            },
            "settings": {"type": "object", "properties": settings, "additionalProperties": False},
            "carried": {
                "description": "By dialect: keys that no name table names, kept word for word for the way back.",
                "type": "object",
                "additionalProperties": {"type": "array", "items": _object(path=names, key=text, text=text)},
            },
            "layouts": {
                "description": "By dialect: the text of the file that the profile was read from, for the way back; "
                "mark is its byte-order mark, the bytes as Latin-1 characters.",
                "type": "object",
                "additionalProperties": _object(
                    ["file", "encoding", "text"], file=text, encoding=text, text=text, mark=text
                ),
            },
        },
        "required": ["beadwise", "name", "scopes", "settings"],
        "additionalProperties": False,
        "$defs": dict(sorted(definitions.items())),
    }


def _object(required: list[str] | None = None, **properties: Schema) -> Schema:
    needed = list(properties) if required is None else required
    return {"type": "object", "properties": properties, "required": needed, "additionalProperties": False}


def _state() -> Schema:
    return {"description": "An explicit state in the place of a number.", **_object(state={"enum": list(STATES)})}


def _definition(setting: Setting, definitions: Schema) -> tuple[str, Schema]:
    """Name and schema of all settings like this one; what it refers to is added to the definitions."""
    if setting.kind in ("text", "code"):
        return setting.kind, _object(value={"type": "string"})
    if setting.kind == "outline":
        several = setting.id in SEVERAL_OUTLINES
        return ("outlines" if several else "outline"), _outline(setting, several, definitions)
    share = _share(setting, definitions)
    tools = "_per_tool" if setting.per_tool else ""
    if not setting.is_number:
        item: Schema = {"type": "boolean"} if setting.kind == "flag" else {"enum": list(setting.choices)}
        wide = {"anyOf": [item, _many(item, share)]} if setting.per_tool else item
        name = "flag" if setting.kind == "flag" else setting.id
        if setting.kind == "choice" and share:
            name = share[0]["$ref"].removeprefix("#/$defs/same_as_")
        return name + tools, _any(_object(value=wide), *share)
    low, high = number(setting.minimum or Fraction(0)), number(setting.maximum or Fraction(0))
    kept: Schema = {"type": "integer" if setting.kind == "count" else "number", "minimum": low, "maximum": high}
    name = f"{setting.kind}_{_word(setting.unit)}{low}_to_{high}{tools}"
    others = [{"$ref": "#/$defs/state"}, *share]
    if setting.kind == "count":
        return name, _any(_object(["value"], value=kept, unit={"const": "1"}), *others)
    other_units = _other_units(setting, definitions)
    forms = [_object(value=kept, unit={"const": setting.unit}), _object(value={"type": "number"}, unit=other_units)]
    if setting.per_tool:
        any_unit = {"anyOf": [{"const": setting.unit}, other_units]}
        forms += [
            _object(value=_many(kept, others), unit={"const": setting.unit}),
            _object(value=_many({"type": "number"}, others), unit=other_units),
            _object(["value"], value=_many(None, others), unit=any_unit),
        ]
    return name, _any(*forms, *others)


def _any(*schemas: Schema) -> Schema:
    return {"anyOf": list(schemas)} if len(schemas) > 1 else schemas[0]


def _many(item: Schema | None, others: list[Schema]) -> Schema:
    """A list with one element per tool, each a value, or a relation or state in its place."""
    items = _any(*([item] if item else []), *others)
    return {"type": "array", "items": items, "minItems": 1, "maxItems": MAX_TOOLS}


def _word(unit: str) -> str:
    """A unit as part of a definition's name, which must read as a plain fragment of an address.

    >>> _word("mm/s2"), _word("%"), _word("1")
    ('mm_per_s2_', '', '')
    """
    return "" if unit in ("%", "1") else unit.replace("/", "_per_") + "_"


def _other_units(setting: Setting, definitions: Schema) -> Schema:
    """The spellings of all units of the kind but the schema's own."""
    name = f"other_units_than_{_word(setting.unit).rstrip('_') or setting.kind}"
    if name not in definitions:
        others = [word for word in spellings(setting.unit_kind) if word != setting.unit]
        definitions[name] = {"description": "The range is judged after conversion.", "enum": others}
    return {"$ref": f"#/$defs/{name}"}


def _share(setting: Setting, definitions: Schema) -> list[Schema]:
    """The relation to a setting of the same kind, as a list of none or one."""
    others = relatives(setting)
    if not others:
        return []
    if setting.kind == "choice":
        name = f"same_as_{others[0].rpartition('.')[2]}"
    else:
        name = "same_as_flag" if setting.kind == "flag" else f"percent_of_{setting.kind}"
    percent: Schema = {"type": "number", "minimum": 0} if setting.is_number else {"const": 100}
    if name not in definitions:
        definitions[name] = _object(percent=percent, of={"enum": list(others)})
    return [{"$ref": f"#/$defs/{name}"}]


def _outline(setting: Setting, several: bool, definitions: Schema) -> Schema:
    definitions["point"] = {
        "description": "x, y",
        "type": "array",
        "items": {"type": "number"},
        "minItems": 2,
        "maxItems": 2,
    }
    points: Schema = {"type": "array", "items": {"$ref": "#/$defs/point"}, "minItems": MIN_POINTS}
    value = {"anyOf": [points, {"type": "array", "items": points, "minItems": 1}]} if several else points
    return _object(value=value, unit={"anyOf": [{"const": setting.unit}, _other_units(setting, definitions)]})


def main() -> None:
    """Write the schema beside the tables that it is made from."""
    import os

    from convert.resources import folder

    with open(os.path.join(folder("schemas"), FILE), "w", encoding="utf-8") as file:
        file.write(dumps(build()) + "\n")


if __name__ == "__main__":
    main()
