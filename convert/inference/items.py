"""The things that can be a setting: keys, and the parts of keys that hold several values.

An item has words (from the key, its groups, its comment), values sorted by shape, and what is said about its unit.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from convert.inference.naming import Word, remark_units, words_of
from convert.inference.samples import Key, Number, is_code, number
from convert.inference.terse import Pieces, cut, is_terse_file
from convert.inference.vocabulary import Meaning, fold, split, vocabulary
from convert.units.table import table as unit_table

DOUBTFUL = ("min", "second", "mins", "in", "my", "grad", "kilo", "std", "seg", "sec")
FEW_FLAGS = 5
"""Keys of 0 or 1 from which a file without words of yes and no is taken to write them so."""
FEW_LISTS, MOSTLY, ALMOST_ALL = 3, 0.6, 0.8
"""Keys with as many numbers from which these may be one a tool; the share of them whose numbers must be alike, for a
key where they are, and for one where they are not: a shift of 0 and 25 mm, in a file that lists tools elsewhere."""
SHORTEST_WORD = 3
"""Letters of a known word that is no abbreviation of several, even among terse keys."""
LETTERS = 7
"""The longest terse key."""
_PARTS = re.compile(r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)")
_BETWEEN = re.compile(
    r"\s*(?:mm/s|mm|%|°C|s)?\s*(?:x|×|\*|/|;|,|\||:|\.\.\.?|~|@|\+|-|_|by|to|bis|por|a|->|>|&|\s)\s*", re.I
)
_PARTED = re.compile(
    r"\s*(?:[/;,@&+]|\.\.+|\s-\s|\sx\s|-|_and_|_und_|_y_|\sand\s|\sund\s|\sy\s|\sto\s|\sbis\s|(?<=[a-z])And(?=[A-Z]))\s*"
)
"""What parts the names of the parts in a key."""
_COLOUR = re.compile(r"#[0-9a-fA-F]{6,8}$|#[0-9a-fA-F]{3}$")
_DATE = re.compile(r"\d{4}-\d\d-\d\d|\d\d?\.\d\d?\.\d{4}|\d+\.\d+\.\d+")
COMPOUND_ONLY = ("x", "×", "*", "by", "..", "...", "to", "bis", "por", "~", "@", "->", ">", "a")
"""Separators that part different quantities, never the tools of one."""


Covers = dict[str, list[tuple[float, int]]]
"""Concept -> strength and place of each word that may say it, the strongest first."""


@dataclass(slots=True)
class Item:
    """One key, or one part of it (from 1; 0 for a whole key)."""

    key: Key
    words: list[Word] = field(default_factory=list)
    shape: str = "text"
    numbers: list[Number] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)
    remark_hints: list[str] = field(default_factory=list)
    separator: str = ""
    part: int = 0
    parts: int = 0
    template: str = ""
    scope: str = ""
    index: int = 0
    letters: str = ""
    tongues: frozenset[str] = frozenset()
    yes_or_no: bool = False
    told: str = ""
    pieces: Pieces | None = None
    plausible: dict[tuple[str, str], float] = field(default_factory=dict)
    covers: Covers = field(default_factory=dict)
    plain: tuple[Covers, Pieces | None] | None = None
    """Covers and pieces without what was learned inside the dialect."""
    given: frozenset[str] = frozenset()
    """Concepts that something other than the key's own words says for sure, such as the kind of profile."""

    explicit: str = ""
    percents: int = 0

    def settle(self) -> None:
        """Work out what the values have in common: the unit that stands with them, and how many are percents."""
        spelled = {one.unit for one in self.numbers}
        if self.key.beside and not any(spelled):
            spelled = set(self.key.beside)
        self.explicit = spelled.pop() if len(spelled) == 1 else max(spelled, default="")
        self.percents = sum(one.unit == "%" for one in self.numbers)


def items_of(keys: Sequence[Key], mark: str, native_flags: bool = False) -> list[Item]:
    """The items of all keys that are no bookkeeping of the layout."""
    live = [key for key in keys if not key.kind.startswith("\0")]
    several = _several(live, mark)
    names = [key.name for key in live]
    pieces = cut(names)
    terse = is_terse_file(names)
    spoken = [word for key in live for text in (key.name, *key.path, key.comment) for word in split(text)]
    tongues = vocabulary().spoken(spoken) if terse else frozenset[str]()
    found: list[Item] = []
    for key in live:
        found += _items(key, mark, several.get(id(key)), pieces, tongues)
    _doubtful_units(found)
    digits = [item for item in found if item.shape == "number" and not item.part and _is_digit_flag(item)]
    if len(digits) >= FEW_FLAGS and not any(item.shape == "flag" for item in found):
        for item in digits:
            item.yes_or_no = True
    for index, item in enumerate(found):
        item.index = index
        item.words = list(item.words)
        item.settle()
        _unit_word(item)
        letters = [word for word in split(item.key.name) if word.isalpha()]
        if terse and letters and sum(map(len, letters)) <= LETTERS and not _plain(letters):
            item.letters, item.tongues = "".join(letters), tongues
    return found


