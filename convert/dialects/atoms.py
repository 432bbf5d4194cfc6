"""Lenses between one scalar text of a file and one canonical value.

An atom reads (`read(text, unit) -> Value`) and writes (`write(value, old) -> Cell`), both from one declaration. Two
laws hold and are property-tested (well-behaved lenses, Foster et al. 2007): write what was read into the text it came
from and the text is unchanged; read what was written and it is the value. `old` is the cell that stands there now, or
None in a new file: it lends its style (decimals, quotes, word among synonyms), never its value.

What an atom cannot say raises `CannotSay`; what it cannot read raises `Unreadable`. Both carry one sentence and a hint.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from convert.errors import BeadwiseError
from convert.model import numbers, phrase
from convert.model.setting import Setting
from convert.model.value import Share, State, Value
from convert.units import CUT, Unit
from convert.units import unit as find_unit

MEMO_LIMIT = 4096
"""Texts remembered per atom: archives repeat the same few values; the bound keeps memory flat."""
MEMO_LENGTH = 1000
"""Characters up to which a text is remembered: some command code is; notes may be as long as a file."""


class Cell(NamedTuple):
    """What stands in a file for one key: the decoded value, its kind and the unit beside it (see convert.text.tree)."""

    value: str | tuple
    kind: str = "text"
    unit: str | None = None


def is_short(value: Value) -> bool:
    """Whether a value may be remembered with what is written for it."""
    return not isinstance(value, (str, tuple)) or len(value) <= MEMO_LENGTH


class Unreadable(Exception):
    """A text that its row cannot read."""

    def __init__(self, says: str, hint: str = "") -> None:
        super().__init__(says)
        self.says, self.hint = says, hint


class CannotSay(Exception):
    """A value that a row has no way to write. `link` tells that only the relation is the obstacle, not the number."""

    def __init__(self, says: str, link: bool = False, needs: str = "") -> None:
        super().__init__(says)
        self.says, self.link, self.needs = says, link, needs


ABSENT = State("absent")
"""A special text that means: as if the key were not there. Never leaves the dialects layer."""


class Atom:
    """Base: reading is remembered per text and unit, within a bound."""

    __slots__ = ("cells", "memo", "setting")

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.memo: dict[str | tuple[str, str], Value] = {}
        self.cells: dict[Value, Cell] = {}

    def read(self, text: str, unit: str | None = None) -> Value:
        """The canonical value of a text. Raises Unreadable."""
        key = text if unit is None else (text, unit)
        value = self.memo.get(key)
        if value is None:
            value = self._read(text, unit)
            if len(text) <= MEMO_LENGTH and len(self.memo) < MEMO_LIMIT:
                self.memo[key] = value
        return value

    def write(self, value: Value, old: Cell | None = None) -> Cell:
        """The cell that says a value. Raises CannotSay."""
        if old is not None or value.__class__ is bool or not is_short(value):  # True == 1, and they hash alike
            return self._write(value, old)
        cell = self.cells.get(value)
        if cell is None:
            cell = self._write(value, None)
            if len(self.cells) < MEMO_LIMIT:
                self.cells[value] = cell
        return cell

    def _read(self, text: str, unit: str | None) -> Value:
        raise NotImplementedError

    def _write(self, value: Value, old: Cell | None) -> Cell:
        raise NotImplementedError


class Scale(NamedTuple):
    """canonical = a * number in the file + b, exactly."""

    a: Fraction
    b: Fraction

    @property
    def rational(self) -> bool:
        """Whether `a` is exact, and not of a unit whose factor is cut after many decimals."""
        return max(self.a.numerator, self.a.denominator) < CUT

    def then(self, a: Fraction | int, b: Fraction | int = 0) -> Scale:
        return Scale(self.a * a, self.b * a + b)

    def of_unit(self, source: Unit, target: Unit) -> Scale:
        factor = source.factor / target.factor
        return self.then(factor, (source.offset - target.offset) / target.factor)


SAME = Scale(Fraction(1), Fraction(0))


LONG = 15
"""Characters from which on a number's text may hold more digits than a writer gives."""


