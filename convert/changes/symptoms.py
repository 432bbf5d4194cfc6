"""Which changes may be behind a symptom: a table of suspects, and the changes in the order of suspicion.

>>> sorted(ABOUT)
['adhesion', 'risk', 'size', 'strength', 'stringing', 'surface', 'time', 'warping']
>>> suspicion("stringing", "retract.length", -1)
(3, 'less filament is pulled back, so the nozzle drips on its way')
>>> suspicion("stringing", "retract.length", 1) is None
True
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from convert.changes.meaning import Change
from convert.changes.signs import direction
from convert.physics.tables import rows
from convert.rules.finding import RANK

ABOUT = ("stringing", "warping", "adhesion", "surface", "strength", "size", "time", "risk")
_COLUMNS = "symptom setting way weight why status"
_WAYS = {"+": 1, "-": -1, "?": 0}


class Suspect(NamedTuple):
    """One change that may be behind a symptom: how strongly it is suspected, and why."""

    change: Change
    weight: float
    why: str


@cache
def _table() -> dict[str, list[tuple[str, int, int, str]]]:
    found: dict[str, list[tuple[str, int, int, str]]] = {}
    for name, of, sign, points, why, _ in rows("symptoms.tsv", _COLUMNS):
        found.setdefault(name, []).append((of, _WAYS[sign], int(points), why))
    return found


def suspicion(symptom: str, setting: str, way: int | None) -> tuple[int, str] | None:
    """Weight and reason why a rise (+1), fall (-1) or other change (None) of a setting may cause a symptom."""
    for of, likely, weight, why in _table().get(symptom, ()):
        if (setting == of or (of[-1] == "." and setting.startswith(of))) and (likely == 0 or way in (None, likely)):
            return weight, why
    return None


def suspects(symptom: str, changes: Sequence[Change]) -> list[Suspect]:
    """The changes that may cause a symptom, the likeliest first."""
    if symptom == "time":
        return _by_cost(changes)
    if symptom == "risk":
        found = [Suspect(one, RANK[one.severity], one.come[0].says) for one in changes if one.come]
        return sorted(found, key=lambda one: -one.weight)
    made = []
    for change in changes:
        if change.idle:
            continue
        reasons = [
            reason
            for fact in change.group.facts
            if (reason := suspicion(symptom, fact.setting, direction(fact))) is not None
        ]
        marks = [marks.get(symptom) for marks in change.effects.values()]
        if reasons:
            weight, why = max(reasons)
            made.append(Suspect(change, weight, why))
        elif -1 in marks:
            made.append(
                Suspect(change, 1, f"it lowers {symptom}" if symptom == "strength" else "it coarsens the surface")
            )
    return sorted(made, key=lambda one: (-one.weight, -RANK[one.change.severity]))


def _by_cost(changes: Sequence[Change]) -> list[Suspect]:
    """Changes that make the print longer, by what they add; those of unknown cost by their sign, last."""
    found = []
    for change in changes:
        longer = any(marks["time"] == 1 for marks in change.effects.values())
        if change.cost is not None and change.cost[0] > 0:
            found.append(Suspect(change, change.cost[0], f"it adds {change.cost[0] / 60:.1f} min on the block"))
        elif change.cost is None and longer:
            found.append(Suspect(change, 0.0, "it takes longer; how much cannot be computed here"))
    return sorted(found, key=lambda one: -one.weight)
