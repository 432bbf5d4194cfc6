"""JSON with exact numbers: what is read keeps its digits, what is written has the digits that `spell` gives.

>>> doc = loads('{"a": 16.666666666666667, "b": [1, 2.50]}')
>>> exact(doc["a"]), exact(doc["b"][1])
(Fraction(50, 3), Fraction(5, 2))
>>> print(dumps({"value": Fraction(50, 3), "list": [1, 2]}))
{"value": 16.666666666666667, "list": [1, 2]}
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from convert.errors import InputError, Location, OutputError
from convert.model.numbers import MAX_LENGTH, parse_number, spell

if TYPE_CHECKING:
    from json import JSONDecoder

WIDTH = 110  # a list, or an object of plain values, that fits stands on one line


class Digits(float):
    """A number that knows its exact text, for all else a float."""

    __slots__ = ("text",)
    text: str

    def __new__(cls, text: str) -> Digits:
        made = super().__new__(cls, text)
        made.text = text
        return made

    def __reduce__(self) -> tuple[type[Digits], tuple[str]]:
        return Digits, (self.text,)


def number(value: Fraction) -> int | float:
    """A rational as a JSON number: int, or a float whose written digits are those of `spell`."""
    text = spell(value)
    if "." not in text:
        return int(text)
    plain = float(text)
    return plain if repr(plain) == text else Digits(text)


def exact(value: object) -> Fraction | None:
    """The exact value of a number of a JSON document; None if it is none (flags and infinities are not).

    >>> exact(0.1), exact(True), exact("1"), exact(float("nan"))
    (Fraction(1, 10), None, None, None)
    """
    if isinstance(value, Digits):
        return parse_number(value.text, most=MAX_LENGTH)
    if isinstance(value, float):
        return parse_number(repr(float(value))) if value - value == 0 else None
    if isinstance(value, Fraction):
        return value
    return Fraction(value) if isinstance(value, int) and not isinstance(value, bool) else None


def loads(text: str, path: str = "<input>") -> Any:
    """Read a JSON text. Raises InputError: not JSON, NaN and infinities, a name twice in an object, nested too deep."""
    from json import JSONDecodeError

    try:
        return _decoder().decode(text)
    except JSONDecodeError as error:
        raise InputError(
            f"no JSON: {error.msg}", Location(path, error.lineno, error.colno), "correct the text"
        ) from None
    except RecursionError:
        raise InputError("nested too deep", Location(path), "a profile needs six levels") from None
    except InputError as error:
        raise InputError(error.says, Location(path), error.hint) from None


@cache
def _decoder() -> JSONDecoder:
    from json import JSONDecoder

    return JSONDecoder(object_pairs_hook=_members, parse_int=_whole, parse_float=_decimal, parse_constant=_constant)


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        raise InputError(f"{twice[:60]!r} stands twice in one object", None, "keep one of them")
    return found


def _whole(digits: str) -> int:
    return int(parse_number(digits, most=MAX_LENGTH))


def _decimal(digits: str) -> float:
    parse_number(digits, most=MAX_LENGTH)
    return Digits(digits)


def _constant(name: str) -> Any:
    raise InputError(f"{name} is no number that a setting can have", None, "leave the setting out")


class Raw(str):
    """The JSON text of an object: `dumps` puts it in as it is where it fits on the line, else lays it out anew."""

    __slots__ = ()


def dumps(doc: object) -> str:
    """A document as JSON text: two blanks of indentation, short lists and objects of plain values on one line."""
    pieces: list[str] = []
    _write(doc, "\n", 0, pieces)
    return "".join(pieces)


def _write(value: object, line: str, column: int, pieces: list[str]) -> None:
    if isinstance(value, Raw):
        if column + len(value) <= WIDTH and "\n" not in value:
            pieces.append(value)
            return
        value = loads(value)
    if not isinstance(value, (dict, list, tuple)) or not value:
        pieces.append(_scalar(value))
        return
    if _is_flat(value):
        short = _short(value)
        if column + len(short) <= WIDTH:
            pieces.append(short)
            return
    deeper = line + "  "
    brackets = "{}" if isinstance(value, dict) else "[]"
    before = brackets[0]
    for name, item in value.items() if isinstance(value, dict) else ((None, item) for item in value):
        lead = f"{before}{deeper}" if name is None else f"{before}{deeper}{quoted(str(name))}: "
        pieces.append(lead)
        _write(item, deeper, len(lead) - len(before) - 1, pieces)
        before = ","
    pieces.append(line + brackets[1])


def _is_flat(value: dict[str, Any] | list[Any] | tuple[Any, ...]) -> bool:
    """Whether no object is inside (lists may be), so that it may stand on one line."""
    todo: list[Any] = list(value.values() if isinstance(value, dict) else value)
    while todo:
        item = todo.pop()
        if isinstance(item, (dict, Raw)):
            return False
        if isinstance(item, (list, tuple)):
            todo.extend(item)
    return True


def _short(value: object) -> str:
    if isinstance(value, dict) and value:
        return "{" + ", ".join([f"{quoted(str(name))}: {_short(item)}" for name, item in value.items()]) + "}"
    if isinstance(value, (list, tuple)) and value:
        return "[" + ", ".join([_short(item) for item in value]) + "]"
    return _scalar(value)


def _scalar(value: object) -> str:
    if isinstance(value, str):
        return quoted(value)
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, Digits):
        return value.text
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        if value - value != 0:
            raise OutputError(f"{value} cannot be written as JSON", None, "a number is wanted")
        return repr(value)
    if isinstance(value, Fraction):
        return spell(value)
    return "{}" if isinstance(value, dict) else "[]"


def quoted(text: str) -> str:
    """A text in quotes. Half a surrogate pair, a byte that was no UTF-8 in its file, is escaped.

    >>> print(quoted("40 µm"), quoted(chr(0xDC00)))
    "40 µm" "\\udc00"
    """
    plain, escaped = _quoters()
    if not text.isascii():
        try:
            text.encode()
        except UnicodeEncodeError:
            return escaped(text)
    return plain(text)


@cache
def _quoters() -> tuple[Callable[[str], str], Callable[[str], str]]:
    from json.encoder import encode_basestring, encode_basestring_ascii  # only where something is written

    return encode_basestring, encode_basestring_ascii
