"""How findings say numbers and lists, and how repairs are rounded to the safe side."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor

FEATURE_WORDS = {
    "default": "general bead",
    "outer_wall": "outer wall",
    "inner_wall": "inner walls",
    "infill": "infill",
    "solid": "solid layers",
    "top": "top",
    "first_layer": "first layer",
    "bridge": "bridges",
    "support": "support",
    "interface": "support interface",
    "outline": "skirt and brim",
}


def num(value: float) -> str:
    """A number to about three digits, without an exponent.

    >>> num(31.237), num(0.45), num(1234.5), num(0.00421), num(40.0)
    ('31.2', '0.45', '1234', '0.0042', '40')
    """
    size = abs(value)
    digits = 0 if size >= 100 else 1 if size >= 10 else 2 if size >= 0.1 else 3 if size >= 0.01 else 4
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def listed(items: Iterable[str], most: int = 4) -> str:
    """Words as a sentence lists them.

    >>> listed(["infill", "top"]), listed("abcdef"), listed(["x"])
    ('infill and top', 'a, b, c and 3 more', 'x')
    """
    words = list(items)
    if len(words) > most:
        words = [*words[: most - 1], f"{len(words) - most + 1} more"]
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1] if words else "") if part)


def features(names: Iterable[str], most: int = 4) -> str:
    """Features by their trade words.

    >>> features(["outer_wall", "solid"])
    'outer wall and solid layers'
    """
    return listed((FEATURE_WORDS.get(name, name) for name in names), most)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def down(value: float, step: float, unit: str) -> str:
    """A phrase with the largest multiple of a step that is not above the value.

    >>> down(11.9, 0.5, "mm3/s"), down(0.3, 0.01, "mm")
    ('11.5 mm3/s', '0.3 mm')
    """
    return f"{round(floor(value / step + 1e-9) * step, 6):g} {unit}"


def up(value: float, step: float, unit: str) -> str:
    """A phrase with the smallest multiple of a step that is not below the value.

    >>> up(0.341, 0.01, "mm")
    '0.35 mm'
    """
    return f"{round(ceil(value / step - 1e-9) * step, 6):g} {unit}"


def exact(value: float, unit: str) -> str:
    """A phrase with the value itself, rounding noise left out.

    >>> exact(150.00000000000003, "mm/s")
    '150 mm/s'
    """
    return f"{round(value, 9):.10g} {unit}"
