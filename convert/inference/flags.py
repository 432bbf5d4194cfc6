"""What yes means: a key may ask the opposite of a setting, or one of the two choices of a setting by its words.

>>> negations(["without", "brim"]), negations(["brim", "width"])
(0.8, 0.0)
"""

from __future__ import annotations

from collections.abc import Sequence

from convert.inference.items import Item
from convert.inference.vocabulary import vocabulary

PAIRS = {
    "envelope.origin": ("centre", "corner", "origin"),
    "feed.drive": ("direct", "remote", "drive"),
    "support.stands_on": ("bed", "bed-and-part", "stand"),
    "wall.order": ("outer-then-inner", "inner-then-outer", ""),
}
"""Choices that are often asked as a question of yes and no: the two, and the concept that asks for the first one."""
LAST = 0.4
"""How strong a word must be to say that walls come last."""
SURE, FAINT, CLEAR = 0.5, 0.25, 0.3
"""How strong a word of the opposite must be, where it begins to make doubtful; how far a choice must lead."""


def negations(words: Sequence[str]) -> float:
    """How surely words ask the opposite: the strength of the only negation, 0 for none or for two."""
    found = [strength for word in words if (strength := vocabulary().meaning(word).get("disabled", 0.0)) >= SURE]
    return found[0] if len(found) == 1 else 0.0


def opposite(item: Item, setting: str) -> bool | None:
    """Whether yes means no for a setting that is a flag; None where that cannot be told."""
    words = _own(item)
    turned = negations(words) > 0
    known = vocabulary()
    if not turned and any(known.meaning(word).get("disabled", 0.0) >= FAINT for word in words):
        return None

    def place(concept: str) -> int:
        return next((at for at, word in enumerate(words) if known.meaning(word).get(concept, 0.0) >= SURE), -1)

    if setting == "code.relative_feed":
        absolute, relative = place("absolute"), place("relative")
        return None if absolute >= 0 and relative >= 0 else turned != (absolute >= 0)
    if setting == "order.walls_lead":
        wall, infill, after = place("wall"), place("infill"), place("end")
        if wall < 0 <= place("before") < infill and after < 0:
            return turned  # "before infill": only walls can be
        return None if after >= 0 or wall < 0 else turned != (0 <= infill < wall)
    if setting == "travel.stay_inside" and any(known.meaning(word).get("allowed", 0.0) >= SURE for word in words):
        return None
    if setting == "travel.stay_inside" and place("trespass") >= 0:
        # "Avoid crossing" and "no crossing" say it; what a bare "crossing" asks is open.
        meant = [known.meaning(word) for word in words]
        if not any(one.get("crossing", 0.0) >= SURE > one.get("trespass", 0.0) for one in meant):
            return False if turned else None
    return turned


def choices(item: Item, setting: str) -> tuple[str, str] | None:
    """The choices that yes and no stand for, where a key asks for one of two by its words; None where it does not."""
    if setting not in PAIRS:
        return None
    first, second, concept = PAIRS[setting]
    known = vocabulary()
    worth = {first: 0.0, second: 0.0}
    for word in _own(item):
        for choice, strength in known.choices.get(word, {}).items():
            if choice in worth:
                worth[choice] = max(worth[choice], strength)
    if worth[first] == worth[second] == 0.0 and concept:
        worth[first] = max((known.meaning(word).get(concept, 0.0) for word in _own(item)), default=0.0)
    best, other = (first, second) if worth[first] > worth[second] else (second, first)
    if worth[best] - worth[other] < CLEAR:
        return None
    last = setting == "wall.order" and any(known.meaning(word).get("end", 0.0) >= LAST for word in _own(item))
    return (other, best) if last != (negations(_own(item)) > 0) else (best, other)


def _own(item: Item) -> list[str]:
    return [word.text for word in item.words if word.own and not word.unit]
