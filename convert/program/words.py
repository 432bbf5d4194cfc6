"""Splits one line of command code into words, losslessly.

Line grammar of RS-274 as described in NISTIR 6556, section 3.3 (a letter and a number, blanks and case without meaning,
comments in parentheses, block delete `/`, line numbers N), with what is common practice beside it: comments after `;`,
checksums after `*`, `{setting.id}` in the place of a number, flags without a number (`G28 X`), and named commands
(`NAME ARG=VALUE`). Any text splits: what has no meaning is kept as a token of its own.

>>> [(word.letter, word.value) for word in tokenize("g0x +0. 12 34y 7").words]
[('G', 0.0), ('X', 0.1234), ('Y', 7.0)]
>>> tokenize("PREHEAT BED=60 ; slowly").name
'PREHEAT'
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

# Possessive quantifiers (`++`, `*+`, `?+`) keep every pattern linear in the length of the line.
_NUMBER = (
    r"[-+]?(?:(?:[ \t]*+[0-9])++(?:[ \t]*+\.(?:[ \t]*+[0-9])*+)?+"  # 12, 12., 1 2.5
    r"|[ \t]*+\.(?:[ \t]*+[0-9])++)"  # .5
)
_BRACED = r"[-+0-9.]*+(?:\{++[^{}();\n]*+\}++[-+0-9.]*+)++"
_WORD = rf'[A-Za-z](?:[ \t]*+(?:{_BRACED}|{_NUMBER}|"[^"\n]*+"|[-+]?#[#0-9A-Za-z_<>]++))?+'
_KINDS = (
    ("bracket", r"(?:[A-Za-z][ \t]*+[-+]?)?\["),
    ("word", _WORD),
    ("blank", r"\s++"),
    ("comment", r";.*|\([^)\n]*+\)?+"),
    ("checksum", r"\*[ \t]*+[0-9]++"),
    ("expression", r"#[^\s(;]*+"),
    ("percent", r"%"),
    ("other", r"[^\sA-Za-z;(*#%\[]++|."),
)
_SCAN = re.compile("|".join(f"(?P<{kind}>{pattern})" for kind, pattern in _KINDS), re.DOTALL)
_NAMED = re.compile(
    r"""(?P<argument>([A-Za-z_][A-Za-z0-9_.]*+)=("[^"\n]*+"|'[^'\n]*+'|[^\s;]*+))"""
    r"|(?P<blank>\s++)|(?P<comment>;.*)|(?P<text>[^\s;]++)",
    re.DOTALL,
)
_HEAD = re.compile(r"([ \t]*+)(/?+)([ \t]*+)(N[ \t]*+[0-9]++)?+([ \t]*+)", re.IGNORECASE)
_NAME = re.compile(r"[A-Za-z_][A-Za-z_][A-Za-z0-9_.]*+")
_DECIMAL = re.compile(r"[-+]?(?:[0-9]++\.?+[0-9]*+|\.[0-9]++)")
_LETTERS = re.compile(r"[A-Za-z]{2}")
# Words after which the rest of the line is free text (common practice); after M0 and M1 only where it reads like text.
TEXT_WORDS = frozenset(("M23", "M28", "M32", "M117", "M118"))
_STOPS = frozenset(("M0", "M1"))


class Token(NamedTuple):
    """A piece of the line: `kind` is blank, word, number, checksum, delete, percent, comment, name, argument, text,
    expression or other; `start` its offset."""

    kind: str
    text: str
    start: int


class Word(NamedTuple):
    """A letter (or an argument's name) in upper case, the text of its value, and the number where that is one."""

    letter: str
    text: str
    value: float | None
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Line:
    """One line, split: `"".join(token.text for token in tokens) == text`.

    `name` is the named command, "" if none; `number` and `checksum` are the digits as written, "" if none; `message` is
    the free text of a text command, None if none.
    """

    text: str
    tokens: tuple[Token, ...]
    words: tuple[Word, ...]
    name: str = ""
    number: str = ""
    checksum: str = ""
    deleted: bool = False
    message: str | None = None


