"""Numbers as text: an exact reader, a writer that undoes unit conversions, and one that keeps a file's own style.

The grammar is `[+-] digits [. digits] [e [+-] digits]`, with ".2" and "5." allowed; nothing else is a number. Values
are exact rationals, written such that reading gives them back (how: decimals.py):

>>> spell(parse_number("1000") / 60), spell(parse_number("16.666666666666667") * 60)
('16.666666666666667', '1000')

The law (tests/model/test_numbers.py): a decimal of up to 15 significant digits survives any chain of conversions,
between any units. All factors are rationals but for the radian's; what comes by that is tidied (`converted`).
"""

from __future__ import annotations

from fractions import Fraction

from convert.errors import InputError
from convert.model.decimals import SHORT, meaning, spell, tidy
from convert.units import Unit, codes, convert, spellings, unit

# Longest text of a number and largest exponent: beyond every double, small enough that exact arithmetic stays quick.
MAX_LENGTH = 400
MAX_EXPONENT = 400
# Numbers are below 1e330 and not below 1e-330, which holds every double. In whatever unit one is written again, it is
# shorter than MAX_LENGTH; the canonical document takes all of that, so what was written there can be read.
MAX_POWER = 330

_MEMO_SIZE = 4096
_numbers: dict[str, Fraction] = {}
_quantities: dict[tuple[str, str, str], tuple[Fraction, Unit]] = {}

Parts = tuple[str, str, str, str, str, str]  # sign, whole, point, decimals, exponent letter, exponent


def parse_number(text: str, mark: str = ".", most: int = MAX_POWER) -> Fraction:
    """The exact value of a number's text; `mark` is the decimal mark, "." or ",", 10**`most` the bound of its size.

    Raises InputError for anything outside the grammar and names the readings of an ambiguous spelling.

    >>> parse_number(".2"), parse_number("-5."), parse_number("1e4"), parse_number("0,4", mark=",")
    (Fraction(1, 5), Fraction(-5, 1), Fraction(10000, 1), Fraction(2, 5))
    >>> parse_number("1,000")
    Traceback (most recent call last):
    convert.errors.InputError: 1,000 reads as 1000 (digit groups) or as 1.000 (decimal comma); write 1000 or 1.000
    """
    common = mark == "." and most == MAX_POWER
    if common:
        known = _numbers.get(text)
        if known is not None:
            return known
    if len(text) > MAX_LENGTH:
        raise InputError(f"a number of {len(text)} characters", None, f"{MAX_LENGTH} is the most")
    parts = _split(text, mark)
    if parts is None:
        raise _refusal(text, mark)
    value = _value(parts, most)
    if common:
        if len(_numbers) >= _MEMO_SIZE:
            _numbers.clear()
        _numbers[text] = value
    return value


def is_number(text: str, mark: str = ".") -> bool:
    """Whether a text is a number of the grammar."""
    return _style(text, mark) is not None


def _style(text: str, mark: str) -> Parts | None:
    """The parts of a text, if it is a number of the grammar."""
    parts = _split(text, mark) if len(text) <= MAX_LENGTH else None
    return parts if parts and (not parts[4] or abs(int(parts[5])) <= MAX_EXPONENT) else None


def _split(text: str, mark: str) -> Parts | None:
    sign, rest = (text[0], text[1:]) if text[:1] in ("+", "-") else ("", text)
    letter = "e" if "e" in rest else "E" if "E" in rest else ""
    mantissa, exponent = rest, ""
    if letter:
        mantissa, _, exponent = rest.partition(letter)
        if not _digits(exponent[1:] if exponent[:1] in ("+", "-") else exponent):
            return None
    whole, point, decimals = mantissa.partition(mark)
    if (whole and not _digits(whole)) or (decimals and not _digits(decimals)) or not (whole or decimals):
        return None
    return sign, whole, point, decimals, letter, exponent


def _digits(text: str) -> bool:
    return text.isdigit() and text.isascii()


def _value(parts: Parts, most: int) -> Fraction:
    sign, whole, _, decimals, _, exponent = parts
    digits = int(whole + decimals)
    power = int(exponent or 0)
    if abs(power) > MAX_EXPONENT:
        raise InputError(f"an exponent of {power}", None, f"{MAX_EXPONENT} is the most")
    power -= len(decimals)
    before_point = len((whole + decimals).lstrip("0")) + power
    if digits and not -most < before_point <= most:
        size = "large" if before_point > 0 else "small"
        raise InputError(f"a number as {size} as that", None, f"1e{most} and 1e-{most} are the bounds")
    if sign == "-":
        digits = -digits
    return meaning(digits, power, len((whole + decimals).lstrip("0")))


