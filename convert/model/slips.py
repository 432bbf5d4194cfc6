"""The likely slip behind a number that is out of range: another unit, or another scale.

>>> from convert.model.setting import setting
>>> likely_slip(setting("speed.outer_wall"), Fraction(9000))
'9000 looks like mm/min: 150 mm/s'
>>> likely_slip(setting("fan.max"), Fraction(255))
'255 looks like a scale of 0 to 255: 100 %'
"""

from __future__ import annotations

from fractions import Fraction

from convert.model.numbers import spell
from convert.model.setting import Setting
from convert.units import convert, unit

# The units that people leave out or mix up, by kind, the likeliest first.
_UNITS = {
    "speed": ("mm/min", "m/s", "[in_i]/s", "[in_i]/min", "m/min"),
    "acceleration": ("m/s2", "[g]", "[in_i]/s2"),
    "length": ("um", "[mil_i]", "[in_i]", "m"),
    "temperature": ("K", "[degF]"),
    "time": ("ms", "min", "h", "s"),
    "flow": ("mm3/min", "cm3/h", "cm3/s"),
    "density": ("kg/m3",),
    "mass": ("kg", "mg"),
    "percent": ("1",),
    "per_length": ("1/[in_i]", "1/m"),
    "power": ("kW", "mW"),
    "frequency": ("1/min", "kHz"),
    "volume": ("cm3",),
    "area": ("um2", "cm2"),
}


def in_range(setting: Setting, value: Fraction) -> bool:
    """Whether a number lies within the schema's range of a setting."""
    low, high = setting.minimum, setting.maximum
    return (low is None or low <= value) and (high is None or value <= high)


def likely_slip(setting: Setting, value: Fraction) -> str:
    """What a number that is out of range would be in another unit or scale, if that is inside the range; else ""."""
    if value <= 0 and setting.kind != "temperature":
        return ""
    for code in _UNITS.get(setting.kind, ()):
        if code == setting.unit:
            continue
        found = convert(value, unit(code, setting.kind), unit(setting.unit, setting.kind))
        if in_range(setting, found):
            name = "a fraction" if setting.kind == "percent" else code
            return f"{spell(value)} looks like {name}: {_short(found)} {setting.unit}"
    if setting.kind == "percent" and 100 < value <= 255:
        found = value * 100 / 255
        if in_range(setting, found):
            return f"{spell(value)} looks like a scale of 0 to 255: {_short(found)} {setting.unit}"
    return ""


def _short(value: Fraction) -> str:
    rounded = Fraction(f"{float(value):.4g}")
    return spell(value) if len(spell(value)) <= 8 else f"about {spell(rounded)}"