class NumberAtom(Atom):
    """Quantities, percents and counts, with all that dialects do to numbers.

    `scale` maps the file's number to the canonical one where the unit is fixed by the table; with `where` "beside" or
    "within" the unit is read from the file and `scale` holds the rest (sign, complement, base of counting).
    """

    __slots__ = ("decimals", "kind", "mark", "of", "percent_as", "scale", "scales", "special", "unit", "where", "words")

    def __init__(
        self,
        setting: Setting,
        scale: Scale,
        unit: Unit | None,
        *,
        where: str = "table",
        of: str = "",
        percent_as: str = "suffix",
        special: Mapping[str, Value] | None = None,
        mark: str = ".",
        decimals: int | None = None,
        kind: str = "text",
    ) -> None:
        super().__init__(setting)
        self.scale, self.unit, self.where = scale, unit, where
        self.scales: dict[str | None, Scale] = {}  # by the unit in the file; there are no more than spellings of units
        self.of, self.percent_as = of, percent_as
        self.special = dict(special or {})
        self.words = {value: text for text, value in reversed(self.special.items())}
        self.mark, self.decimals, self.kind = mark, decimals, kind

    def _parse(self, text: str) -> Fraction:
        try:
            return numbers.parse_number(text, self.mark)
        except (BeadwiseError, ValueError) as error:
            raise Unreadable(*_says(error)) from None

    def _file_scale(self, unit: str | None) -> Scale:
        """The whole map for a number whose unit is spelled in the file (or is the table's)."""
        if self.where == "table" or self.unit is None:
            return self.scale
        scale = self.scales.get(unit)
        if scale is None:
            try:
                found = find_unit(unit, self.setting.unit_kind) if unit else self.unit
                scale = self.scale.of_unit(found, find_unit(self.setting.unit, self.setting.unit_kind))
            except BeadwiseError as error:
                raise Unreadable(*_says(error)) from None
            self.scales[unit] = scale
        return scale

    def _read(self, text: str, unit: str | None) -> Value:
        special = self.special.get(text)
        if special is None and self.special:
            special = self.special.get(text.lower())
        if special is not None:
            return special
        if self.of:
            if self.percent_as == "suffix":
                if text.endswith("%"):
                    return Share(self._parse(text[:-1].rstrip()), self.of)
            else:
                return Share(self._parse(text) * (100 if self.percent_as == "fraction" else 1), self.of)
        if self.where == "within":
            number, _, unit = split_unit(text)
            scale = self._file_scale(unit or None)
            if not unit and self.unit is not None and self.unit.code != "1":
                raise Unreadable(
                    f"{text!r} has no unit",
                    f"write it as '{text} {self.unit.code}', or in another unit of {self.setting.kind}",
                )
            value = self._parse(number)
        else:
            scale = self._file_scale(unit)
            value = self._parse(text)
        if scale is not SAME:
            value = scale.a * value + scale.b
            if not scale.rational:
                value = numbers.tidy(value, numbers.significant(text))
        if self.setting.kind == "count" and value.denominator != 1:
            raise Unreadable(f"{text!r} is no whole number", "a count has no fraction")
        return value

    def _write(self, value: Value, old: Cell | None) -> Cell:
        kind = old.kind if old is not None and old.kind != "list" else self.kind
        beside = (old.unit if old is not None else None) if self.where == "beside" else None
        word = self.words.get(value) if isinstance(value, (State, Share, Fraction)) else None
        if word is not None:
            if old is not None and isinstance(old.value, str) and self._is_special(old.value, value):
                word = old.value
            return Cell(word, "text" if kind == "number" and not _is_number(word) else kind, beside)
        if isinstance(value, State):
            raise CannotSay(f"has no way to say '{value.word}'")
        text = old.value if old is not None and isinstance(old.value, str) else None
        if isinstance(value, Share):
            return Cell(self._write_share(value, text), "text" if self.percent_as == "suffix" else kind, beside)
        if not isinstance(value, Fraction):
            raise CannotSay(f"holds a number, not {value!r}")
        if self.of and self.percent_as != "suffix":
            raise CannotSay(f"holds a percent of {self.of}", needs=self.of)
        gap, unit = "", None
        if self.where == "within":
            old_number, gap, unit = split_unit(text) if text is not None else ("", "", "")
            if not old_number or not unit or unit == "%" != self.setting.unit:  # a special word, or a relation
                gap, unit = (" ", self.unit.code) if self.unit is not None and self.unit.code != "1" else ("", "")
            text = old_number or None
            scale = self._file_scale(unit or None)
        elif self.where == "beside":
            if beside is None and old is None:
                beside = self.beside
            scale = self._file_scale(beside)
        else:
            scale = self.scale
        if scale is SAME:
            number = value
        else:
            number = self._unscaled(value, scale)
        if self.decimals is not None:
            number = round(number, self.decimals) if self.decimals else Fraction(round(number))
        written = self._spell(number, text)
        if written in self.special:
            raise CannotSay(f"would read {written} as '{_name(self.special[written])}'")
        return Cell(written + gap + (unit or ""), kind if kind != "flag" else "text", beside)

    def _unscaled(self, value: Fraction, scale: Scale) -> Fraction:
        """The file's number for a canonical one."""
        number = (value - scale.b) / scale.a if scale.b else value / scale.a
        return number if scale.rational else numbers.tidy(number)

    @property
    def beside(self) -> str | None:
        """The unit that a new cell gets beside it."""
        return self.unit.code if self.where == "beside" and self.unit is not None and self.unit.code != "1" else None

    def _is_special(self, text: str, value: Value) -> bool:
        return self.special.get(text, self.special.get(text.lower())) == value

    def _spell(self, number: Fraction, text: str | None) -> str:
        if text is not None:
            try:
                if len(text) > LONG and numbers.same_number(number, numbers.parse_number(text, self.mark)):
                    return text  # it has more digits than are ever written, and says this already
                return numbers.spell_like(number, text, self.mark)
            except (BeadwiseError, ValueError):
                pass  # the old text was no number (a special word, a percent): it has no style to lend
        written = numbers.spell(number)
        return written if self.mark == "." else written.replace(".", self.mark)

    def _write_share(self, value: Share, text: str | None) -> str:
        if not self.of:
            raise CannotSay(f"holds no percent here, and what {value.of} comes to is not known", link=True)
        if value.of != self.of:
            raise CannotSay(f"holds a percent of {self.of}, not of {value.of}", link=True, needs=self.of)
        if self.percent_as != "suffix":
            return self._spell(value.percent / 100 if self.percent_as == "fraction" else value.percent, text)
        gap = ""
        if text is not None and text.endswith("%"):
            bare = text[:-1].rstrip()
            text, gap = bare, text[len(bare) : -1]
        else:
            text = None
        return self._spell(value.percent, text) + gap + "%"


