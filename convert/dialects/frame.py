"""Outlines that a dialect counts from the centre of the build area, whatever the machine's own origin is."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Mapping
from fractions import Fraction

from convert.dialects.table import Table
from convert.model.value import Value


def shift(values: Mapping[str, Value]) -> tuple[Fraction, Fraction] | None:
    """From centre coordinates to the machine's: half the build area where X0 Y0 is a corner, nothing where it is the
    centre.

    >>> shift({"envelope.origin": "corner", "envelope.x": Fraction(300), "envelope.y": Fraction(200)})
    (Fraction(150, 1), Fraction(100, 1))
    """
    origin = values.get("envelope.origin")
    if origin == "centre":
        return Fraction(0), Fraction(0)
    x, y = values.get("envelope.x"), values.get("envelope.y")
    if origin == "corner" and isinstance(x, Fraction) and isinstance(y, Fraction):
        return x / 2, y / 2
    return None


def _moved(value: Value, dx: Fraction, dy: Fraction) -> Value:
    if isinstance(value, tuple):
        if len(value) == 2 and all(isinstance(n, Fraction) for n in value):
            return (value[0] + dx, value[1] + dy)  # type: ignore[operator]
        return tuple(_moved(item, dx, dy) for item in value)
    return value


def to_machine(values: dict[str, Value], table: Table) -> None:
    """Move the outlines of `table.frames` from the centre to the machine's origin, in place."""
    _move(values, table, 1)


def from_machine(values: dict[str, Value], table: Table) -> dict[str, Value]:
    """The values as the dialect counts them, as a copy."""
    copy = dict(values)
    _move(copy, table, -1)
    return copy


def _move(values: dict[str, Value], table: Table, sign: int) -> None:
    for name in table.frames & values.keys():
        by = shift(ChainMap(values, table.defaults))
        if by is None:
            # Without the origin the outline has no place; a guess could send the head into a clip.
            del values[name]
        else:
            values[name] = _moved(values[name], sign * by[0], sign * by[1])
