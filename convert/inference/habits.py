"""What people call each setting and which values they give it: the rows of schemas/habits.tsv.

>>> habits()["layer.first"].says
((('height',), False), (('first',), False), (('layer',), True))
"""

from __future__ import annotations

from dataclasses import dataclass

from convert.model.setting import SETTINGS, Setting
from convert.resources import read_bytes

Says = tuple[tuple[tuple[str, ...], bool], ...]
"""Concepts, each with its alternatives, and whether it often goes without saying."""


@dataclass(frozen=True, slots=True)
class Habit:
    """One setting: its composition, what its name may hold besides, its usual range and hard limits, in its unit."""

    setting: Setting
    says: Says
    allows: frozenset[str]
    low: float | None
    high: float | None
    needs: frozenset[str] = frozenset()
    least: float = 0.0
    most: float = 0.0
    costs: tuple[tuple[int, float], ...] = ()
    """For each need its bit, and what it costs a terse key not to say it."""


TURNED = frozenset(("disabled",))
"""What the name of any flag may hold: a key may ask the opposite."""
UNSAID, UNSAID_OFTEN = 0.85, 0.25
_cache: dict[str, Habit] = {}


def habits() -> dict[str, Habit]:
    """All settings, in the order of the schema."""
    if not _cache:
        for line in read_bytes("schemas", "habits.tsv").decode().split("\n"):
            if not line or line[0] == "#" or line.startswith("setting\t"):
                continue
            name, says, allows, low, high = line.split("\t")
            composed = tuple((tuple(word.rstrip("?").split("|")), word.endswith("?")) for word in says.split())
            own = frozenset(concept for concepts, _ in composed for concept in concepts)
            setting = SETTINGS[name]
            _cache[name] = Habit(
                setting,
                composed,
                own | frozenset(allows.split()) | (TURNED if setting.kind == "flag" else frozenset()),
                float(low) if low else None,
                float(high) if high else None,
                own,
                float(setting.minimum or 0),
                float(setting.maximum or 0),
                tuple((1 << need, UNSAID_OFTEN if often else UNSAID) for need, (_, often) in enumerate(composed)),
            )
    return _cache
