"""Terse keys: names such as VOW or TMX1, cut into the pieces that recur in the file.

>>> cut(["VOW", "VIW", "WOW", "WIW", "AOW"])["vow"]
['v', 'ow']
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from math import log2

from convert.inference.vocabulary import split, vocabulary

LONGEST = 7
PIECE = 4
PER_PIECE = 0.75


def is_terse_file(names: Sequence[str]) -> bool:
    """Whether most words of the keys are short and unknown."""
    found = _all_words(names)
    return sum(is_terse(word) for word in found) * 3 >= max(3, len(found))


def _all_words(names: Sequence[str]) -> dict[str, None]:
    return dict.fromkeys(word for name in names for word in split(name) if word.isalpha())


def is_terse(word: str) -> bool:
    """Whether a word of a key may be made of abbreviations: short, and none that is known."""
    return 2 <= len(word) <= LONGEST and word.isalpha() and word.isascii() and not vocabulary().knows(word)


def cut(names: Sequence[str]) -> dict[str, list[str]]:
    """Pieces of each terse word of the names; words that stay whole are left out.

    A piece is worth what it recurs at the start or end of words, and more if it is a word by itself.
    """
    found = _all_words(names)
    words = [word for word in found if is_terse(word)]
    if len(words) * 3 < len(found):
        return {}
    starts: Counter[str] = Counter()
    ends: Counter[str] = Counter()
    for word in words:
        for size in range(1, min(PIECE, len(word)) + 1):
            starts[word[:size]] += 1
            ends[word[-size:]] += 1
    made = {}
    for word in words:
        pieces = _best(word, starts, ends)
        if len(pieces) > 1:
            made[word] = pieces
    return made


def _best(word: str, starts: Counter[str], ends: Counter[str]) -> list[str]:
    known = vocabulary().words
    best: list[tuple[float, list[str]]] = [(0.0, [])]
    for end in range(1, len(word) + 1):
        options = []
        for start in range(max(0, end - PIECE), end):
            piece = word[start:end]
            worth = -PER_PIECE
            recurs: float = (starts[piece] if start == 0 else 0) + (ends[piece] if end == len(word) else 0)
            recurs += 0.5 * (starts[piece] + ends[piece] - recurs)
            if len(piece) == 1:
                at_end = start == 0 or end == len(word) or piece in "xyze"
                worth += 0.25 * log2(1 + min(recurs, 12)) if at_end else -0.4
            else:
                worth += 0.45 * log2(1 + max(0, recurs - 1)) * (1 + 0.25 * (len(piece) - 2))
                if piece in known:
                    worth += 0.5 + 0.2 * len(piece)
            options.append((best[start][0] + worth, [*best[start][1], piece]))
        best.append(max(options, key=lambda one: one[0]))
    return best[-1][1]


# Letters that a piece has, and how far it is trusted as the start of a word, or as letters out of it.
STARTS = {1: 0.35, 2: 0.65, 3: 0.85, 4: 0.9}
OUT_OF = {2: 0.5, 3: 0.62, 4: 0.7}
GOOD_WORD = 0.7
LEFT_OVER, ALLOWED = 0.45, 0.08
JOINED = 0.5
"""How sure the dialect must be of a concept for its piece to say it together with others."""
CUT = 0.3
"""What each piece costs: many small ones spell anything."""

Pieces = list[list[tuple[int, dict[str, float], frozenset[str]]]]
"""For each letter of a word: the pieces that begin there, as their ends, what each may mean, and the concepts that the
dialect was found to join in it."""

_memo: dict[str, dict[str, float]] = {}


def pieces_of(word: str, learned: Mapping[str, Mapping[str, float]] = {}) -> Pieces:
    """All pieces of a word, with their meanings as abbreviations."""
    made: Pieces = []
    for start in range(len(word)):
        here = []
        for end in range(start + 1, min(len(word), start + PIECE) + 1):
            piece = word[start:end]
            meaning = _abbreviates(piece)
            more = learned.get(piece)
            joined = frozenset[str]()
            if more:
                meaning = {**meaning}
                for concept, strength in more.items():
                    meaning[concept] = max(meaning.get(concept, 0.0), strength)
                joined = frozenset(concept for concept, strength in more.items() if strength >= JOINED)
            if meaning:
                here.append((end, meaning, joined if len(joined) > 1 else frozenset()))
        made.append(here)
    return made


def _abbreviates(piece: str) -> dict[str, float]:
    found = _memo.get(piece)
    if found is None:
        known = vocabulary()
        found = dict(known.words.get(piece, {}))
        for other in known.initials.get(piece[0], ()):
            if other.startswith(piece):
                trust = STARTS.get(len(piece), 0.9)
            elif len(piece) > 1 and _in_order(piece, other):
                trust = OUT_OF.get(len(piece), 0.6)
            else:
                continue
            for concept, strength in known.words[other].items():
                if strength >= GOOD_WORD:
                    found[concept] = max(found.get(concept, 0.0), strength * trust)
        _memo[piece] = found
    return found


def _in_order(piece: str, word: str) -> bool:
    at = 0
    for letter in piece:
        at = word.find(letter, at) + 1
        if not at:
            return False
    return True


def spelled(
    pieces: Pieces, needs: Sequence[tuple[tuple[str, ...], bool]], allows: frozenset[str], said: int = 0
) -> tuple[float, dict[int, float]]:
    """The best way to spell the needs with the letters: what it is worth, and how far each need is met.

    `said` are the needs (bits) that other words say already.
    """
    size = len(pieces)
    best: list[dict[int, tuple[float, tuple[tuple[int, float], ...]]]] = [{} for _ in range(size + 1)]
    best[0][said] = (0.0, ())
    for start in range(size):
        steps = []
        for end, meaning, joined in pieces[start]:
            found: list[tuple[int, tuple[tuple[int, float], ...], float]] = []
            both, more, strongest = 0, list[tuple[int, float]](), 0.0
            for need, (concepts, weak) in enumerate(needs):
                strength = meaning.get(concepts[0], 0.0)
                for concept in concepts[1:]:
                    strength = max(strength, meaning.get(concept, 0.0))
                if strength:
                    worth = strength * (0.7 if weak else 1.0)
                    found.append((1 << need, ((need, strength),), worth))
                    if joined and not joined.isdisjoint(concepts):
                        both |= 1 << need
                        more.append((need, strength))
                        strongest += worth
            if len(more) > 1:
                found.append((both, tuple(more), strongest))
            idle = not allows.isdisjoint(meaning)
            if found or idle:
                steps.append((end, found, idle))
        for mask, (worth, met) in best[start].items():
            _reach(best[start + 1], mask, worth - LEFT_OVER, met)
            for end, found, idle in steps:
                for bits, said_now, gain in found:
                    if not mask & bits:
                        _reach(best[end], mask | bits, worth + gain - CUT, (*met, *said_now))
                if idle:
                    _reach(best[end], mask, worth - ALLOWED - CUT, met)
    if not best[size]:
        return -9.0, {}
    final = -9.0
    chosen: tuple[tuple[int, float], ...] = ()
    for mask, (worth, met) in best[size].items():
        for need, (_, weak) in enumerate(needs):
            if not mask >> need & 1:
                worth -= 0.25 if weak else 0.85
        if worth > final and met:
            final, chosen = worth, met
    return final, dict(chosen)


def _reach(row: dict, mask: int, worth: float, met: tuple) -> None:
    known = row.get(mask)
    if known is None or worth > known[0]:
        row[mask] = (worth, met)
