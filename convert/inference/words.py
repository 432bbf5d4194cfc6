"""How well the words of an item say a setting.

A setting is a composition of concepts. A word covers one of them at most; a concept that no word covers costs, and so
does a word of the key that the setting has no use for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from convert.inference.habits import Habit
from convert.inference.items import Covers, Item
from convert.inference.terse import Pieces, pieces_of, spelled

MISSING, WEAK_MISSING, QUALIFIER = 0.85, 0.25, 1.3
QUALIFIERS = frozenset(
    ("min", "max", "first", "standby", "second", "top", "bottom", "outer", "inner", "flow", "acceleration", "jump")
)
"""Concepts that nobody leaves out: a name without "least" is not that of a least value, nor without "flow" a flow's."""
USELESS, UNKNOWN = 0.55, 0.22
MISPLACED = 0.8
"""What a qualifier costs that the setting has no use for."""
STANDS_IN = 0.4
"""What an unknown word of four letters or more gives where one concept is missing: it may be the dialect's own word."""
GIVEN, CERTAIN = 0.5, 0.9
"""How much a word beside the key must count, and how surely it must say a concept, for the letters to leave it out."""
OF_USE, TELLING = 0.3, 3
"""How far a word must say what a setting may be called to be of use; and letters of a word that ought to be."""
ALWAYS = frozenset(("enabled", "general", "print"))
"""Concepts that any name may hold."""


def cover(item: Item, learned: Mapping[str, Mapping[str, float]] = {}) -> None:
    """Index the item's words by concept, with what was learned of them inside the dialect."""
    if not learned and item.plain is not None:
        item.covers, item.pieces = item.plain
        return
    if item.letters:
        item.pieces = pieces_of(item.letters, learned, item.tongues)
        item.given = frozenset(
            concept
            for word in item.words
            if not word.own and word.weight >= GIVEN and word.text[0] == "("
            for concept, strength in word.meaning.items()
            if strength >= CERTAIN
        )
    covers: Covers = {}
    for place, word in enumerate(item.words):
        if word.unit:
            continue
        meaning = word.meaning
        if not word.ranked:
            word.ranked = sorted(meaning.items(), key=lambda one: -one[1])
        more = learned.get(word.text)
        if more:
            meaning = {**meaning}
            for concept, strength in more.items():
                meaning[concept] = max(meaning.get(concept, 0.0), strength)
        for concept, strength in meaning.items():
            covers.setdefault(concept, []).append((strength * word.weight, place))
    for found in covers.values():
        found.sort(reverse=True)
    item.covers = covers
    if not learned:
        item.plain = covers, item.pieces


def score(item: Item, habit: Habit) -> tuple[float, float]:
    """How well the words fit, and the share of what must be said that they say."""
    if item.pieces is None:
        return _by_words(item, habit)
    return max(_by_letters(item, habit, item.pieces), _by_words(item, habit))


def strays(item: Item, habit: Habit) -> int:
    """How many words of the key the setting has no use for, whatever they may mean."""
    useful = {
        place
        for concept in (*habit.allows, *habit.needs, *ALWAYS)
        for strength, place in item.covers.get(concept, ())
        if strength >= OF_USE
    }
    return sum(
        word.own and not word.unit and len(word.text) >= TELLING and word.text.isalpha() and place not in useful
        for place, word in enumerate(item.words)
    )


def _by_letters(item: Item, habit: Habit, pieces: Pieces) -> tuple[float, float]:
    """The key as an abbreviation of what the setting's name is composed of, letter by letter."""
    if habit.needs.isdisjoint(pieces.opening):
        return -9.0, 0.0  # the first letter begins nothing that must be said
    said = 0
    worth = 0.0
    if any(word.text == "1" and word.own for word in item.words):
        firsts = [need for need, (concepts, _) in enumerate(habit.says) if "first" in concepts or "one" in concepts]
        if not firsts:
            return -9.0, 0.0
        said = 1 << firsts[0]
        layers = [need for need, (concepts, _) in enumerate(habit.says) if concepts == ("layer",)]
        if layers:
            said |= 1 << layers[0]
        worth = 1.0
    if not item.given.isdisjoint(habit.needs):
        for need, (concepts, _) in enumerate(habit.says):
            if not item.given.isdisjoint(concepts):
                said |= 1 << need
    total, share = spelled(pieces, habit, said)
    if total < -2:
        return -9.0, 0.0
    sizes = [0.5 if weak else 1.0 for _, weak in habit.says]
    if said:
        share += sum(size for need, size in enumerate(sizes) if said >> need & 1)
    return total + worth, min(1.0, share / sum(sizes))


def _use(ranked: Sequence[tuple[str, float]], allows: frozenset[str]) -> tuple[float, float, float]:
    """How far a word says what the name may hold, and other things; and what it costs if it is of no use."""
    helps = other = 0.0
    cost = USELESS
    for concept, strength in ranked:
        if concept in allows or concept in ALWAYS:
            helps = helps or strength
        else:
            other = other or strength
            if strength >= 0.9 and concept in QUALIFIERS:
                cost = MISPLACED
        if helps and other and strength < 0.9:
            break
    return helps, other, cost


def _by_words(item: Item, habit: Habit) -> tuple[float, float]:
    covers = item.covers
    if habit.needs.isdisjoint(covers):
        return -9.0, 0.0
    pairs: list[tuple[float, int, int]] = []
    for need, (concepts, _) in enumerate(habit.says):
        for rank, concept in enumerate(concepts):
            for strength, place in covers.get(concept, ())[:3]:
                pairs.append((strength - 0.02 * rank, need, place))
    if not pairs:
        return -9.0, 0.0
    if len(pairs) > 1:
        pairs.sort(reverse=True)
    met: dict[int, float] = {}
    used: set[int] = set()
    for strength, need, place in pairs:
        if need not in met and place not in used:
            met[need] = strength
            used.add(place)
    total = 0.0
    strong = said = 0.0
    lacking = 0
    for need, (_, weak) in enumerate(habit.says):
        gain = met.get(need, 0.0)
        size = 0.5 if weak else 1.0
        strong += size
        said += gain * size
        total += gain * (0.7 if weak else 1.0)
        if weak:
            total -= WEAK_MISSING * (1 - gain) * (0 if item.parts else 1)
        else:
            missing = QUALIFIER if habit.says[need][0][0] in QUALIFIERS else MISSING
            total -= missing * (1 - min(gain, 1.0)) * (0.55 if item.parts else 1)
            lacking += gain < 0.35
    own = 0
    foreign = 0
    allows = habit.allows
    charge = 0.35 if item.parts else 1.0
    for place, word in enumerate(item.words):
        if not word.own or word.unit or place in used:
            continue
        own += 1
        if word.meaning:
            helps, other, cost = _use(word.ranked, allows)
            if helps < 0.3:
                total -= cost * max(other, 0.3) * charge
            elif helps < other:
                total -= USELESS * (other - helps) * 0.6 * charge
        elif len(word.text) > 1:
            foreign += len(word.text) >= 4
            total -= UNKNOWN * charge
    if foreign and lacking == 1:
        total += STANDS_IN
    return total, said / strong if strong else 0.0
