"""What the dialect itself teaches, from the pairs of a round: its own words, and the units of its kinds and groups."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from convert.inference.habits import Habit
from convert.inference.items import Item
from convert.inference.values import USUAL, _plausible, family
from convert.inference.vocabulary import vocabulary

if TYPE_CHECKING:
    from convert.inference.match import Matched

LEARN_FROM = 0.6
WORST_FIT = -2.5
"""How much one key can say against a unit, and all together."""
GROUP_HABIT, KIND_HABIT = 0.8, 0.35


def learn_words(
    found: Sequence[Matched], items: Sequence[Item], habits: Mapping[str, Habit]
) -> list[dict[str, dict[str, float]]]:
    """For each word of several keys: which concepts the settings of the other keys share."""
    seen: dict[str, list[tuple[int, float, frozenset[str]]]] = {}
    for one in found:
        if one.pair is None or one.pair.confidence < 0.3:
            continue
        concepts = frozenset(c for needs, _ in habits[one.pair.setting].says for c in needs)
        for text in {word.text for word in one.item.words if word.weight >= 0.7 and not word.unit}:
            seen.setdefault(text, []).append((one.item.index, one.pair.confidence, concepts))
    base: dict[str, float] = {}
    weight = 0.0
    for one in found:
        if one.pair is not None:
            weight += one.pair.confidence
            for concept in {c for needs, _ in habits[one.pair.setting].says for c in needs}:
                base[concept] = base.get(concept, 0.0) + one.pair.confidence
    known = vocabulary()
    learned: list[dict[str, dict[str, float]]] = [{} for _ in items]
    having: dict[str, list[int]] = {}
    for item in items:
        for text in {word.text for word in item.words}:
            having.setdefault(text, []).append(item.index)
    for text, uses in seen.items():
        if len(uses) < 2:
            continue
        exact = text in known.words
        whole = sum(sure for _, sure, _ in uses)
        common: dict[str, float] = {}
        for _, sure, concepts in uses:
            for concept in concepts:
                common[concept] = common.get(concept, 0.0) + sure
        mine = {index: (sure, concepts) for index, sure, concepts in uses}
        for index in having[text]:
            # What the item itself says must not be its own evidence.
            own, without = mine.get(index, (0.0, frozenset[str]()))
            total = whole - own
            if total < LEARN_FROM:
                continue
            shares = {concept: share - own * (concept in without) for concept, share in common.items()}
            trust = total / (total + 0.7)
            made = {}
            for concept, share in shares.items():
                part = share / total
                usual = base[concept] / weight
                if part >= 0.55 and part > 2 * usual:
                    made[concept] = part * trust * (0.7 if exact else 0.95)
            if made:
                learned[index][text] = made
    return learned


def learn_units(
    found: Sequence[Matched], items: Sequence[Item], habits: Mapping[str, Habit]
) -> list[dict[tuple[str, str], float]]:
    """Which units suit the numbers of each kind and group together; zeros tell nothing, spelled units neither."""
    votes: dict[str, dict[str, float]] = {}
    own: dict[int, tuple[tuple[str, float], tuple[str, float], dict[str, float]]] = {}
    weights: dict[str, float] = {}
    for one in found:
        pair = one.pair
        if pair is None or pair.confidence < 0.5 or pair.readings[0].source in ("value", "beside", ""):
            continue
        if not any(number.value for number in one.item.numbers):
            continue
        habit = habits[pair.setting]
        kind = habit.setting.kind
        group = f"{family(pair.setting)}:{kind}"
        fits = {code: pair.confidence * max(WORST_FIT, _plausible(one.item, habit, code)) for code, _ in USUAL[kind]}
        for name in (group, kind):
            into = votes.setdefault(name, {})
            for code, fit in fits.items():
                into[code] = into.get(code, 0.0) + fit
            weights[name] = weights.get(name, 0.0) + pair.confidence
        own[one.item.index] = ((group, pair.confidence), (kind, pair.confidence), fits)
    learned: list[dict[tuple[str, str], float]] = [{} for _ in items]
    for item in items:
        made: dict[tuple[str, str], float] = {}
        mine = own.get(item.index)
        for name, totals in votes.items():
            fits = mine[2] if mine is not None and name in (mine[0][0], mine[1][0]) else {}
            left = {code: total - fits.get(code, 0.0) for code, total in totals.items()}
            best = max(left.values())
            share = GROUP_HABIT if ":" in name else KIND_HABIT
            for code, total in left.items():
                made[name, code] = max(WORST_FIT, share * (total - best))
            weight = weights[name] - (mine[0][1] if fits and mine is not None else 0.0)
            if weight >= (1.2 if ":" in name else 3.0):
                made[name, "known"] = 1.0
        learned[item.index] = made
    return learned
