"""What a setting may hold, in memory.

A value is a plain immutable Python object; its meaning comes from the setting it belongs to:

    Fraction   a quantity in the schema's unit, a percent (40 means 40 %), or a count
    bool       a flag
    str        a choice word, a text, or command code (lines ended by "\\n", placeholders as {setting.id})
    Share      a percent of another setting: a relation, kept as one
    State      an explicit off, unlimited or automatic
    tuple      one value per tool, each of the above; or, for outlines, points (x, y) of Fractions, or several such
               lists of points
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Union

STATES = ("off", "unlimited", "automatic")


@dataclass(frozen=True, slots=True)
class Share:
    """`percent` of the setting `of`. "Same as X" is 100 percent of X."""

    percent: Fraction
    of: str


@dataclass(frozen=True, slots=True)
class State:
    """An explicit state in the place of a number: off, unlimited or automatic."""

    word: str


Value = Union[Fraction, bool, str, Share, State, "tuple[Value, ...]"]