def canonical(letter: str, value: float | None) -> str:
    """The command a word names, whatever its spelling.

    >>> canonical("G", 0.0), canonical("M", 104.0), canonical("G", 59.10)
    ('G0', 'M104', 'G59.1')
    """
    return letter if value is None else f"{letter}{value:.10g}"


def decimal(text: str) -> float | None:
    """The number that a text is as a whole, by the grammar of RS-274 (no exponent, blanks do not matter).

    >>> decimal("+0. 5"), decimal("1e3"), decimal("nan")
    (0.5, None, None)
    """
    if " " in text or "\t" in text:
        text = text.replace(" ", "").replace("\t", "")
    return float(text) if _DECIMAL.fullmatch(text) else None


def tokenize(line: str) -> Line:
    """Splits a line; never fails.

    >>> line = tokenize("N3 G1 X10 Y5 F1200*123")
    >>> line.number, line.checksum, [word.letter for word in line.words]
    ('3', '123', ['G', 'X', 'Y', 'F'])
    """
    tokens: list[Token] = []
    words: list[Word] = []
    head = _HEAD.match(line)
    assert head is not None  # every part of the pattern is optional
    at, number = 0, ""
    for kind, piece in zip(("blank", "delete", "blank", "number", "blank"), head.groups(), strict=True):
        if piece:
            tokens.append(Token(kind, piece, at))
            at += len(piece)
            number = piece[1:].strip() if kind == "number" else number
    deleted = bool(head[2])
    named = _NAME.match(line, at)
    if named:
        tokens.append(Token("name", named[0], at))
        _arguments(line, named.end(), tokens, words)
        return Line(line, tuple(tokens), tuple(words), named[0].upper(), number, "", deleted)
    checksum, message = "", None
    end = len(line)
    while at < end:
        found = _SCAN.match(line, at)
        assert found is not None  # the last alternative takes any character
        kind, stop = str(found.lastgroup), found.end()
        if kind == "bracket":
            stop = _closing(line, stop)
            kind = "expression" if line[at] == "[" else "word"
        text = line[at:stop]
        tokens.append(Token(kind, text, at))
        if kind == "word":
            raw = text[1:].strip(" \t")
            word = Word(text[0].upper(), raw, decimal(raw) if raw else None, at, stop)
            words.append(word)
            if len(words) == 1 and word.letter == "M":
                message = _message(line, stop, canonical("M", word.value))
                if message is not None:
                    if message:
                        tokens.append(Token("text", message, stop))
                    stop += len(message)
        elif kind == "checksum":
            checksum = text[1:].strip(" \t")
        at = stop
    return Line(line, tuple(tokens), tuple(words), "", number, checksum, deleted, message)


def _arguments(line: str, at: int, tokens: list[Token], words: list[Word]) -> None:
    """The arguments of a named command."""
    for found in _NAMED.finditer(line, at):
        kind = found.lastgroup or ("argument" if found["argument"] else "text")
        tokens.append(Token(kind, found[0], found.start()))
        if kind == "argument":
            words.append(Word(found[2].upper(), found[3], decimal(found[3]), found.start(), found.end()))


def _closing(line: str, at: int) -> int:
    """The offset after the bracket that closes the one just before `at`, or the end of the line."""
    depth = 1
    for offset in range(at, len(line)):
        character = line[offset]
        if character == "[":
            depth += 1
        elif character == "]":
            depth -= 1
            if not depth:
                return offset + 1
    return len(line)


def _message(line: str, at: int, command: str) -> str | None:
    """The free text that follows a text command, up to `;`; None where the words go on."""
    if command in TEXT_WORDS:
        stop = line.find(";", at)
        return line[at:] if stop < 0 else line[at:stop]
    if command in _STOPS:
        rest = line[at:].partition(";")[0].partition("(")[0]
        if _LETTERS.search(rest):
            return rest
    return None
