"""Values as people write them: "150 mm/s", "40 % of speed.default", "off", "0.4, 0.6 mm", "0/0 300/0 300/300 mm".

>>> from convert.model.setting import setting
>>> parse_phrase("2.5 m/min", setting("speed.travel")), parse_phrase("40 %", setting("infill.density"))
(Fraction(125, 3), Fraction(40, 1))
>>> spell_phrase(Share(Fraction(40), "speed.default"), setting("speed.first_layer"))
'40 % of speed.default'
>>> parse_phrase("0.4, 0.6 mm", setting("nozzle.diameter"))
(Fraction(2, 5), Fraction(3, 5))

A list has one value per tool, parted by a comma and a blank; a list of one ends in a comma. Numbers of a list without a
unit of their own have the unit at its end. The outlines of a list of outlines are parted by semicolons; one alone ends
in a semicolon. Texts and command code stand as they are.
"""

from __future__ import annotations

from fractions import Fraction

from convert.errors import InputError
from convert.model.numbers import converted, parse_number, parse_quantity, spell, split_quantity
from convert.model.setting import SETTINGS, Setting, closest
from convert.model.value import STATES, Share, State, Value
from convert.units import Unit, convert, unit

_FLAGS = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}


def parse_phrase(text: str, setting: Setting) -> Value:
    """The value that a phrase says, in the schema's unit. Raises InputError with what is wrong and what to write."""
    if setting.kind in ("text", "code"):
        return text
    text = text.strip()
    if not text:
        raise InputError(f"{setting.id} is empty", None, "write a value, or leave the setting out")
    if setting.kind == "outline":
        return _parse_outlines(text, setting)
    if text[-1] != "," and ", " not in text:
        return _parse_item(text, setting)
    if not setting.per_tool:
        raise InputError(f"{setting.id} has one value, not a list", None, "write one value")
    items = [item.strip() for item in text.removesuffix(",").split(", ")]
    number, last = split_quantity(items[-1])
    if number and last and setting.is_number and " of " not in items[-1]:
        items = [f"{item} {last}" if split_quantity(item)[1] == "" else item for item in items]
    return tuple(_parse_item(item, setting) for item in items)


def _parse_item(text: str, setting: Setting) -> Value:
    if text.startswith("same as "):
        return Share(Fraction(100), _base(text[8:].strip(), setting))
    if setting.is_number:
        word = text.casefold()
        if word in STATES:
            return State(word)
        share, of, base = text.partition(" of ")
        if of:
            return Share(parse_quantity(share, "percent")[0], _base(base.strip(), setting))
        return _parse_quantity(text, setting)
    if setting.kind == "flag":
        flag = _FLAGS.get(text.casefold())
        if flag is None:
            raise InputError(f"{setting.id} is a flag, not {text[:40]!r}", None, "write true or false")
        return flag
    if text not in setting.choices:
        raise InputError(f"{setting.id} cannot be {text[:40]!r}", None, f"it is one of {', '.join(setting.choices)}")
    return text


def _base(name: str, setting: Setting) -> str:
    if name not in SETTINGS:
        near = closest(name)
        hint = f"did you mean {', '.join(near)}?" if near else ""
        raise InputError(f"{setting.id} refers to {name[:60]!r}, which is no setting", None, hint)
    return name


def _parse_quantity(text: str, setting: Setting) -> Fraction:
    number, rest = split_quantity(text)
    if number and not rest and setting.kind != "count":
        parse_number(number)
        says = f"{setting.id} has a unit, and {number} has none"
        raise InputError(
            says, None, f"the schema's unit is {setting.unit}: write {number} {setting.unit} if that is meant"
        )
    if not number:
        states = ", ".join(STATES)
        hint = f"write a number{_with_unit(setting)}, a percent of a setting, or one of {states}"
        raise InputError(f"{setting.id} cannot be {text[:40]!r}", None, hint)
    value, found = parse_quantity(text, setting.kind)
    return value if found.code == setting.unit else converted(value, found, unit(setting.unit, setting.kind), number)


def _with_unit(setting: Setting) -> str:
    return f" with its unit ({setting.unit})" if setting.kind != "count" else ""


def _parse_outlines(text: str, setting: Setting) -> Value:
    body, _, last = text.rpartition(" ")
    if not body or not last or last[0] in "0123456789+-.":
        raise InputError(
            f"{setting.id} has no unit", None, f"write points and a unit: 0/0 300/0 300/300 {setting.unit}"
        )
    own, target = unit(last, "length"), unit(setting.unit, "length")
    if ";" not in body:
        return _parse_points(body, setting, own, target)
    pieces = body.removesuffix(";").split(";")
    return tuple(_parse_points(piece, setting, own, target) for piece in pieces)


def _parse_points(text: str, setting: Setting, own: Unit, target: Unit) -> tuple[Value, ...]:
    points: list[Value] = []
    for word in text.split():
        x, slash, y = word.partition("/")
        if not slash:
            raise InputError(f"{setting.id}: {word[:40]!r} is no point", None, "a point is x/y, such as 300/0")
        points.append(tuple(convert(parse_number(number), own, target) for number in (x, y)))
    if not points:
        raise InputError(f"{setting.id} has an outline without points", None, "write points: 0/0 300/0 300/300 mm")
    return tuple(points)


def spell_phrase(value: Value, setting: Setting) -> str:
    """The phrase for a value; parse_phrase gives the value back (numbers as far as `spell` writes them)."""
    if not isinstance(value, tuple):
        return _spell_item(value, setting)
    if setting.kind == "outline":
        return _spell_outlines(value, setting)
    if all(isinstance(item, Fraction) for item in value) and len(value) > 1:
        text = ", ".join(spell(item) for item in value if isinstance(item, Fraction))
        return text if setting.kind == "count" else f"{text} {setting.unit}"
    return ", ".join(_spell_item(item, setting) for item in value) + ("," if len(value) == 1 else "")


def _spell_item(value: Value, setting: Setting) -> str:
    if isinstance(value, Fraction):
        return spell(value) if setting.kind == "count" else f"{spell(value)} {setting.unit}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Share):
        return f"same as {value.of}" if value.percent == 100 else f"{spell(value.percent)} % of {value.of}"
    if isinstance(value, State):
        return value.word
    return value if isinstance(value, str) else spell_phrase(value, setting)


def _spell_outlines(value: tuple[Value, ...], setting: Setting) -> str:
    if is_points(value):
        return f"{_spell_points(value)} {setting.unit}"
    outlines = [_spell_points(item) for item in value if isinstance(item, tuple)]
    return "; ".join(outlines) + (";" if len(outlines) == 1 else "") + f" {setting.unit}"


def is_points(value: Value) -> bool:
    """Whether an outline's value is a list of points, rather than a list of such lists.

    >>> is_points(((Fraction(0), Fraction(1)),)), is_points((((Fraction(0), Fraction(1)),),))
    (True, False)
    """
    return isinstance(value, tuple) and all(
        isinstance(point, tuple) and len(point) == 2 and all(isinstance(number, Fraction) for number in point)
        for point in value
    )


def _spell_points(points: tuple[Value, ...]) -> str:
    return " ".join(
        "/".join(spell(number) for number in point if isinstance(number, Fraction))
        for point in points
        if isinstance(point, tuple)
    )