def _refusal(text: str, mark: str) -> InputError:
    shown = text[:40]
    bare = text.strip()
    other = "," if mark == "." else "."
    if not bare:
        return InputError("no number", None, "write one, or leave the setting out")
    if bare.lstrip("+-").casefold() in ("nan", "inf", "infinity"):
        return InputError(
            f"{shown} is no number that a setting can have", None, "leave the setting out, or state it off"
        )
    if bare != text:
        return InputError(f"{shown!r} has blanks around the number", None, f"write {bare[:40]}")
    pieces = text.split()
    if len(pieces) > 1 and _is_grouped(pieces, mark):
        whole = "".join(pieces)
        return InputError(
            f"{shown} reads as {whole} (digit groups) or as {len(pieces)} numbers", None, f"write {whole}"
        )
    if other in text and mark not in text:
        return _two_marks(text, mark, other)
    if other in text and mark in text and text.rfind(mark) > text.rfind(other) > 0:
        plain = text.replace(other, "")
        if _split(plain, mark):
            return InputError(f"{shown} has digit groups", None, f"write {plain}")
    for sep in ("_", "'", "’"):
        if sep in text and _split(text.replace(sep, ""), mark):
            return InputError(f"{shown} has digit groups", None, f"write {text.replace(sep, '')}")
    if text.lstrip("+-")[:2].casefold() == "0x":
        return InputError(f"{shown} is hexadecimal", None, "write it as a decimal")
    return InputError(f"{shown!r} is no number", None, f"a number is digits, with {mark!r} as decimal mark")


def _is_grouped(pieces: list[str], mark: str) -> bool:
    first, *groups = pieces
    last = groups[-1].partition(mark)[0]
    return _digits(first.lstrip("+-")) and all(_digits(piece) and len(piece) == 3 for piece in (*groups[:-1], last))


def _two_marks(text: str, mark: str, other: str) -> InputError:
    name = "comma" if other == "," else "point"
    pieces = text.lstrip("+-").split(other)
    plain, decimal = text.replace(other, ""), text.replace(other, mark)
    if not _split(plain, mark):
        return InputError(f"{text[:40]!r} is no number", None, f"a number is digits, with {mark!r} as decimal mark")
    if _is_grouped(pieces, mark) and 0 < len(pieces[0]) < 4 and pieces[0] != "0":
        if len(pieces) == 2:
            says = f"{text[:40]} reads as {plain} (digit groups) or as {decimal} (decimal {name})"
            return InputError(says, None, f"write {plain} or {decimal}")
        return InputError(f"{text[:40]} has digit groups", None, f"write {plain}")
    if len(pieces) == 2:
        numbers = " and ".join(piece or "nothing" for piece in pieces)
        says = f"{text[:40]} reads as {decimal} (decimal {name}) or as a list of {numbers}"
        return InputError(says, None, f"write {decimal}, or declare {other!r} as the decimal mark")
    return InputError(f"{text[:40]} reads as a list of {len(pieces)} numbers", None, "one number is wanted")


# --- writing


def converted(value: Fraction, source: Unit, target: Unit, text: str = "") -> Fraction:
    """The value in another unit, tidied if a unit's factor is no rational; `text` is what the value was read from.

    >>> converted(Fraction(-160, 9), unit("Cel"), unit("[degF]"))
    Fraction(0, 1)
    >>> converted(parse_number("0.7853981633974483"), unit("rad"), unit("deg"), "0.7853981633974483")
    Fraction(45, 1)
    """
    found = convert(value, source, target)
    return found if source.rational and target.rational else tidy(found, significant(text))


def significant(text: str) -> int:
    """How many significant digits a number's text has, with the noughts at its end.

    >>> significant("0.0250"), significant("-1.5e10"), significant("")
    (3, 2, 0)
    """
    mantissa = text.lower().partition("e")[0]
    return sum(map(str.isdigit, mantissa.lstrip("+-0.,")))


def same_number(a: Fraction, b: Fraction) -> bool:
    """Whether two values are one number: equal, or 5e-16 apart (relative to the larger).

    >>> same_number(Fraction("16.666666666666667"), Fraction(50, 3)), same_number(Fraction("16.6667"), Fraction(50, 3))
    (True, False)
    """
    if a.numerator == b.numerator and a.denominator == b.denominator:  # several times quicker than a == b
        return True
    one, two = a.numerator * b.denominator, b.numerator * a.denominator  # over one denominator
    return abs(one - two) * (2 * 10**15) <= max(abs(one), abs(two))


