"""Units of measure: the rows of schemas/units.tsv, found by UCUM code or usual spelling, and exact conversion.

The file is read on first use and kept. All factors are rationals, so a conversion is exact.

>>> unit("mm³/s").code, unit("inch").factor
('mm3/s', Fraction(127, 5))
>>> convert(Fraction(1000), "mm/min", "mm/s")
Fraction(50, 3)
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from convert.errors import InputError, UsageError
from convert.resources import read_bytes


class Unit(NamedTuple):
    """A unit of one kind of quantity: value in the kind's base unit = value * factor + offset."""

    code: str
    kind: str
    factor: Fraction
    offset: Fraction


class Table(NamedTuple):
    """The file: kind -> spelling -> unit (codes included), spelling -> units, refused spelling -> reason."""

    kinds: dict[str, dict[str, Unit]]
    spellings: dict[str, tuple[Unit, ...]]
    refused: dict[str, str]


_cache: list[Table] = []


def table() -> Table:
    """The table of units, read on first use."""
    if not _cache:
        _cache.append(read_table(read_bytes("schemas", "units.tsv").decode()))
    return _cache[0]


def read_table(text: str) -> Table:
    """Read the text of a table of units; a spelling that reads two ways is refused.

    >>> read_table("mm\\tlength\\t1\\t\\tmillimetre\\n").spellings["millimetre"][0].factor
    Fraction(1, 1)
    """
    kinds: dict[str, dict[str, Unit]] = {}
    spellings: dict[str, tuple[Unit, ...]] = {}
    refused: dict[str, str] = {}
    for line in text.split("\n"):
        if not line or line[0] == "#" or line.startswith("code\t"):
            continue
        code, kind, factor, offset, names = line.split("\t")
        if kind == "refused":
            refused[code] = names
            continue
        row = Unit(code, kind, _rational(factor), _rational(offset or "0"))
        own = kinds.setdefault(kind, {})
        for name in (code, *names.split("|")) if names else (code,):
            others = spellings.get(name, ())
            if name in own or any(other.code != code for other in others):
                raise UsageError(f"units.tsv: {name!r} reads as {code} and as {(*others, row)[0].code}")
            own[name] = row
            spellings[name] = (*others, row)
    for name in refused:
        if name in spellings:
            raise UsageError(f"units.tsv: {name!r} is both refused and a spelling of {spellings[name][0].code}")
    return Table(kinds, spellings, refused)


def _rational(text: str) -> Fraction:
    sign, digits = (-1, text[1:]) if text[0] == "-" else (1, text)
    top, _, bottom = digits.partition("/")
    return Fraction(sign * int(top), int(bottom or 1))


def kinds() -> tuple[str, ...]:
    """All kinds of quantity that have units, in the order of the table."""
    return tuple(table().kinds)


def spellings(kind: str) -> tuple[str, ...]:
    """All spellings, codes included, of the units of a kind."""
    return tuple(_of_kind(kind))


def codes(kind: str) -> tuple[str, ...]:
    """The UCUM codes of the units of a kind, the base unit first.

    >>> codes("angle")[:2]
    ('deg', 'rad')
    """
    return tuple(dict.fromkeys(row.code for row in _of_kind(kind).values()))


def unit(text: str, kind: str | None = None) -> Unit:
    """The unit that a code or spelling names, of the kind that is asked for.

    Without a kind, a code of several kinds (K, 1) gives the first of them in the table. Raises InputError for an
    unknown spelling, a trap (C, F, ") and a unit of another kind.

    >>> unit("°C", "temperature").offset, unit("K").kind
    (Fraction(0, 1), 'temperature')
    >>> unit("m", "time")
    Traceback (most recent call last):
    convert.errors.InputError: m is a unit of length, and a time is wanted; units of time are s, ms, us, min, h, d
    """
    known = table()
    if kind is None:
        found = known.spellings.get(text)
        if found:
            return found[0]
    else:
        row = _of_kind(kind).get(text)
        if row is not None:
            return row
    raise _not_found(text, kind, known)


def _of_kind(kind: str) -> dict[str, Unit]:
    try:
        return table().kinds[kind]
    except KeyError:
        raise UsageError(f"{kind} has no units", None, f"kinds with units: {', '.join(table().kinds)}") from None


def _article(kind: str) -> str:
    return "a " + kind.replace("_", " ") if kind[0] not in "aeiou" else "an " + kind.replace("_", " ")


def _not_found(text: str, kind: str | None, known: Table) -> InputError:
    if text in known.refused:
        meaning, _, hint = known.refused[text].partition("; ")
        return InputError(meaning, None, hint)
    listed = "" if kind is None else f"units of {kind.replace('_', ' ')} are {', '.join(codes(kind))}"
    others = known.spellings.get(text)
    if others and kind is not None:
        own = " or ".join(row.kind.replace("_", " ") for row in others)
        return InputError(f"{text} is a unit of {own}, and {_article(kind)} is wanted", None, listed)
    near = _closest(text, known.spellings if kind is None else known.kinds[kind])
    hint = f"did you mean {near}? {listed}".rstrip() if near else listed
    return InputError(f"{text[:40]!r} is no known unit", None, hint or "write its UCUM code")


def _closest(text: str, names: Iterable[str]) -> str:
    from difflib import get_close_matches  # only on the way to an error

    folded = text[:40].casefold()
    known = tuple(names)
    for name in known:
        if name.casefold() == folded:
            return name
    found = get_close_matches(text[:40], known, n=1)
    return found[0] if found else ""


def convert(value: Fraction, source: Unit | str, target: Unit | str) -> Fraction:
    """The value in another unit of the same kind, exactly.

    >>> convert(Fraction(212), "[degF]", "Cel")
    Fraction(100, 1)
    """
    if isinstance(source, str):
        source = unit(source, target.kind if isinstance(target, Unit) else None)
    if isinstance(target, str):
        target = unit(target, source.kind)
    if source.kind != target.kind:
        raise UsageError(f"{source.code} ({source.kind}) cannot become {target.code} ({target.kind})")
    if source.code == target.code:
        return value
    if source.offset or target.offset:
        return (value * source.factor + source.offset - target.offset) / target.factor
    return value * (source.factor / target.factor)
