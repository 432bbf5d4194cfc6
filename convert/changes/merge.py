"""Three-way merge: what two people changed in one setup, joined; and where their changes do not go together.

Each side is compared with the common base in its own dialect, so the base comes in two forms: as the dialect of OURS
says it, and as the dialect of THEIRS says it. What a dialect cannot say is in neither, and nobody changed it.

>>> from fractions import Fraction
>>> base = {"layer.height": Fraction(1, 5), "wall.count": Fraction(3), "heat.bed": Fraction(60)}
>>> ours = {**base, "wall.count": Fraction(4), "heat.bed": Fraction(65)}
>>> theirs = {**base, "layer.height": Fraction(1, 4), "heat.bed": Fraction(70)}
>>> for one in merge_settings(base, ours, theirs):
...     print(one.setting, one.take)
heat.bed conflict
layer.height theirs
wall.count ours
>>> sorted(apply(ours, merge_settings(base, ours, theirs)).items()) == sorted(
...     {"layer.height": Fraction(1, 4), "wall.count": Fraction(4), "heat.bed": Fraction(65)}.items())
True

Edits that are sound alone may be unsound together: `interactions` are findings about the merged setup that neither side
has.
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from convert.changes.equality import same_resolved
from convert.changes.figures import Figure, View, figures
from convert.model.profile import Profile, equal_values
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value
from convert.rules.bundle import audit_all, combinations
from convert.rules.finding import RANK, Finding

TAKES = ("ours", "theirs", "both", "conflict")
"""Who changed a setting: one side, both alike, or both differently (then OURS' value stays)."""

LEAST = "spoils"
"""The severity from which a finding about the merged setup is a conflict."""

TOLD = ("time_block", "mass_block", "volume_flow", "wall_stack", "roof_thickness", "floor_thickness", "slope_roughness",
        "layer_time_block", "retraction_time", "reach_distance")  # fmt: skip
"""Figures that tell what an edit does, the most telling first."""
MOST_FIGURES = 3

Key = TypeVar("Key", bound=Hashable)
Text = TypeVar("Text")


@dataclass(frozen=True, slots=True)
class Decision:
    """One setting that at least one side changed. None: not stated (taken away, or not there yet)."""

    setting: str
    take: str
    base: Value | None
    ours: Value | None
    theirs: Value | None

    @property
    def value(self) -> Value | None:
        """What the merged setup states."""
        return self.theirs if self.take == "theirs" else self.ours


def merge_settings(
    base: Mapping[str, Value],
    ours: Mapping[str, Value],
    theirs: Mapping[str, Value],
    base_of_theirs: Mapping[str, Value] | None = None,
    aside: Collection[str] = (),
) -> list[Decision]:
    """The settings that somebody changed, in the schema's order. `base_of_theirs` is the base as the dialect of THEIRS
    says it, where that is another one; settings `aside` are left out.
    """
    across = base_of_theirs is not None
    other = base if base_of_theirs is None else base_of_theirs
    found = []
    for name in SETTINGS.rows():
        if name in aside:
            continue
        mine, yours = ours.get(name), theirs.get(name)
        we, they = not equal_values(base.get(name), mine), not equal_values(other.get(name), yours)
        if they and not we and across and _equal(name, mine, yours):
            continue  # THEIRS' dialect says it otherwise, and now it says what OURS says
        if we or they:
            take = "theirs" if not we else "ours" if not they else "both" if _equal(name, mine, yours, across) else ""
            found.append(Decision(name, take or "conflict", base.get(name), mine, yours))
    return found


def _equal(name: str, one: Value | None, two: Value | None, loosely: bool = True) -> bool:
    if equal_values(one, two):
        return True
    return loosely and one is not None and two is not None and same_resolved(name, one, two)


def apply(ours: Mapping[str, Value], decisions: Iterable[Decision]) -> dict[str, Value]:
    """OURS with what only THEIRS changed."""
    merged = dict(ours)
    for one in decisions:
        if one.take == "theirs":
            if one.theirs is None:
                merged.pop(one.setting, None)
            else:
                merged[one.setting] = one.theirs
    return merged


@dataclass(frozen=True, slots=True)
class TextDecision(Generic[Key, Text]):
    """The same for a key that no table names, by its text."""

    key: Key
    take: str
    base: Text | None
    ours: Text | None
    theirs: Text | None


def merge_texts(
    base: Mapping[Key, Text], ours: Mapping[Key, Text], theirs: Mapping[Key, Text]
) -> list[TextDecision[Key, Text]]:
    """Three-way merge of keys that are compared word for word.

    >>> [(one.key, one.take) for one in merge_texts({"a": "1", "b": "1"}, {"a": "2", "b": "1"}, {"b": "3", "c": "4"})]
    [('a', 'conflict'), ('b', 'theirs'), ('c', 'theirs')]
    """
    found = []
    for key in dict.fromkeys((*ours, *base, *theirs)):
        was, mine, yours = base.get(key), ours.get(key), theirs.get(key)
        if mine != was or yours != was:
            take = "theirs" if mine == was else "ours" if yours == was else "both" if mine == yours else "conflict"
            found.append(TextDecision(key, take, was, mine, yours))
    return found


# ---- what edits do


def effects(around: Mapping[str, Value], name: str, value: Value | None) -> list[Figure]:
    """The most telling figures that one edit moves, all else as in `around`; none where nothing can be computed."""
    after = edited(around, name, value)
    moved = [
        one for one in figures(View(around, after)) if one.quantity in TOLD and None not in (one.before, one.after)
    ]
    largest: dict[str, Figure] = {}
    for one in moved:
        known = largest.get(one.quantity)
        if known is None or _step(one) > _step(known):
            largest[one.quantity] = one
    return [largest[quantity] for quantity in TOLD if quantity in largest][:MOST_FIGURES]


def meaning(around: Mapping[str, Value], name: str, value: Value | None) -> str:
    """What one edit does to the print, as `diff` says it; "" where it does nothing or nobody can tell.

    >>> from fractions import Fraction
    >>> known = {"feedstock.family": "PLA", "heat.nozzle": Fraction(210)}
    >>> meaning(known, "heat.nozzle", Fraction(215)) != "", meaning(known, "heat.nozzle", Fraction(210))
    (True, '')
    """
    from convert.changes.difference import difference  # only where there is a conflict to tell about

    sides = [[Profile("", SCOPES, dict(values))] for values in (around, edited(around, name, value))]
    for change, _ in difference(sides[0], sides[1], attributed=False).changes:
        if name in change.group.settings:
            return change.says
    return ""


def edited(around: Mapping[str, Value], name: str, value: Value | None) -> dict[str, Value]:
    """All values with one of them changed, or taken away."""
    return {**around, name: value} if value is not None else {k: v for k, v in around.items() if k != name}


def _step(one: Figure) -> float:
    before, after = one.before or 0.0, one.after or 0.0
    return abs(after - before) / max(abs(before), abs(after), 1e-12)


# ---- edits that do not go together


@dataclass(frozen=True, slots=True)
class Interaction:
    """A finding about the merged setup that neither side has, and the edits that bear on it."""

    finding: Finding
    ours: tuple[str, ...]
    theirs: tuple[str, ...]


def interactions(
    ours: Sequence[Profile],
    theirs: Sequence[Profile],
    merged: Sequence[Profile],
    changed: Iterable[Decision],
    least: str = LEAST,
) -> list[Interaction]:
    """Findings at or above `least` about the merged setup that are in neither side (there, or as grave)."""
    decisions = list(changed)
    here = [one for one in _findings(merged) if RANK[one.severity] >= RANK[least]]
    if not here:
        return []
    known = [*_findings(ours), *_findings(theirs)]
    mine = [one.setting for one in decisions if one.take in ("ours", "both", "conflict")]
    yours = [one.setting for one in decisions if one.take in ("theirs", "both")]
    found: list[Interaction] = []
    for one in here:
        if not any(_covers(other, one) for other in known):
            about = set(one.settings)
            parts = [tuple(name for name in edits if name in about) for edits in (mine, yours)]
            found.append(Interaction(one, parts[0], parts[1]))
    return found


def _covers(known: Finding, new: Finding) -> bool:
    """Whether a finding of one side says already what the finding about the merged setup says."""
    return (
        known.rule == new.rule
        and RANK[known.severity] >= RANK[new.severity]
        and (known.where == new.where or not new.where)
        and (not new.settings or not set(known.settings).isdisjoint(new.settings))
    )


def _findings(profiles: Sequence[Profile]) -> Iterator[Finding]:
    """All findings, those that follow from others included."""
    for judged in audit_all(combinations(profiles)).findings:
        yield judged.finding
        yield from judged.finding.consequences
