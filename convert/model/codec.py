"""The canonical profile as JSON, and back (design of the document: schemas/profile.schema.json).

>>> from convert.model.setting import setting
>>> value_to_text(Share(Fraction(40), "speed.default"), "speed.first_layer")
'{"percent": 40, "of": "speed.default"}'
>>> value_from_text('{"value": 1000, "unit": "mm/min"}', "speed.travel")
Fraction(50, 3)

Any unit of the right kind is read; the schema's unit is written. Numbers keep their exact digits both ways.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from convert.errors import InputError, Location, Problem
from convert.model.jsontext import Digits, Raw, dumps, exact, loads, number, quoted
from convert.model.numbers import converted
from convert.model.profile import Carried, Layout, Origin, Profile
from convert.model.setting import SCOPES, SETTINGS, Setting, closest
from convert.model.value import Share, State, Value
from convert.units import Unit, unit

__all__ = [
    "Digits",
    "decode",
    "dumps",
    "loads",
    "profile_from_json",
    "profile_to_json",
    "profile_to_text",
    "value_from_json",
    "value_from_text",
    "value_to_json",
    "value_to_text",
]

FORMAT = "profile/1"


# --- writing


def value_to_json(value: Value, setting: Setting) -> dict[str, Any]:
    """The JSON object for a value: {"value", "unit"}, {"percent", "of"} or {"state"}."""
    item = _item_to_json(value)
    if isinstance(item, dict):
        return item
    made = {"value": item}
    if setting.unit and setting.kind != "count" and _has_number(value):
        made["unit"] = setting.unit
    return made


def _item_to_json(value: Value) -> Any:
    if isinstance(value, Fraction):
        return number(value)
    if isinstance(value, Share):
        return {"percent": number(value.percent), "of": value.of}
    if isinstance(value, State):
        return {"state": value.word}
    if isinstance(value, tuple):
        return [_item_to_json(item) for item in value]
    return value


def _has_number(value: Value) -> bool:
    return isinstance(value, Fraction) or (isinstance(value, tuple) and any(_has_number(item) for item in value))


def value_to_text(value: Value, name: str) -> str:
    """The JSON text of one setting's value."""
    return dumps(value_to_json(value, SETTINGS[name]))


def profile_to_json(profile: Profile) -> dict[str, Any]:
    """The document of a profile: settings sorted by id; what is carried, and layouts, only where there are some."""
    settings = {name: value_to_json(profile.settings[name], SETTINGS[name]) for name in sorted(profile.settings)}
    carried = {
        dialect: [{"path": list(key.path), "key": key.key, "text": key.text} for key in keys]
        for dialect, keys in sorted(profile.carried.items())
    }
    return _document(profile, settings, carried)


def profile_to_text(profile: Profile, known: Mapping[str, Any] | None = None) -> str:
    """The text of that document. known: texts of values, by setting, that need not be made again."""
    known = known or {}
    settings = {
        name: Raw(known[name]) if name in known else value_to_json(profile.settings[name], SETTINGS[name])
        for name in sorted(profile.settings)
    }
    carried = {dialect: [_carried_to_text(key) for key in keys] for dialect, keys in sorted(profile.carried.items())}
    return dumps(_document(profile, settings, carried))


def _carried_to_text(carried: Carried) -> Raw:
    path = ", ".join(map(quoted, carried.path))
    return Raw(f'{{"path": [{path}], "key": {quoted(carried.key)}, "text": {quoted(carried.text)}}}')


def _document(profile: Profile, settings: Mapping[str, Any], carried: Mapping[str, Any]) -> dict[str, Any]:
    made: dict[str, Any] = {
        "beadwise": FORMAT,
        "name": profile.name,
        "scopes": [scope for scope in SCOPES if scope in profile.scopes],
        "settings": settings,
    }
    if carried:
        made["carried"] = carried
    if profile.layouts:
        made["layouts"] = {dialect: _layout_to_json(layout) for dialect, layout in sorted(profile.layouts.items())}
    return made


