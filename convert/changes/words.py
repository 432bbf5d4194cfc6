"""How a comparison says values, steps, times and shares.

>>> share(15, 25), share(3, 2), share(10, 10.001), share(0, 5)
('+67 %', '-33 %', '+0.01 %', '')
>>> span(1644, 1356), span(42, 50), span(5400, 30000)
('27.4 -> 22.6 min', '42 -> 50 s', '1.5 -> 8.33 h')
"""

from __future__ import annotations

from fractions import Fraction

from convert.model.setting import SETTINGS
from convert.model.value import Share, State, Value
from convert.rules.words import num

ARROW = "->"
SIGNS = {"Cel": "°C", "deg": "°", "mm2": "mm²", "mm3": "mm³", "mm3/s": "mm³/s", "mm/s2": "mm/s²", "g/cm3": "g/cm³",
         "1/kg": "per kg", "1/mm": "/mm", "cm3": "cm³", "1": "", "um": "µm"}  # fmt: skip
"""UCUM code -> the usual spelling, where people would stumble over the code."""


def unit(code: str) -> str:
    """A unit as people write it.

    >>> unit("mm3/s"), unit("1"), unit("mm")
    ('mm³/s', '', 'mm')
    """
    return SIGNS.get(code, code)


def with_unit(number: str, code: str) -> str:
    """A number and its unit."""
    sign = unit(code)
    return f"{number} {sign}" if sign else number


def plain(value: Fraction, digits: int = 6) -> str:
    """A setting's number: whole ones in full, others to so many digits.

    >>> plain(Fraction(1, 5)), plain(Fraction(50, 3)), plain(Fraction(1234567)), plain(Fraction("0.00001"))
    ('0.2', '16.6667', '1234567', '0.00001')
    """
    if value.denominator == 1 and abs(value) < 10**15:
        return str(value.numerator)
    number = float(value)
    text = f"{number:.{digits}g}"
    return f"{number:.{digits + 6}f}".rstrip("0").rstrip(".") if "e-0" in text else text


def said(value: Value | None, name: str, bare: bool = False) -> str:
    """The value of a setting in words; `bare` leaves the unit out.

    >>> said(Fraction(215), "heat.nozzle"), said(None, "wall.count")
    ('215 °C', 'not stated')
    >>> said(Share(Fraction(40), "speed.default"), "speed.top")
    '40 % of speed.default'
    """
    if value is None:
        return "not stated"
    setting = SETTINGS[name]
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, Fraction):
        return plain(value) if bare else with_unit(plain(value), setting.unit)
    if isinstance(value, Share):
        return f"same as {value.of}" if value.percent == 100 else f"{plain(value.percent)} % of {value.of}"
    if isinstance(value, State):
        return value.word
    if isinstance(value, str):
        if setting.kind == "code":
            lines = len(value.rstrip("\n").split("\n"))
            return f"{lines} line{'' if lines == 1 else 's'}"
        return value if len(value) <= 40 else value[:37] + "..."
    if setting.kind == "outline":
        return f"{len(value)} points" if value and not _nested(value) else f"{len(value)} areas"
    if all(isinstance(item, Fraction) for item in value):
        return with_unit(", ".join(said(item, name, True) for item in value), "" if bare else setting.unit)
    return ", ".join(said(item, name, bare) for item in value)


def _nested(value: tuple[Value, ...]) -> bool:
    first = value[0]
    return isinstance(first, tuple) and bool(first) and isinstance(first[0], tuple)


def step(name: str, before: Value | None, after: Value | None) -> str:
    """What a setting was and is.

    >>> step("layer.height", Fraction(1, 5), Fraction(7, 25)), step("support.enabled", False, True)
    ('0.2 -> 0.28 mm', 'off -> on')
    >>> step("layer.height", Fraction("0.2"), Fraction("0.2000001"))
    '0.2 -> 0.2000001 mm'
    """
    if isinstance(before, Fraction) and isinstance(after, Fraction):
        for digits in (6, 9, 12, 15):
            first, second = plain(before, digits), plain(after, digits)
            if first != second:
                break
        return with_unit(f"{first} {ARROW} {second}", SETTINGS[name].unit)
    return f"{said(before, name)} {ARROW} {said(after, name)}"


def share(before: float, after: float) -> str:
    """The relative change with its sign, "" where there is none to speak of."""
    if not before or before == after:
        return ""
    part = 100 * (after - before) / abs(before)
    size = abs(part)
    text = f"{size:.0f}" if size >= 10 else f"{size:.1f}" if size >= 0.95 else f"{size:.2g}"
    return f"{'+' if part > 0 else '-'}{text.removesuffix('.0')} %"


def more(before: float, after: float, least: float = 0.0005) -> str:
    """ "7.9 % less", "20 % more"; "" below `least` (relative)."""
    if not before or abs(after - before) < least * abs(before):
        return ""
    return f"{share(before, after)[1:]} {'more' if after > before else 'less'}"


def times(before: float, after: float) -> str:
    """How many times as much, where a share would be hard to read.

    >>> times(1, 10), times(28.5, 1), times(1, 1.2)
    ('10 times', '1/28', '')
    """
    if before <= 0 or after <= 0:
        return ""
    ratio = after / before
    if ratio >= 3:
        return f"{num(ratio)} times"
    return f"1/{round(1 / ratio)}" if ratio <= 1 / 3 else ""


def span(before: float, after: float) -> str:
    """Two times in one unit, given in seconds."""
    least, most = sorted((abs(before), abs(after)))
    size, name = (1.0, "s") if most < 90 else (60.0, "min") if most < 7200 or least < 60 else (3600.0, "h")
    return f"{num(before / size)} {ARROW} {num(after / size)} {name}"


def time(seconds: float) -> str:
    """A time in the unit that suits it.

    >>> time(42), time(1644), time(-30000)
    ('42 s', '27.4 min', '-8.33 h')
    """
    size, name = (1.0, "s") if abs(seconds) < 90 else (60.0, "min") if abs(seconds) < 7200 else (3600.0, "h")
    return f"{num(seconds / size)} {name}"


def from_to(before: float, after: float, code: str) -> str:
    """Two numbers of a unit, with as many digits as it takes to tell them apart.

    >>> from_to(1.264, 1.414, "mm"), from_to(0.45, 0.4501, "mm")
    ('1.26 -> 1.41 mm', '0.45 -> 0.4501 mm')
    """
    first, second = num(before), num(after)
    digits = 3
    while first == second and before != after and digits < 9:
        digits += 1
        first, second = f"{before:.{digits}g}", f"{after:.{digits}g}"
    return with_unit(f"{first} {ARROW} {second}", code)