def _plain(letters: Sequence[str]) -> bool:
    """Whether a key of a terse file is a word nevertheless."""
    return all(len(word) >= SHORTEST_WORD and word in vocabulary().words for word in letters)


def _several(keys: Sequence[Key], mark: str) -> dict[int, tuple[str, str, int, bool]]:
    """Keys with several numbers in each value: separator, template, count, and whether it is one value a tool."""
    split_up: dict[int, tuple[str, str, int, bool]] = {}
    parted: set[int] = set()
    alike: Counter[tuple[str, int]] = Counter()
    total: Counter[tuple[str, int]] = Counter()
    for key in keys:
        texts = [text for text in key.texts if text.strip()]
        if not texts or any(is_code(text) for text in texts):
            continue
        cut = [_cut(text, mark) for text in texts]
        first = cut[0]
        if first is None or any(one is None or one[1:] != first[1:] for one in cut):
            continue
        separator, template, count = first[1], first[2], first[3]
        similar = all(_similar(one[0], mark) for one in cut if one is not None)
        split_up[id(key)] = (separator, template, count, similar)
        if len(_PARTED.split(key.name)) == count:
            parted.add(id(key))
            continue
        total[separator, count] += 1
        alike[separator, count] += similar
    made = {}
    for name, (separator, template, count, similar) in split_up.items():
        group = (separator, count)
        share = alike[group] / total[group] if total[group] >= FEW_LISTS else 0.0
        tools = share >= (MOSTLY if similar else ALMOST_ALL) and name not in parted
        tools = tools and separator.strip() not in COMPOUND_ONLY and count <= 8
        made[name] = (separator, template, count, tools)
    return made


def _cut(text: str, mark: str) -> tuple[list[str], str, str, int] | None:
    """Numbers of a text that holds several: numbers, separator ("" for a mixture), template, count."""
    if len(text) > 200 or _DATE.match(text):
        return None
    if number(text, mark) is not None:
        return None
    body, numbers, template, at = text.strip(), list[str](), "", 0
    betweens: list[str] = []
    while True:
        found = _PARTS.match(body, at)
        if found is None:
            return None
        piece = found.group()
        if mark == "." and "," in piece:
            piece = piece[: piece.index(",")]
        elif mark == "," and "." in piece:
            piece = piece[: piece.index(".")]
        if numbers and piece[0] == "-" and not betweens[-1].strip() and betweens[-1] == "":
            return None
        numbers.append(piece)
        template += f"{{{len(numbers)}}}"
        at += len(piece)
        if at >= len(body):
            break
        gap = _BETWEEN.match(body, at)
        if gap is None or not gap.group():
            rest = body[at:].strip()
            if rest in unit_table().spellings or rest == "%":
                template += body[at:]
                break
            return None
        if gap.end() >= len(body):
            return None
        betweens.append(gap.group())
        template += gap.group()
        at = gap.end()
        if len(numbers) > 12:
            return None
    if len(numbers) < 2:
        return None
    same = set(betweens)
    return numbers, betweens[0] if len(same) == 1 else "", template, len(numbers)


def _similar(numbers: Sequence[str], mark: str) -> bool:
    values = [float(piece.replace(mark, ".")) for piece in numbers]
    low, high = min(values), max(values)
    return low == high or (low > 0 and high / low <= 1.5)


def _items(
    key: Key,
    mark: str,
    several: tuple[str, str, int, bool] | None,
    pieces_of: Mapping[str, list[str]],
    tongues: frozenset[str],
) -> list[Item]:
    words, hints = words_of(key, pieces_of, tongues)
    remark_hints = remark_units(key.comment)
    item = Item(key, words, hints=hints, remark_hints=remark_hints)
    tuples = [value for value in key.values if isinstance(value, tuple)]
    if tuples:
        return [_of_arrays(item, tuples, mark)]
    if several is not None:
        separator, template, count, tools = several
        if tools:
            item.separator = separator.strip() or " "
            pieces = [piece for text in key.texts for piece in (_cut(text, mark) or ([],))[0]]
            item.numbers = [one for piece in pieces if (one := number(piece, mark))]
            item.shape = "number"
            return [item]
        cut_up: list[Item] = []
        for part in range(count):
            pieces = [cut[0][part] for text in key.texts if (cut := _cut(text, mark)) is not None]
            piece_item = Item(
                key, _words_of_part(key, words, part, template), "number",
                [n for piece in pieces if (n := number(piece, mark))], hints=hints, remark_hints=remark_hints,
                part=part + 1, parts=count, template=template, separator=separator,
            )  # fmt: skip
            cut_up.append(piece_item)
        return cut_up
    _sort(item, key.texts, mark)
    return [item]


