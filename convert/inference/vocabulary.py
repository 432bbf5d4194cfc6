"""Words of keys, and the concepts they may stand for: exact, by stem, glued together, or abbreviated.

The words are data: schemas/vocabulary.tsv. A word may mean several concepts; the setting chooses among them.

>>> split("outerWall_speed2")
['outer', 'wall', 'speed', '2']
>>> fold("Düsen-Größe"), fold("Ángulo")
('duesen-groesse', 'angulo')
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from convert.resources import read_bytes

FOLDS = str.maketrans(
    {"Ä": "Ae", "Ö": "Oe", "Ü": "Ue", "Á": "A", "À": "A", "É": "E", "È": "E", "Ê": "E", "Í": "I", "Ó": "O", "Ú": "U",
     "Ñ": "N", "Ç": "C", "ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "á": "a", "à": "a", "é": "e", "è": "e", "ê": "e",
     "í": "i", "ó": "o", "ú": "u", "ñ": "n", "ç": "c", "µ": "u", "μ": "u", "²": "2", "³": "3", "°": " deg ",
     "Ø": " diameter ", "ø": " diameter "}
)  # fmt: skip
SUFFIXES = ("ings", "ing", "ers", "ern", "en", "ed", "es", "er", "ly", "s", "n", "e")
LINKS = ("s", "es", "n", "en", "er", "e")
"""What German puts between the parts of a compound."""
LONGEST_KEY, LONGEST_WORD = 300, 60
"""Letters of a key that are looked at, and of a word that is cut up."""
LONG = 4
"""Letters from which an "s" at the end may be a plural."""
SHORT = 3
"""Letters that a word needs to be found inside a longer one."""
STEM, PREFIX, SKELETON, INITIAL = 0.95, 0.75, 0.42, 0.3
"""How far a word found so is trusted; the exact word is 1."""

Meaning = dict[str, float]
"""Concept -> strength, 0 to 1."""


@dataclass(slots=True)
class Vocabulary:
    """The words of the file by folded spelling. `units` are spellings of units at the end of a key."""

    words: dict[str, Meaning] = field(default_factory=dict)
    stems: dict[str, Meaning] = field(default_factory=dict)
    choices: dict[str, Meaning] = field(default_factory=dict)
    units: dict[tuple[str, ...], list[str]] = field(default_factory=dict)
    flags: dict[str, bool] = field(default_factory=dict)
    states: dict[str, str] = field(default_factory=dict)
    initials: dict[str, list[str]] = field(default_factory=dict)
    memo: dict[tuple[str, frozenset[str]], Meaning] = field(default_factory=dict)
    tongues: dict[str, set[str]] = field(default_factory=dict)
    """Word -> the languages that have it."""

    def meaning(self, word: str, tongues: frozenset[str] = frozenset()) -> Meaning:
        """What a folded word may mean; {} for a word that nothing is known of.

        tongues: the languages that it may be an abbreviation in; none given: all.
        """
        found = self.memo.get((word, tongues))
        if found is None:
            found = self.memo[word, tongues] = self._meaning(word, tongues)
        return found

    def abbreviation(self, piece: str, tongues: frozenset[str] = frozenset()) -> Meaning:
        """What a piece of a terse key may mean: as a word, and as the first letter of any good word."""
        found = dict(self.meaning(piece, tongues))
        if len(piece) == 1:
            for other in self._beginning(piece, tongues):
                for concept, strength in self.words[other].items():
                    if strength >= 0.9:
                        found[concept] = max(found.get(concept, 0.0), INITIAL)
        return found

    def _beginning(self, letter: str, tongues: frozenset[str]) -> Iterable[str]:
        """Words that begin with a letter, of some languages or of all."""
        listed = self.initials.get(letter, ())
        return [word for word in listed if not tongues.isdisjoint(self.tongues[word])] if tongues else listed

    def spoken(self, words: Iterable[str]) -> frozenset[str]:
        """The languages that the words are of: those that have words of their own there; all where none has.

        >>> sorted(read_vocabulary("wall\\ten\\tperimeter\\nwall\\tde\\tumfang\\n").spoken(["umfang", "x"]))
        ['de']
        """
        listed = [self.tongues[word] for word in words if len(word) >= TELLING and word in self.tongues]
        own = frozenset(tongue for tongues in listed if len(tongues) == 1 for tongue in tongues)
        return own or frozenset(tongue for tongues in self.tongues.values() for tongue in tongues)

    def knows(self, word: str) -> bool:
        """Whether a word is one of the vocabulary, perhaps inflected."""
        return word in self.words or stem(word) in self.stems

    def _meaning(self, word: str, tongues: frozenset[str]) -> Meaning:
        exact = self.words.get(word, {})
        if exact and (len(word) < LONG or not word.endswith("s")):
            return exact
        if len(word) < 2:
            return {}
        inflected = self.stems.get(stem(word))
        if inflected:
            # A plural that is a word by itself ("layers" counts) still means what its singular does.
            plain = {concept: strength * STEM for concept, strength in inflected.items()}
            return {**plain, **{concept: max(strength, plain.get(concept, 0.0)) for concept, strength in exact.items()}}
        found: Meaning = {}
        for other in self._beginning(word[0], tongues):
            if len(other) <= len(word):
                continue
            trust = (
                PREFIX if len(word) >= SHORT and other.startswith(word) else SKELETON if _skeleton(word, other) else 0
            )
            if trust:
                for concept, strength in self.words[other].items():
                    if strength >= 0.5:
                        found[concept] = max(found.get(concept, 0), strength * trust)
        if len(found) > 8:  # "an abbreviation of everything" says little
            found = {concept: strength * 0.7 for concept, strength in found.items()}
        return found

    def parts(self, word: str) -> list[str]:
        """A word cut into words of the vocabulary, if it is several glued together; else the word alone."""
        if not 2 * SHORT <= len(word) <= LONGEST_WORD or self.knows(word):
            return [word]
        best: list[tuple[int, tuple[str, ...]] | None] = [None] * (len(word) + 1)
        best[0] = (0, ())
        for start in range(len(word)):
            here = best[start]
            if here is None:
                continue
            for end in range(start + SHORT, len(word) + 1):
                piece = word[start:end]
                for link in ("", *LINKS):
                    bare = piece[: len(piece) - len(link)] if link and piece.endswith(link) else piece
                    if (link and bare == piece) or len(bare) < SHORT or not self.knows(bare):
                        continue
                    cost = here[0] + 1
                    there = best[end]
                    if there is None or cost < there[0]:
                        best[end] = (cost, (*here[1], bare))
                    break
        whole = best[len(word)]
        if whole is not None:
            return list(whole[1])
        # One end is known, the rest is the dialect's own word.
        for end in range(len(word) - SHORT, SHORT, -1):
            if word[:end] in self.words and end >= 4:
                return [word[:end], word[end:]]
            if word[-end:] in self.words and end >= 4:
                return [word[:-end], word[-end:]]
        return [word]


ENGLISH = ("a", "an", "and", "as", "at", "by", "for", "from", "in", "is", "of", "on", "or", "the", "to", "with")
OTHERS = ("das", "der", "die", "und", "oder", "bei", "für", "im", "mit", "vom", "von", "zum", "de", "del", "el", "la")
FILLERS = frozenset((*ENGLISH, *OTHERS))
"""Words that join others and mean nothing of the trade."""


TELLING = 4
"""Letters of a word that is no code, so that "of" beside it is a word too."""


def fold(text: str) -> str:
    """Lower case, without umlauts and accents."""
    return text.translate(FOLDS).lower() if not text.isascii() else text.lower()


def stem(word: str) -> str:
    """The word without its commonest endings; never less than three letters.

    >>> stem("walls"), stem("cooling"), stem("bed")
    ('wall', 'cool', 'bed')
    """
    for suffix in SUFFIXES:
        if word.endswith(suffix) and len(word) - len(suffix) >= 3:
            word = word[: -len(suffix)]
            break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "slae":
        word = word[:-1]
    return word


def split(key: str) -> list[str]:
    """The words of a key, folded: cut at case, digits and all that is no letter."""
    text = key[:LONGEST_KEY]
    text = text if text.isascii() else text.translate(FOLDS)
    words: list[str] = []
    word = ""
    before = ""
    for place, char in enumerate(text):
        kind = "d" if char.isdigit() else "u" if char.isupper() else "l" if char.isalpha() else ""
        if word:
            follower = text[place + 1] if place + 1 < len(text) else ""
            new = not kind or (kind == "d") != (before == "d")
            new = new or (kind == "u" and before == "l")
            # An abbreviation in capitals ends before the capital of the next word: "XYGap".
            new = new or (kind == "u" and before == "u" and follower.islower() and len(word) > 1)
            if new:
                words.append(word.lower())
                word = ""
        if kind:
            word += char
            before = kind
    if word:
        words.append(word.lower())
    return _without_fillers(words)


def _without_fillers(words: list[str]) -> list[str]:
    """The words without those that only join the others; a terse key, where "of" may stand for anything, keeps all.

    >>> _without_fillers(["loops", "of", "skirt"]), _without_fillers(["of", "z"])
    (['loops', 'skirt'], ['of', 'z'])
    """
    telling = [word for word in words if len(word) > 2 and word not in FILLERS]
    plain = len(telling) > 1 or any(len(word) >= TELLING for word in telling)
    return [word for word in words if word not in FILLERS] if plain else words


def _skeleton(word: str, other: str) -> bool:
    """Whether the letters of a short word stand in the other one, in this order."""
    if len(other) < 4 or len(word) > 5 or len(word) * 5 < len(other):
        return False
    at = 0
    for letter in word:
        at = other.find(letter, at) + 1
        if not at:
            return False
    return True


_cache: list[Vocabulary] = []


def vocabulary() -> Vocabulary:
    """The vocabulary, read on first use."""
    if not _cache:
        _cache.append(read_vocabulary(read_bytes("schemas", "vocabulary.tsv").decode()))
    return _cache[0]


def read_vocabulary(text: str) -> Vocabulary:
    """The vocabulary of a table's text.

    >>> read_vocabulary("speed\\ten\\tpace fast:0.5\\n").words
    {'pace': {'speed': 1.0}, 'fast': {'speed': 0.5}}
    """
    made = Vocabulary()
    for line in text.split("\n"):
        if not line or line[0] == "#" or line.startswith("concept\t"):
            continue
        concept, tongue, listed = line.split("\t")
        for item in listed.split(" "):
            name, _, weight = item.partition(":")
            word, strength = fold(name), float(weight or 1)
            if concept[0] == "=":
                _put(made.choices, word, concept[1:], strength)
            elif concept[0] == "@":
                made.units.setdefault(tuple(word.split("-")), []).append(concept[1:])
            elif concept in ("yes", "no"):
                made.flags[word] = concept == "yes"
            elif concept in ("automatic", "unlimited"):
                made.states[word] = concept
            else:
                _put(made.words, word, concept, strength)
                made.tongues.setdefault(word, set()).add(tongue)
    for word, meaning in made.words.items():
        for concept, strength in meaning.items():
            _put(made.stems, stem(word), concept, strength)
        if len(word) >= 4:
            made.initials.setdefault(word[0], []).append(word)
    return made


def _put(table: dict[str, Meaning], word: str, concept: str, strength: float) -> None:
    known = table.setdefault(word, {})
    known[concept] = max(known.get(concept, 0.0), strength)
