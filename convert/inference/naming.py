"""The words of a key: of its name, its groups and its comment; and the units that these name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from convert.inference.samples import Key
from convert.inference.vocabulary import Meaning, split, vocabulary
from convert.units.table import table as unit_table

KEY, GROUP, REMARK = 1.0, 0.75, 0.45
"""How much a word counts by where it stands; only words of the key are charged when they are of no use."""
MOST_WORDS = 14
WHOLE_UNIT = 3
"""Words of a unit that may be a whole key: "grams per cc"."""
UPPER = {
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "milimetros": "mm",
    "cm": "cm", "m": "m", "metres": "m", "meters": "m", "meter": "m", "metros": "m",
    "mm3": "mm3", "cmm": "mm3", "cubicmm": "mm3", "cm3": "cm3", "ccm": "cm3", "cc": "cm3", "ml": "cm3",
    "g": "g", "gram": "g", "grams": "g", "gramm": "g", "gramos": "g", "kg": "kg", "kilograms": "kg",
}  # fmt: skip
LOWER = {
    "s": "s", "sec": "s", "second": "s", "seconds": "s", "sek": "s", "sekunde": "s", "seg": "s", "segundo": "s",
    "min": "min", "minute": "min", "minuto": "min", "h": "h", "hr": "h", "hour": "h", "stunde": "h", "hora": "h",
    "s2": "s2", "sec2": "s2", "ss": "s2", "ssq": "s2", "sqs": "s2", "sek2": "s2", "seg2": "s2", "ssquared": "s2",
    "cm3": "cm3", "ccm": "cm3", "cc": "cm3", "cubiccm": "cm3", "m3": "m3", "cubicmetre": "m3", "cubicmeter": "m3",
}  # fmt: skip
"""What units are composed of, as keys spell it, and its code: one of these over one of those."""
_COMPOSED = re.compile(rf"({'|'.join(UPPER)})(?:per|p|je|pro|por|sobre)({'|'.join(LOWER)})")
SHORTEST_JOINED = 4
"""Letters of a word that may be written as two."""


@dataclass(slots=True)
class Word:
    """A word, what it may mean, and how much it counts."""

    text: str
    meaning: Meaning
    weight: float
    own: bool
    unit: bool = False
    ranked: list[tuple[str, float]] = field(default_factory=list)
    """The meaning, the strongest first; made when words are first looked up."""


def words_of(key: Key, pieces_of: Mapping[str, list[str]], tongues: frozenset[str]) -> tuple[list[Word], list[str]]:
    """Words of the key, its groups and its comment; and the units that the key names."""
    words: list[Word] = []
    hints, tail = key_units(key.name)
    _add_words(words, key.name, KEY, tail, pieces_of, tongues)
    for group in key.path:
        _add_words(words, group, GROUP, 0)
    if key.comment:
        _add_words(words, key.comment[:120], REMARK, 0)
    return words[: 2 * MOST_WORDS], hints


def _add_words(
    words: list[Word],
    text: str,
    weight: float,
    tail: int,
    pieces_of: Mapping[str, list[str]] = {},
    tongues: frozenset[str] = frozenset(),
) -> None:
    known = vocabulary()
    whole = split(text)[:MOST_WORDS]
    pieces = joined(whole[: len(whole) - tail]) + whole[len(whole) - tail :]
    for place, piece in enumerate(pieces):
        in_unit = place >= len(pieces) - tail
        if piece in pieces_of and not in_unit:
            for part in pieces_of[piece]:
                words.append(Word(part, known.abbreviation(part, tongues), weight, weight == KEY))
                if len(part) == 2 and part not in known.words:
                    words += [Word(letter, known.abbreviation(letter, tongues), weight * 0.8, False) for letter in part]
            continue
        for part in known.parts(piece):
            if piece.isdigit() and piece != "1" and piece != "2":
                continue
            words.append(Word(part, known.meaning(part, tongues), weight, weight == KEY, in_unit))
            base = superlative(part)
            if base:
                words.append(Word(base, known.meaning(base), weight * 0.9, False))


def joined(pieces: list[str]) -> list[str]:
    """The words, those that make one word of the trade together joined to it.

    >>> joined(["pull", "back", "speed"]), joined(["back", "speed"])
    (['pullback', 'speed'], ['back', 'speed'])
    """
    known = vocabulary().words
    found: list[str] = []
    for piece in pieces:
        if found and len(found[-1]) + len(piece) >= SHORTEST_JOINED and found[-1] + piece in known:
            found[-1] += piece
        else:
            found.append(piece)
    return found


def superlative(word: str) -> str:
    """The quality behind a superlative: it says most or least, and what of.

    >>> superlative("hottest"), superlative("slowest"), superlative("finest"), superlative("first")
    ('hot', 'slow', 'fine', '')
    """
    if not word.endswith("est") or len(word) < 6 or word in ("largest", "interest"):
        return ""
    base = word[:-3]
    known = vocabulary().words
    return next((form for form in (base + "e", base, base[:-1]) if form in known), "")


def key_units(name: str) -> tuple[list[str], int]:
    """Codes of the units that a key ends in, and how many of its words that takes."""
    units = vocabulary().units
    inside = re.search(r"[\[(]([^\])]+)[\])]\s*$", name)
    if inside:
        spelled = unit_table().spellings.get(inside.group(1).strip())
        if spelled:
            return [unit.code for unit in spelled], len(split(inside.group(1)))
        if inside.group(1).strip() == "%":
            return ["%"], 0
    if name.rstrip().endswith("%"):
        return ["%"], 0
    pieces = split(name)
    for size in (4, 3, 2, 1):
        if size < len(pieces) or size >= WHOLE_UNIT:
            found = units.get(tuple(pieces[-size:])) or composed("".join(pieces[-size:]))
            if found:
                return list(found), size if size < len(pieces) else 0
    return [], 0


def composed(text: str) -> list[str]:
    """The code of a unit that is spelled as one over another; [] if it is none.

    >>> composed("mps2"), composed("mm3persec"), composed("gramsprocm3"), composed("steps")
    (['m/s2'], ['mm3/s'], ['g/cm3'], [])
    """
    found = _COMPOSED.fullmatch(text)
    if found is None:
        return []
    upper, lower = found.groups()
    code = f"{UPPER[upper]}/{LOWER[lower]}"
    return [code] if code in unit_table().spellings else []


def remark_units(comment: str) -> list[str]:
    """Codes of units that a comment spells, alone, in brackets or behind 'in'."""
    if not comment:
        return []
    known = unit_table().spellings
    found = []
    for piece in re.split(r"[\s,;()\[\]]+", comment):
        bare = piece.strip(".:")
        if bare in known and (len(bare) > 1 or bare in ("s", "%", "°") or comment.strip() == bare):
            found += [unit.code for unit in known[bare]]
    return list(dict.fromkeys(found))