def _layout_to_json(layout: Layout) -> dict[str, str]:
    made = {"file": layout.file, "encoding": layout.encoding, "text": layout.text}
    return {**made, "mark": layout.mark} if layout.mark else made


# --- reading


def value_from_text(text: str, name: str) -> Value:
    """The value of one setting from its JSON text. Raises InputError."""
    return value_from_json(loads(text), SETTINGS[name])


def value_from_json(doc: object, setting: Setting) -> Value:
    """The value of a setting from its JSON object, in the schema's unit. Raises InputError; no range is judged."""
    if not isinstance(doc, Mapping):
        raise _wrong(setting, f"is {_shape(doc)}, and an object is wanted", 'write {"value": ...}')
    members = set(doc)
    if members == {"state"}:
        return _state(doc, setting)
    if members == {"percent", "of"}:
        return _share(doc, setting)
    if "value" not in members or members - {"value", "unit"}:
        listed = ", ".join(sorted(str(name)[:30] for name in members)) or "nothing"
        raise _wrong(setting, f"has {listed}", 'write {"value", "unit"}, {"percent", "of"} or {"state"}')
    value = doc["value"]
    own = _unit(doc, setting)
    if setting.kind == "outline":
        return _outline(value, setting, own)
    if isinstance(value, list):
        return tuple(_item(item, setting, own) for item in value)
    if isinstance(value, Mapping):
        raise _wrong(setting, "has an object as value", "write the relation or state in its place")
    return _item(value, setting, own)


def _wrong(setting: Setting, says: str, hint: str = "") -> InputError:
    return InputError(f"{setting.id} {says}", None, hint)


def _shape(value: object) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return f"the flag {'true' if value else 'false'}"
    if isinstance(value, str):
        return f"the text {value[:40]!r}"
    if isinstance(value, (list, tuple)):
        return "a list"
    return (
        "an object"
        if isinstance(value, Mapping)
        else f"the number {dumps(value)[:40]}"
        if exact(value) is not None
        else "no value"
    )


def _unit(doc: Mapping[str, Any], setting: Setting) -> Unit | None:
    if "unit" not in doc:
        return None
    text = doc["unit"]
    if not isinstance(text, str):
        raise _wrong(setting, f"has {_shape(text)} as unit", "write a UCUM code")
    if not setting.unit:
        raise _wrong(setting, f"has no unit, and {text[:40]!r} stands there", "leave the unit out")
    try:
        return unit(text, setting.unit_kind)
    except InputError as error:
        raise _wrong(setting, f"has a wrong unit: {error.says}", error.hint) from None


def _item(value: object, setting: Setting, own: Unit | None) -> Value:
    """One value, or one element of a list."""
    if isinstance(value, Mapping):
        if set(value) == {"percent", "of"}:
            return _share(value, setting)
        if set(value) == {"state"}:
            return _state(value, setting)
        raise _wrong(setting, "has an object that is neither a relation nor a state in its list")
    if setting.is_number:
        return _quantity(value, setting, own)
    wanted, words = (bool, "true or false") if setting.kind == "flag" else (str, "a text")
    if not isinstance(value, wanted):
        raise _wrong(setting, f"is {_shape(value)}, and {words} is wanted")
    return value


def _quantity(value: object, setting: Setting, own: Unit | None) -> Fraction:
    found = exact(value)
    if found is None:
        raise _wrong(setting, f"is {_shape(value)}, and a number is wanted")
    if own is None:
        if setting.kind != "count":
            shown = dumps(value)[:40]
            raise _wrong(setting, f"is {shown} without a unit", f"the schema's unit is {setting.unit}")
        return found
    if own.code == setting.unit:
        return found
    text = value.text if isinstance(value, Digits) else str(value)
    return converted(found, own, unit(setting.unit, setting.unit_kind), text)