class FlagAtom(Atom):
    """Yes and no, in the dialect's own words; the first word of each list is the one written."""

    __slots__ = ("kind", "meanings", "no", "special", "yes")

    def __init__(
        self,
        setting: Setting,
        yes: Sequence[str],
        no: Sequence[str],
        kind: str = "text",
        special: Mapping[str, Value] | None = None,
    ) -> None:
        super().__init__(setting)
        self.yes, self.no, self.kind = yes[0], no[0], kind
        self.meanings = {word.lower(): True for word in yes} | {word.lower(): False for word in no}
        self.special = dict(special or {})

    def _read(self, text: str, unit: str | None) -> Value:
        if text in self.special:
            return self.special[text]
        try:
            return self.meanings[text.lower()]
        except KeyError:
            words = ", ".join(repr(word) for word in self.meanings)
            raise Unreadable(f"{text!r} is neither yes nor no here", f"write one of {words}") from None

    def _write(self, value: Value, old: Cell | None) -> Cell:
        if not isinstance(value, bool):
            raise CannotSay(f"holds yes or no, not {_name(value)}")
        word = self.yes if value else self.no
        kind = self.kind
        if old is not None and isinstance(old.value, str):
            if self.meanings.get(old.value.lower()) is value:
                word = old.value  # the synonym and the case that stand there
            kind = old.kind if old.kind != "flag" or word in ("true", "false") else "text"
        return Cell(word, kind)


