"""What is known of the keys of some sample files: each once, with all its values and what stands around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from convert.dialects.atoms import split_unit
from convert.errors import BeadwiseError
from convert.inference.vocabulary import fold, vocabulary
from convert.text.tree import Tree
from convert.units.table import table as unit_table

MOST_VALUES = 200
"""Values of one key that are looked at; more say nothing new."""
BEYOND = 1e15
"""No setting has a value of this size; infinities are none either."""
CODE_LETTERS = "GMTgm"


@dataclass(slots=True)
class Key:
    """A key of a kind of profile: `path` counts from the profile's root. `entries` are (file, entry) numbers."""

    kind: str
    path: tuple[str, ...]
    name: str
    entries: list[tuple[int, int]] = field(default_factory=list)
    values: list[str | tuple] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)
    native: str = "text"
    comment: str = ""
    order: int = 0

    @property
    def label(self) -> str:
        return "/".join((*self.path, self.name))

    @property
    def texts(self) -> list[str]:
        """The values that are plain texts."""
        return [value for value in self.values if isinstance(value, str)]


@dataclass(frozen=True, slots=True)
class Number:
    """A number as a file writes it, with the unit that stands behind it ("" for none)."""

    value: float
    unit: str
    text: str


def number(text: str, mark: str = ".") -> Number | None:
    """The number of a text such as "0.4", "150 mm/s" or "40%"; None if it is none.

    >>> number("150 mm/s"), number("0,4", ","), number("fast")
    (Number(value=150.0, unit='mm/s', text='150'), Number(value=0.4, unit='', text='0,4'), None)
    """
    if not text or len(text) > 60 or text[0] not in "+-.,0123456789":
        return None
    digits, _, unit = split_unit(text)
    if unit and unit != "%" and unit not in unit_table().spellings:
        return None
    bare = digits.replace(mark, ".") if mark != "." else digits
    if mark == "." and "," in bare:
        return None
    if bare.lstrip("+-")[:1].isalpha() or "_" in bare:
        return None
    try:
        value = float(bare)
    except ValueError:
        return None
    return Number(value, unit, digits) if abs(value) < BEYOND else None


def is_code(text: str) -> bool:
    """Whether a text is command code: lines that begin with a word of RS-274 or a name in capitals."""
    lines = [line.strip() for line in text.replace("\\n", "\n").split("\n") if line.strip()]
    if not lines:
        return False
    hits = 0
    for line in lines:
        line = line.lstrip("\"'")
        word = line.split(None, 1)[0] if line.split() else ""
        if (
            (word[:1] in CODE_LETTERS and word[1:2].isdigit())
            or line[:1] in ";("
            or (len(word) > 4 and word.isupper() and "_" in word)
        ):
            hits += 1
    return hits * 2 > len(lines) and any(
        line.strip().lstrip("\"'")[:1] in CODE_LETTERS or "_" in line for line in lines
    )


def flag_words(texts: Sequence[str]) -> dict[str, bool]:
    """The known words of yes and no among the values of a file: folded word -> what it says."""
    known = vocabulary().flags
    found: dict[str, bool] = {}
    for text in texts:
        word = fold(text)
        if word in known:
            found[word] = known[word]
    return found


def decimal_mark(texts: Sequence[str]) -> str:
    """The decimal mark that the numbers of a file use."""
    commas = points = 0
    for text in texts:
        digits = split_unit(text)[0].lstrip("+-") if text[:1] in "+-0123456789" else ""
        if digits.replace(",", "", 1).isdigit() and "," in digits:
            commas += 1
        elif digits.replace(".", "", 1).isdigit() and "." in digits:
            points += 1
    return "," if commas > points else "."


def remarks(tree: Tree, indices: Sequence[int]) -> dict[int, str]:
    """What is remarked beside entries: behind the value, in a note column, or in the line above.

    Lines above count only where most keys have one: elsewhere they are headings, or about something else.
    """
    if tree.syntax in ("json", "comments"):
        return {}
    found: dict[int, str] = {}
    above: dict[int, str] = {}
    for index in indices:
        behind = _behind(tree, index)
        if behind:
            found[index] = behind
        elif tree.syntax in ("ini", "toml") and (text := _above(tree, index)):
            above[index] = text
    if len(above) * 5 >= len(indices) * 2:
        found.update(above)
    return found


def _behind(tree: Tree, index: int) -> str:
    source = tree.source
    entry = tree.entry(index)
    line, _ = source.place(entry.end)
    start, end = source.line(line - 1)
    if tree.syntax == "csv":
        return _note_cell(tree, source.text[start:end])
    tail = source.text[entry.end : end].strip().strip("\"'")
    if tree.syntax == "xml":
        return tail.partition("<!--")[2].partition("-->")[0].strip()
    return tail.lstrip("#;/ ") if tail[:1] in ("#", ";") or tail[:2] == "//" else ""


def _above(tree: Tree, index: int) -> str:
    source = tree.source
    first, _ = source.place(tree.entry(index).start)
    if first < 2:
        return ""
    line = source.text[slice(*source.line(first - 2))].strip()
    return line.lstrip("#;/ ") if line[:1] in ("#", ";") or line[:2] == "//" else ""


def _note_cell(tree: Tree, line: str) -> str:
    """The cells of the note columns of a line."""
    notes = tree.options.get("note_columns", ())
    if not notes:
        return ""
    from convert.text.csvscan import sniff_delimiter

    delimiter = tree.options.get("delimiter") or sniff_delimiter(tree.source)
    titles = tree.source.text.lstrip().split("\n", 1)[0].strip("\r").split(delimiter)
    cells = line.split(delimiter)
    places = [at for at, title in enumerate(titles) if title.strip().strip('"') in notes]
    return " ".join(cells[at].strip().strip('"') for at in places if at < len(cells)).strip()


def head_comment(tree: Tree) -> str:
    """The comment lines before the first entry."""
    rows = tree.rows
    text = tree.source.text[: tree.entry(0).start if rows else 0][:4000]
    kept = []
    for line in text.splitlines():
        bare = line.strip()
        if bare[:1] in ("#", ";", "(") or bare[:2] in ("//", "<!") or tree.syntax == "xml":
            kept.append(bare.strip("#;/<>!-() "))
    return "\n".join(kept)


def find_unit(text: str, kind: str) -> str:
    """The code of a unit's spelling if it is one of this kind, else ""."""
    from convert.units import unit

    try:
        return unit(text, kind).code
    except BeadwiseError:
        return ""