def _words_of_part(key: Key, words: list[Word], part: int, template: str) -> list[Word]:
    """Where a key names its parts one by one ("top/bottom layers"), each part has its own word and the shared ones.

    Parts that two kinds of separators part ("210,205;60") may be named by the groups between the rarer ones.
    """
    pieces = _PARTED.split(key.name)
    gaps = re.findall(r"\}([^{]*)\{", template)
    if len(pieces) != len(gaps) + 1:
        rarer = [gap for gap in set(gaps) if gaps.count(gap) + 1 == len(pieces)]
        if len(rarer) != 1 or len(set(gaps)) == 1:
            return words
        part = gaps[:part].count(rarer[0])
    own = [split(piece) for piece in pieces]
    if not all(own):
        return words
    # What stands before the first part's last word, and after the last part's first one, is said of all.
    last = len(pieces) - 1
    names = [listed[-1:] if at == 0 else listed[:1] if at == last else listed for at, listed in enumerate(own)]
    others = {word for at, listed in enumerate(names) if at != part for word in listed} - set(names[part])
    return [word for word in words if word.text not in others or not word.own]


def _of_arrays(item: Item, tuples: Sequence[tuple], mark: str) -> Item:
    """An array is an outline, lines of code, or one value a tool."""
    first = tuples[0]
    if first and all(isinstance(point, tuple) and len(point) == 2 for point in first):
        item.shape = "outline"
    elif first and all(isinstance(line, str) for line in first) and is_code("\n".join(first)):
        item.shape, item.separator = "code", "array"
        item.texts = ["\n".join(first)]
    else:
        flat = [one for value in tuples for one in value if isinstance(one, str)]
        _sort(item, flat, mark)
        item.separator = "array"
    return item


def _sort(item: Item, texts: Sequence[str], mark: str) -> None:
    """Sort the values by what they are, and say what the item is by most of them."""
    known = vocabulary()
    flags = 0
    for text in texts:
        bare = text.strip().strip("\"'")
        found = number(bare, mark) if item.key.native in ("text", "number", "list") else None
        if found is not None:
            item.numbers.append(found)
        elif bare or text:
            item.texts.append(bare)
            flags += item.key.native == "flag" or fold(bare) in known.flags
    if item.numbers:
        item.shape = "number"
        item.odd, item.texts = item.texts, []
        if len(item.odd) > len(item.numbers):
            item.shape, item.texts = "text", [one.text for one in item.numbers] + item.odd
    elif not item.texts:
        item.shape = "empty"
    elif flags == len(item.texts):
        item.shape = "flag"
    elif any(is_code(text) for text in item.texts):
        item.shape = "code"
    elif all(len(text) <= 40 and text.count(" ") <= 2 for text in item.texts):
        item.shape = "word"
    if any(_COLOUR.match(text) for text in item.texts):
        item.shape = "colour"
    elif any(_DATE.match(text) or ("/" in text[1:] and "." in text) for text in item.texts) and item.shape != "code":
        item.shape = "mark"


def _doubtful_units(items: Sequence[Item]) -> None:
    """Words that are units only where keys have units: "min" is minutes in one file and the least in another."""
    numeric = [item for item in items if item.shape == "number"]
    sure = sum(bool(item.hints) and not _doubtful(item) for item in numeric)
    if sure * 3 >= len(numeric):
        return
    for item in numeric:
        if item.hints and _doubtful(item):
            item.hints = []
            item.words = [Word(w.text, w.meaning, w.weight, w.own) for w in item.words]


def _doubtful(item: Item) -> bool:
    last = split(item.key.name)[-1:]
    return not item.key.name.rstrip().endswith(("]", ")")) and (
        len(last[0]) == 1 or last[0] in DOUBTFUL if last else False
    )


def _is_digit_flag(item: Item) -> bool:
    return all(one.text in ("0", "1") and not one.unit for one in item.numbers)


MEANT_BY_KIND = {
    "speed": {"speed": 0.75},
    "acceleration": {"acceleration": 0.8},
    "temperature": {"temperature": 0.75},
    "angle": {"angle": 0.75},
    "density": {"density": 0.9},
    "flow": {"flow": 0.75},
    "time": {"time": 0.6},
    "mass": {"mass": 0.75},
    "power": {"power": 0.9},
    "frequency": {"frequency": 0.75, "resonance": 0.5},
    "price": {"price": 0.9},
    "area": {"area": 0.8},
    "volume": {"volume": 0.7},
    "per_length": {"steps": 0.6},
    "length": {"length": 0.35, "height": 0.3, "width": 0.3, "diameter": 0.25, "thickness": 0.25},
    "percent": {"density": 0.25, "factor": 0.3},
}
"""A unit that is spelled says what kind of quantity is meant."""


def _unit_word(item: Item) -> None:
    spelled = item.explicit
    codes = [unit.code for unit in unit_table().spellings.get(spelled, ())] if spelled else item.hints
    kinds = {unit.kind for code in codes for unit in unit_table().spellings.get(code, ())}
    meaning: Meaning = {}
    for kind in kinds:
        for concept, strength in MEANT_BY_KIND.get(kind, {}).items():
            meaning[concept] = max(meaning.get(concept, 0.0), strength)
    if meaning:
        item.words.append(Word("(unit)", meaning, 1.0, False))