def _share(doc: Mapping[str, Any], setting: Setting) -> Share:
    percent, base = exact(doc["percent"]), doc["of"]
    if percent is None or not isinstance(base, str):
        raise _wrong(setting, "has a relation that is none", 'write {"percent": a number, "of": the id of a setting}')
    return Share(percent, base)


def _state(doc: Mapping[str, Any], setting: Setting) -> State:
    if not isinstance(doc["state"], str):
        raise _wrong(setting, f"has {_shape(doc['state'])} as state", "write off, unlimited or automatic")
    return State(doc["state"])


def _outline(value: object, setting: Setting, own: Unit | None) -> Value:
    def points(items: list[Any]) -> tuple[Value, ...]:
        made: list[Value] = []
        for point in items:
            if not isinstance(point, list) or len(point) != 2:
                raise _wrong(setting, f"has {_shape(point)} as a point", "a point is a list of two numbers")
            made.append(tuple(_quantity(part, setting, own) for part in point))
        return tuple(made)

    if not isinstance(value, list):
        raise _wrong(setting, f"is {_shape(value)}, and a list of points is wanted")
    if value and all(isinstance(item, list) and item and isinstance(item[0], list) for item in value):
        return tuple(points(item) for item in value)
    return points(value)


def profile_from_json(doc: object, path: str = "<input>", text: str = "") -> Profile:
    """The profile of a document. Raises InputError that names all problems.

    `text`, if given, is the text that the document was read from; then the origins know their lines.
    """
    profile, problems = decode(doc, path, text)
    if problems:
        first, *others = problems
        says = first.says + "".join(f"; {one.says}" for one in others[:19])
        says += f"; and {len(others) - 19} more" if len(others) > 19 else ""
        raise InputError(says, first.where, first.hint)
    return profile


def decode(doc: object, path: str = "<input>", text: str = "") -> tuple[Profile, list[Problem]]:
    """The profile of a document as far as it can be read, and all that is wrong with its form."""
    profile, frame, wrong = decode_parts(doc, path, text)
    return profile, [*frame, *wrong.values()]


def decode_parts(
    doc: object, path: str = "<input>", text: str = ""
) -> tuple[Profile, list[Problem], dict[str, Problem]]:
    """As decode, with the problems of the document's frame apart from those of each setting."""
    problems: list[Problem] = []
    wrong: dict[str, Problem] = {}
    settings: dict[str, Value] = {}
    if not isinstance(doc, Mapping):
        problems.append(Problem(f"the document is {_shape(doc)}", Location(path), "a profile is an object"))
        doc = {}
    elif doc.get("beadwise") != FORMAT:
        hint = f'the document starts with "beadwise": "{FORMAT}"'
        problems.append(Problem("this is no canonical profile", Location(path), hint))
    for name in doc:
        if name not in ("beadwise", "name", "scopes", "settings", "carried", "layouts"):
            problems.append(Problem(f"{str(name)[:60]!r} is no member of a profile", Location(path), "leave it out"))
    stated = _member(doc, "settings", dict, path, problems)
    lines = _lines(text, stated)
    for name, item in stated.items():
        where = Location(path, lines.get(name))
        known = SETTINGS.rows().get(name)
        if known is None:
            near = closest(str(name)) if len(wrong) < 20 else []  # looking for close ids takes its time
            hint = f"did you mean {', '.join(near)}?" if near else ""
            wrong[name] = Problem(f"there is no setting {str(name)[:60]!r}", where, hint)
            continue
        try:
            settings[name] = value_from_json(item, known)
        except InputError as error:
            wrong[name] = Problem(error.says, where, error.hint)
    origins = {name: Origin("own", path, lines.get(name), name) for name in settings}
    frame = _frame(doc, path, problems)
    profile = Profile(frame.name, frame.scopes, settings, origins, frame.carried, frame.layouts)
    return profile, problems, wrong


