"""Values in words for people. What is shown can be typed again: `set` and the master sheets read these words."""

from __future__ import annotations

from convert.model.phrase import spell_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Value

UNITS = {
    "Cel": "°C",
    "deg": "°",
    "mm2": "mm²",
    "mm3": "mm³",
    "mm3/s": "mm³/s",
    "mm/s2": "mm/s²",
    "g/cm3": "g/cm³",
    "1/kg": "per kg",
    "1/mm": "/mm",
}
"""UCUM code -> the usual spelling, where people would stumble over the code."""


def unit(code: str) -> str:
    """A unit as people write it; nothing for counts.

    >>> unit("Cel"), unit("mm"), unit("1")
    ('°C', 'mm', '')
    """
    return "" if code == "1" else UNITS.get(code, code)


def spoken(value: Value, name: str) -> str:
    """The value of a setting as a phrase with its unit.

    >>> from fractions import Fraction
    >>> spoken(Fraction(205), "heat.nozzle"), spoken((Fraction(2, 5), Fraction(3, 5)), "nozzle.diameter")
    ('205 °C', '0.4, 0.6 mm')
    """
    setting = SETTINGS[name]
    text = spell_phrase(value, setting)
    code = setting.unit
    if code in UNITS and not isinstance(value, str) and text.endswith(f" {code}"):
        return text[: -len(code) - (code == "deg")] + UNITS[code]
    return text
