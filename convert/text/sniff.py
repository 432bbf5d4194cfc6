"""Which syntaxes a text may be written in, by a look at its first lines. Reading decides, not this."""

from __future__ import annotations

from itertools import islice

from convert.text.csvscan import scan, sniff_delimiter
from convert.text.pairs import BLANKS, first_mark

TYPE_CHECKING = False
if TYPE_CHECKING:
    from convert.text.source import Source

_SAMPLE = 200  # lines
_COMMENTS = ("#", ";", "//")
_NAME = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_-.\"' ")
_NUMBER = frozenset("+-0123456789abcdefABCDEFxoTZ_.: ")
_WORDS = ("true", "false", "inf", "nan")


def candidates(source: Source) -> list[str]:
    """Names of syntaxes, the likeliest first; [] if the text looks like none of them.

    >>> from convert.text.source import Source
    >>> candidates(Source.from_bytes(b"width = 0.4\\nspeed = fast\\n"))
    ['ini']
    """
    text = source.text
    lines = [line for raw in source.flat.split("\n", _SAMPLE)[:_SAMPLE] if (line := raw.strip(BLANKS))]
    if not lines or "\0" in text:
        return []
    if lines[0].startswith("<"):
        return ["xml"]
    if lines[0].startswith("{"):
        return ["json"]
    found = [
        ("json", _json(lines)),
        ("comments", _comments(lines) or (_program(lines) and _late_pairs(text))),
        ("toml", _toml(lines)),
        ("csv", _csv(source, lines[0])),
        ("ini", _ini(lines)),
    ]
    return [name for name, fits in found if fits]


def _json(lines: list[str]) -> bool:
    """An array of objects; `[name]` heads a section, and a lone list of words is no settings file."""
    return "".join(lines[:3]).replace(" ", "").replace("\t", "").startswith("[{")


def _toml(lines: list[str]) -> bool:
    """Pairs are as TOML v1.0.0 writes them: a plain name, a value in quotes or brackets, a number, a date or a flag.

    Lines are judged up to the first value that goes on over lines.
    """
    pairs = 0
    for line in lines:
        if line.startswith("#") or (line.startswith("[") and "]" in line):
            continue
        name, _, value = line.partition("=")
        value = value.strip(BLANKS)
        word = value.split("#", 1)[0].rstrip(BLANKS)
        if not value or not _NAME.issuperset(name):
            return False
        pairs += 1
        if value[0] in "\"'[{":
            if value.startswith(('"""', "'''")) or value.count("[") + value.count("{") > value.count("]") + value.count(
                "}"
            ):
                break
            if value[0] in "\"'" and value.count(value[0]) < 2:
                return False
        elif word not in _WORDS and (not _NUMBER.issuperset(word) or (" " in word and ":" not in word)):
            return False
    return pairs > 0


def _comments(lines: list[str]) -> bool:
    """Comment lines with pairs, among the words of a machine program or alone."""
    marked = [line for line in lines if line[0] == ";" or (line[0] == "(" and line[-1] == ")")]
    pairs = sum(first_mark(line, ("=", ":"))[0] > 1 for line in marked)
    return pairs > 0 and (_program(lines) or len(marked) == len(lines))


def _program(lines: list[str]) -> bool:
    """Most lines that are no comments start with a word of RS-274: a letter and a number, such as G1 or M104."""
    bare = [line for line in lines if line[0] not in ";(%"]
    words = sum(
        line[0].upper() in "GMTN" and line[1:2].isdigit() and "=" not in line.split(None, 1)[0] for line in bare
    )
    return words > 0 and words * 10 >= len(bare) * 8


def _late_pairs(text: str) -> bool:
    """Pairs in comment lines at the end of a program, where its first lines have none."""
    tail = text[-20_000:].replace("\r", "\n").split("\n")[1:]
    return any(line.startswith((";", "(")) and first_mark(line, ("=", ":"))[0] > 1 for line in tail)


def _ini(lines: list[str]) -> bool:
    """Most lines that are neither comments nor section headers are pairs with a name."""
    body = [line for line in lines if not line.startswith(_COMMENTS) and not (line[0] == "[" and "]" in line)]
    pairs = sum(first_mark(line, ("=", ":"))[0] > 0 for line in body)
    headers = sum(line[0] == "[" and line[-1] == "]" for line in lines)
    return not _program(lines) and (pairs * 2 > len(body) or (not body and headers > 0))


def _csv(source: Source, first: str) -> bool:
    """One delimiter cuts the header and most of the first rows into two cells or more."""
    delimiter = sniff_delimiter(source)
    if delimiter not in first or "=" in first:
        return False
    rows = [row for row in islice(scan(source, delimiter), _SAMPLE) if row]
    return len(rows[0]) > 1 and sum(len(row) > 1 for row in rows) * 10 >= len(rows) * 8