def decode_frame(doc: object, path: str = "<input>") -> Profile:
    """The profile of a document without its settings, as far as it can be read."""
    return _frame(doc if isinstance(doc, Mapping) else {}, path, [])


def _frame(doc: Mapping[str, Any], path: str, problems: list[Problem]) -> Profile:
    scopes = _scopes(doc, path, problems)
    return Profile(
        str(_member(doc, "name", str, path, problems)),
        tuple(scope for scope in SCOPES if scope in scopes),
        {},
        {},
        _carried(doc, path, problems),
        _layouts(doc, path, problems),
    )


def _member(doc: Mapping[str, Any], name: str, wanted: type, path: str, problems: list[Problem]) -> Any:
    """A member of the document, or an empty one of the wanted type if it is absent or wrong."""
    found = doc.get(name, wanted())
    if name in doc and not isinstance(found, wanted):
        problems.append(Problem(f"{name} is {_shape(found)}", Location(path), "see the profile's schema"))
    if name not in doc and name in ("settings", "name", "scopes"):
        problems.append(Problem(f"{name} is missing", Location(path), "see the profile's schema"))
    return found if isinstance(found, wanted) else wanted()


def _scopes(doc: Mapping[str, Any], path: str, problems: list[Problem]) -> list[str]:
    found = _member(doc, "scopes", list, path, problems)
    for scope in found:
        if scope not in SCOPES or found.count(scope) > 1:
            hint = f"scopes are {', '.join(SCOPES)}, each once"
            problems.append(Problem(f"scopes has {_shape(scope)}", Location(path), hint))
            break
    return found


def _carried(doc: Mapping[str, Any], path: str, problems: list[Problem]) -> dict[str, tuple[Carried, ...]]:
    made: dict[str, tuple[Carried, ...]] = {}
    for dialect, keys in _member(doc, "carried", dict, path, problems).items():
        good = isinstance(keys, list) and all(
            isinstance(key, Mapping)
            and set(key) == {"path", "key", "text"}
            and isinstance(key["path"], list)
            and all(isinstance(part, str) for part in (*key["path"], key["key"], key["text"]))
            for key in keys
        )
        if good:
            made[dialect] = tuple(Carried(tuple(key["path"]), key["key"], key["text"]) for key in keys)
        else:
            hint = 'each is {"path": [names], "key": a text, "text": a text}'
            problems.append(Problem(f"carried keys of {str(dialect)[:40]} are malformed", Location(path), hint))
    return made


def _layouts(doc: Mapping[str, Any], path: str, problems: list[Problem]) -> dict[str, Layout]:
    made: dict[str, Layout] = {}
    for dialect, item in _member(doc, "layouts", dict, path, problems).items():
        names = set(item) if isinstance(item, Mapping) else set()
        good = {"file", "encoding", "text"} <= names <= {"file", "encoding", "text", "mark"}
        if good and all(isinstance(part, str) for part in item.values()):
            made[dialect] = Layout(**item)
        else:
            hint = 'it is {"file", "encoding", "text"}, all texts'
            problems.append(Problem(f"the layout of {str(dialect)[:40]} is malformed", Location(path), hint))
    return made


def _lines(text: str, settings: Mapping[str, Any]) -> dict[str, int]:
    """The line of each setting's id, where it stands as the name of a member behind "settings", in their order."""
    lines: dict[str, int] = {}
    missed = 0
    offset = max(text.find('"settings"'), 0)
    line = text.count("\n", 0, offset) + 1
    for name in settings if text else ():
        mark = f'"{name}"'
        found = text.find(mark, offset)
        while found >= 0 and text[found + len(mark) : found + len(mark) + 40].lstrip()[:1] != ":":
            found = text.find(mark, found + 1)
        if found < 0:
            missed += 1  # an id written with escapes; each miss has read all of the text
            if missed > 20:
                break
            continue
        line += text.count("\n", offset, found)
        offset = found
        lines[name] = line
    return lines
