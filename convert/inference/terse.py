"""Terse keys: names such as VOW or TMX1, cut into the pieces that recur in the file.

>>> cut(["VOW", "VIW", "WOW", "WIW", "AOW"])["vow"]
['v', 'ow']
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import log2

from convert.inference.habits import Habit
from convert.inference.vocabulary import split, vocabulary

LONGEST = 7
PIECE = 4
INFLECTED = 5
"""Letters of a word that may be another one with an ending."""
PER_PIECE = 0.75


def is_terse_file(names: Sequence[str]) -> bool:
    """Whether most words of the keys are short and unknown."""
    found = _all_words(names)
    return sum(is_terse(word) for word in found) * 3 >= max(3, len(found))


def _all_words(names: Sequence[str]) -> dict[str, None]:
    return dict.fromkeys(word for name in names for word in split(name) if word.isalpha())


def is_terse(word: str) -> bool:
    """Whether a word of a key may be made of abbreviations: short, and none that is known."""
    known = vocabulary()
    if not (2 <= len(word) <= LONGEST and word.isalpha() and word.isascii()):
        return False
    # The endings of so few letters are letters of their own.
    return not (word in known.words or (len(word) >= INFLECTED and known.knows(word)))


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


# Letters that a piece has, and how far it is trusted as the start of a word, as its consonants, or letters out of it.
STARTS = {1: 0.35, 2: 0.65, 3: 0.85, 4: 0.9}
CONSONANTS = {2: 0.55, 3: 0.8, 4: 0.85}
OUT_OF = {2: 0.5, 3: 0.62, 4: 0.7}
GOOD_WORD = 0.9
LEFT_OVER, ALLOWED = 0.45, 0.08
JOINED = 0.5
"""How sure the dialect must be of a concept for its piece to say it together with others."""
CUT = 0.3
"""What each piece costs: many small ones spell anything."""


@dataclass(slots=True)
class Pieces:
    """All pieces of a word of `size` letters.

    said: concept -> (start, end, strength) of each piece that may say it. meant: (start, end, concepts) of each piece.
    joined: (start, end, concepts) of pieces that the dialect was found to say several concepts with together.
    """

    size: int
    said: dict[str, list[tuple[int, int, float]]] = field(default_factory=dict)
    meant: list[tuple[int, int, frozenset[str]]] = field(default_factory=list)
    joined: list[tuple[int, int, frozenset[str]]] = field(default_factory=list)
    opening: frozenset[str] = frozenset()
    """What a piece at the first letter may say."""


_memo: dict[tuple[str, frozenset[str]], dict[str, float]] = {}


def pieces_of(
    word: str, learned: Mapping[str, Mapping[str, float]] = {}, tongues: frozenset[str] = frozenset()
) -> Pieces:
    """All pieces of a word, with their meanings as abbreviations of words of some languages (none given: of all)."""
    made = Pieces(len(word))
    opening: set[str] = set()
    for start in range(len(word)):
        for end in range(start + 1, min(len(word), start + PIECE) + 1):
            piece = word[start:end]
            meaning = _abbreviates(piece, tongues)
            more = learned.get(piece)
            if more:
                meaning = {**meaning}
                for concept, strength in more.items():
                    meaning[concept] = max(meaning.get(concept, 0.0), strength)
                joined = frozenset(concept for concept, strength in more.items() if strength >= JOINED)
                if len(joined) > 1:
                    made.joined.append((start, end, joined))
            if meaning:
                made.meant.append((start, end, frozenset(meaning)))
                for concept, strength in meaning.items():
                    made.said.setdefault(concept, []).append((start, end, strength))
                if start == 0:
                    opening.update(meaning)
    made.opening = frozenset(opening)
    return made


def _abbreviates(piece: str, tongues: frozenset[str]) -> dict[str, float]:
    found = _memo.get((piece, tongues))
    if found is None:
        known = vocabulary()
        found = dict(known.words.get(piece, {}))
        for other in known.initials.get(piece[0], ()):
            if tongues and tongues.isdisjoint(known.tongues[other]):
                continue
            if other.startswith(piece):
                trust = STARTS.get(len(piece), 0.9)
            elif len(piece) > 1 and consonants(other).startswith(piece):
                trust = CONSONANTS.get(len(piece), 0.9)
            elif len(piece) > 1 and _in_order(piece, other):
                trust = OUT_OF.get(len(piece), 0.6)
            else:
                continue
            for concept, strength in known.words[other].items():
                if strength >= GOOD_WORD:
                    found[concept] = max(found.get(concept, 0.0), strength * trust)
        _memo[piece, tongues] = found
    return found


@lru_cache(maxsize=4096)
def consonants(word: str) -> str:
    """A word as people shorten it: its first letter and the consonants behind.

    >>> consonants("speed"), consonants("outer")
    ('spd', 'otr')
    """
    return word[0] + "".join(letter for letter in word[1:] if letter not in "aeiou")


def _in_order(piece: str, word: str) -> bool:
    at = 0
    for letter in piece:
        at = word.find(letter, at) + 1
        if not at:
            return False
    return True


Step = tuple[int, int, float, float]
"""End of a piece, the needs that it meets (bits), what that is worth, and how much of what must be said it says."""


def spelled(pieces: Pieces, habit: Habit, said: int = 0) -> tuple[float, float]:
    """The best way to spell a setting's needs with the letters: what it is worth, and how much of the needs it says.

    `said` are the needs (bits) that other words say already. -9 where no letter says anything.
    """
    steps = _steps(pieces, habit)
    allows = habit.allows
    for start, end, concepts in pieces.meant:
        if not allows.isdisjoint(concepts):
            steps[start].append((end, 0, -ALLOWED - CUT, 0.0))
    best: list[dict[int, tuple[float, float]]] = [{} for _ in range(pieces.size + 1)]
    best[0][said] = (0.0, 0.0)
    following = best[0]
    for start, here in enumerate(steps):
        states, following = following, best[start + 1]
        for mask, (worth, share) in states.items():
            total = worth - LEFT_OVER
            if mask not in following or total > following[mask][0]:
                following[mask] = (total, share)
            for end, bits, gain, more in here:
                if not mask & bits:
                    row, total, both = best[end], worth + gain, mask | bits
                    if both not in row or total > row[both][0]:
                        row[both] = (total, share + more)
    final, part = -9.0, 0.0
    for mask, (worth, share) in following.items():
        if mask != said:
            total = worth - sum([cost for bit, cost in habit.costs if not mask & bit])
            if total > final:
                final, part = total, share
    return final, part


def _steps(pieces: Pieces, habit: Habit) -> list[list[Step]]:
    """For each letter the pieces that begin there and meet a need, or several that the dialect joins."""
    steps: list[list[Step]] = [[] for _ in range(pieces.size)]
    listed = pieces.said
    strengths: list[dict[tuple[int, int], float]] = []
    for need, (concepts, weak) in enumerate(habit.says):
        found: dict[tuple[int, int], float] = {}
        for concept in concepts:
            for start, end, strength in listed.get(concept, ()):
                if strength > found.get((start, end), 0.0):
                    found[start, end] = strength
        bit, counts, size = 1 << need, 0.7 if weak else 1.0, 0.5 if weak else 1.0
        for (start, end), strength in found.items():
            steps[start].append((end, bit, strength * counts - CUT, strength * size))
        strengths.append(found)
    for start, end, joined in pieces.joined:
        both = [
            (1 << need, strengths[need][start, end], weak)
            for need, (concepts, weak) in enumerate(habit.says)
            if not joined.isdisjoint(concepts) and (start, end) in strengths[need]
        ]
        if len(both) > 1:
            worth = sum(strength * (0.7 if weak else 1.0) for _, strength, weak in both)
            share = sum(strength * (0.5 if weak else 1.0) for _, strength, weak in both)
            steps[start].append((end, sum(bit for bit, _, _ in both), worth - CUT, share))
    return steps
