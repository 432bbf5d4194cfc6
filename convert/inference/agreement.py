"""A word or an abbreviation means the same in the whole file: what the other keys that have it are taken for.

Each key has a belief over settings, from the last round. For a word, the beliefs of all other keys that have it are
added up by concept. The concepts that most of them share, and that are not common in the file anyhow, are what the word
stands for there; a setting that has them agrees, one that has none of them does not.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp

from convert.inference.habits import Habit
from convert.inference.items import Item

HEAT = 0.35
"""Score that divides the belief in two settings by e."""
LEAST, TRUST = 0.5, 0.7
"""Keys that a word must have besides, and how many make it half trusted."""
SHARED, RAISED = 0.45, 1.8
"""Share of the other keys that must have a concept, and how much commoner than in the file it must be."""
SCOPED = 0.15
"""What it is worth that the other keys of a word belong to the setting's scope."""
TELLING = 4
"""Letters of a word that may stand for a scope: a code of one or two letters has too many uses."""
ALLOWED = 0.5
"""What a setting counts whose name may hold the concept, but need not."""

SCOPE = "\0"
"""Marks the scope of a setting, which a word may stand for like a concept."""

Belief = dict[str, float]
"""Setting -> how far it is believed, 0 to 1; what is missing to 1 is no setting."""


def belief(scores: Mapping[str, float], none: float, taken: str, confidence: float) -> Belief:
    """Belief over the settings of one key: the one that was taken by its confidence, the rest by their scores."""
    best = max([none, *scores.values()])
    weights = {name: exp((score - best) / HEAT) for name, score in scores.items() if name != taken}
    rest = sum(weights.values()) + exp((none - best) / HEAT)
    share = (1 - confidence if taken else 1.0) / rest
    found = {name: weight * share for name, weight in weights.items()}
    if taken:
        found[taken] = confidence
    return found


class Agreement:
    """What the words of a file stand for, by the beliefs of one round."""

    def __init__(self, items: Sequence[Item], beliefs: Sequence[Belief], habits: Mapping[str, Habit]) -> None:
        self.shares: list[dict[str, float]] = []
        self.weights = [sum(belief.values()) for belief in beliefs]
        self.sums: dict[str, dict[str, float]] = {}
        self.counts: dict[str, float] = {}
        total: dict[str, float] = {}
        for item, belief, weight in zip(items, beliefs, self.weights, strict=True):
            mine: dict[str, float] = {}
            for name, chance in belief.items():
                habit = habits[name]
                for concept in (*habit.needs, SCOPE + habit.setting.scope):
                    mine[concept] = mine.get(concept, 0.0) + chance
            self.shares.append(mine)
            _add(total, mine)
            for text in _texts(item):
                _add(self.sums.setdefault(text, {}), mine)
                self.counts[text] = self.counts.get(text, 0.0) + weight
        everywhere = sum(self.weights)
        self.usual = {concept: share / everywhere for concept, share in total.items()} if everywhere else {}

    def of(self, item: Item) -> list[tuple[float, dict[str, float]]]:
        """For each word of the item that others have: how far they are trusted, and the concepts it stands for."""
        found = []
        own = self.shares[item.index]
        for text in _texts(item):
            weight = self.counts[text] - self.weights[item.index]
            if weight < LEAST:
                continue
            telling = not item.scope and len(text) >= TELLING
            meant = {}
            for concept, share in self.sums[text].items():
                if concept[0] == SCOPE and not telling:
                    continue
                part = (share - own.get(concept, 0.0)) / weight
                if part >= SHARED and part >= RAISED * self.usual[concept]:
                    meant[concept] = part
            if meant:
                found.append((weight / (weight + TRUST), meant))
        return found


def _add(total: dict[str, float], shares: Mapping[str, float]) -> None:
    for concept, share in shares.items():
        total[concept] = total.get(concept, 0.0) + share


def agrees(words: Sequence[tuple[float, Mapping[str, float]]], habit: Habit) -> float:
    """How well a setting agrees with what the words stand for elsewhere, -0.5 to 0.5 for each word, and the scope."""
    total = 0.0
    scope = SCOPE + habit.setting.scope
    for trust, meant in words:
        whole = hit = 0.0
        for concept, share in meant.items():
            if concept[0] == SCOPE:
                total += trust * SCOPED * (1 if concept == scope else -1)
                continue
            whole += share
            hit += share * (1.0 if concept in habit.needs else ALLOWED if concept in habit.allows else 0.0)
        if whole:
            total += trust * (hit / whole - 0.5)
    return total


def _texts(item: Item) -> list[str]:
    return list(dict.fromkeys(word.text for word in item.words if word.own and not word.unit))