def spell_like(value: Fraction, old_text: str, mark: str = ".") -> str:
    """The value in the style of an old spelling: plus sign, padding with noughts, bare leading or trailing mark, number
    of decimals at least, exponent. More decimals are written where the value needs them.

    For every text of the grammar spell_like(parse_number(text), text) == text. An old text that is no number gives the
    plain spelling.

    >>> spell_like(Fraction(1, 4), "+0.200"), spell_like(Fraction(12345), "1E+04"), spell_like(Fraction(1, 8), ".2")
    ('+0.250', '1.2345E+04', '.125')
    """
    parts = _style(old_text, mark)
    if parts is None:
        return _marked(spell(value), mark)
    sign, whole, point, decimals, letter, exponent = parts
    if len(whole) + len(decimals) > SHORT and parse_number(old_text, mark, MAX_LENGTH) == value:
        return old_text  # a long number may be spelled in many ways, and this is one
    size = abs(value)
    places = len(decimals) - int(exponent or 0)
    top, bottom = size.numerator, size.denominator
    digits, rest = divmod(top * 10**places, bottom) if places >= 0 else divmod(top, bottom * 10**-places)
    text = str(digits)
    if rest or (len(text) > SHORT and meaning(digits, -places, len(text)) != size):
        text = spell(size * Fraction(10) ** -int(exponent or 0))
        if letter and parse_number(text + letter + exponent, ".", MAX_LENGTH) != size:
            return _marked(spell(value), mark)
        new_whole, _, new_decimals = text.partition(".")
    else:
        text = text.zfill(len(decimals) + 1)
        cut = len(text) - len(decimals)
        new_whole, new_decimals = text[:cut], text[cut:]
    if not whole and new_whole == "0" and new_decimals:
        new_whole = ""
    elif whole[:1] == "0":
        new_whole = new_whole.zfill(len(whole))
    minus = value < 0 or (not top and sign == "-" and not (whole + decimals).strip("0"))
    new_sign = "-" if minus else "+" if sign == "+" else ""
    new_point = mark if new_decimals or (point and not decimals) else ""
    return f"{new_sign}{new_whole}{new_point}{new_decimals}{letter}{exponent}"


def _marked(text: str, mark: str) -> str:
    return text if mark == "." else text.replace(".", mark)


# --- one number, one unit


def parse_quantity(text: str, kind: str, mark: str = ".") -> tuple[Fraction, Unit]:
    """One number and one unit of a kind: the number in the unit that stands there, and that unit.

    A count may stand without a unit. Raises InputError; two numbers or two units are never added up or multiplied.

    >>> value, found = parse_quantity("150mm/s", "speed")
    >>> value, found.code
    (Fraction(150, 1), 'mm/s')
    >>> parse_quantity("2 min 30 s", "time")
    Traceback (most recent call last):
    convert.errors.InputError: 2 min 30 s is two quantities, 2 min and 30 s; if their sum is meant, write 2.5 min
    """
    key = (text, kind, mark)
    known = _quantities.get(key)
    if known is not None:
        return known
    number, rest = split_quantity(text)
    if rest and _has_number(rest) and rest not in ("1/kg", "1/mm"):
        raise _two_numbers(text.strip(), number, rest, kind, mark)
    value = parse_number(number, mark)
    if not rest and kind != "count":
        name = codes(kind)[0]
        raise InputError(f"{number} has no unit", None, f"write {number} {name}, or whichever {_units(kind)} is meant")
    found = value, unit(rest or "1", kind)
    if len(_quantities) >= _MEMO_SIZE:
        _quantities.clear()
    _quantities[key] = found
    return found


def split_quantity(text: str) -> tuple[str, str]:
    """The text of the number and of the unit behind it; blanks around both are gone.

    >>> split_quantity("1e3mm/s"), split_quantity("40 %"), split_quantity("off")
    (('1e3', 'mm/s'), ('40', '%'), ('', 'off'))
    """
    text = text.strip()
    end, size = 0, len(text)
    while end < size and text[end] in "0123456789.,+-_":
        end += 1
    if 0 < end < size and text[end] in "eE":
        last = end + 1
        if last < size and text[last] in "+-":
            last += 1
        if last < size and _digits(text[last]):
            while last < size and _digits(text[last]):
                last += 1
            end = last
    return text[:end], text[end:].lstrip()


def _units(kind: str) -> str:
    return " or ".join(codes(kind)[:4])


def _has_number(rest: str) -> bool:
    return _digits(rest[0]) or any(_digits(word[0]) for word in rest.split())


def _two_numbers(text: str, number: str, rest: str, kind: str, mark: str) -> InputError:
    shown = text[:60]
    pieces = [number]
    while rest and _digits(rest[0]):
        piece, rest = split_quantity(rest)
        pieces.append(piece)
    if len(pieces) > 1:
        if _is_grouped(pieces, mark) and not _has_number(rest or "-"):
            whole = f"{''.join(pieces)} {rest}".rstrip()
            says = f"{shown} reads as {whole} (digit groups) or as {len(pieces)} numbers"
            return InputError(says, None, f"write {whole}")
        return InputError(f"{shown} holds {len(pieces)} numbers", None, "one number and one unit are wanted")
    words = rest.split()
    cut = next(index for index, word in enumerate(words) if _digits(word[0]))
    first, second = f"{number} {' '.join(words[:cut])}", " ".join(words[cut:])
    own = spellings(kind)
    again, second_unit = split_quantity(second)
    if " ".join(words[:cut]) in own and second_unit in own and is_number(number, mark) and is_number(again, mark):
        base = unit(" ".join(words[:cut]), kind)
        total = parse_number(number, mark) + convert(parse_number(again, mark), unit(second_unit, kind), base)
        says = f"{shown} is two quantities, {first} and {second}"
        return InputError(says, None, f"if their sum is meant, write {spell(total)} {base.code}")
    return InputError(f"{shown} is more than one number and one unit", None, "write one number and one unit")