class ChoiceAtom(Atom):
    """Choice words. `nearest` lists the choices this dialect can only approximate."""

    __slots__ = ("meanings", "nearest", "special", "words")

    def __init__(
        self,
        setting: Setting,
        words: Mapping[str, str],
        nearest: Mapping[str, str],
        special: Mapping[str, Value] | None = None,
    ) -> None:
        super().__init__(setting)
        self.meanings = dict(words)
        self.words: dict[str, str] = {}
        for word, choice in words.items():
            self.words.setdefault(choice, word)
            self.meanings.setdefault(word.lower(), choice)
        self.nearest = dict(nearest)
        self.special = dict(special or {})

    def _read(self, text: str, unit: str | None) -> Value:
        if text in self.special:
            return self.special[text]
        choice = self.meanings.get(text) or self.meanings.get(text.lower())
        if choice is None:
            known = ", ".join(self.words.values())
            raise Unreadable(f"{text!r} is none of this key's words", f"known are {known}")
        return choice

    def _write(self, value: Value, old: Cell | None) -> Cell:
        if not isinstance(value, str):
            raise CannotSay(f"holds a word, not {_name(value)}")
        if old is not None and isinstance(old.value, str) and self.read_or_none(old.value) == value:
            return Cell(old.value, old.kind)  # of several words for one choice, the one that stands there
        word = self.words.get(value)
        if word is None:
            raise CannotSay(f"has no word for '{value}'", needs=self.nearest.get(value, ""))
        return Cell(word)

    def read_or_none(self, text: str) -> Value | None:
        try:
            return self.read(text)
        except Unreadable:
            return None


class TextAtom(Atom):
    """Free text. `quote` is the mark the dialect puts around it; `bare` tells that blanks at the ends would be lost."""

    __slots__ = ("bare", "quote")

    def __init__(self, setting: Setting, quote: str = "", bare: bool = False) -> None:
        super().__init__(setting)
        self.quote, self.bare = quote, bare

    def _read(self, text: str, unit: str | None) -> Value:
        return unquote(text, self.quote)

    def _write(self, value: Value, old: Cell | None) -> Cell:
        if not isinstance(value, str):
            raise CannotSay(f"holds text, not {_name(value)}")
        quoted = self.quote if old is None or not isinstance(old.value, str) or is_quoted(old.value, self.quote) else ""
        if self.bare and ("\n" in value or "\r" in value):
            raise CannotSay("holds one line only")
        if self.bare and not quoted and value.strip(" \t") != value:
            raise CannotSay("loses blanks at the ends")
        return Cell(quoted + value + quoted, old.kind if old is not None and old.kind != "list" else "text")


class PhraseAtom(Atom):
    """Values as people write them, with units and relations in the text: "150 mm/s", "40 % of speed.default"."""

    __slots__ = ()

    def _read(self, text: str, unit: str | None) -> Value:
        try:
            return phrase.parse_phrase(text, self.setting)
        except (BeadwiseError, ValueError) as error:
            raise Unreadable(*_says(error)) from None

    def _write(self, value: Value, old: Cell | None) -> Cell:
        text = phrase.spell_phrase(value, self.setting)
        kind = "text"
        if isinstance(value, bool):
            kind = "flag"
        elif isinstance(value, Fraction) and self.setting.kind == "count":
            kind = "number"
        if old is not None and isinstance(old.value, str):
            try:
                if self.read(old.value) == value:
                    # Phrases leave the writer free (units, blanks, commas); one that says the value already is well
                    # said.
                    return Cell(old.value, old.kind)
            except Unreadable:
                pass
        return Cell(text, kind)


def split_unit(text: str) -> tuple[str, str, str]:
    """Number, gap and unit of a text such as "150 mm/s".

    >>> split_unit("150 mm/s"), split_unit("40%"), split_unit("1e4mm"), split_unit("3")
    (('150', ' ', 'mm/s'), ('40', '', '%'), ('1e4', '', 'mm'), ('3', '', ''))
    """
    end = 0
    for end, char in enumerate(text):
        if char not in "+-.,0123456789" and not (
            char in "eE" and end and text[end + 1 : end + 2] and text[end + 1] in "+-0123456789"
        ):
            break
    else:
        return text, "", ""
    unit = text[end:].lstrip(" \t")
    return text[:end], text[end : len(text) - len(unit)], unit


def is_quoted(text: str, quote: str) -> bool:
    return bool(quote) and len(text) >= 2 * len(quote) and text.startswith(quote) and text.endswith(quote)


def unquote(text: str, quote: str) -> str:
    return text[len(quote) : -len(quote)] if is_quoted(text, quote) else text


def _is_number(text: str) -> bool:
    try:
        numbers.parse_number(text)
    except (BeadwiseError, ValueError):
        return False
    return True


def _name(value: Value) -> str:
    if isinstance(value, State):
        return value.word
    if isinstance(value, Share):
        return f"{numbers.spell(value.percent)} % of {value.of}"
    if isinstance(value, tuple):
        return "several values"
    return str(value)


def _says(error: Exception) -> tuple[str, str]:
    if isinstance(error, BeadwiseError):
        return error.says, error.hint
    return str(error), ""
