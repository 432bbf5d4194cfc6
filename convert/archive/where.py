"""Conditions over canonical values: `speed.travel >= 18000 mm/min and feedstock.family in (PLA, PETG)`.

    condition = SETTING OP VALUE [UNIT] | SETTING in (VALUE, ...) | SETTING contains TEXT
              | present SETTING | absent SETTING
              | not condition | condition and condition | condition or condition | ( condition )

OP is one of = != < <= > >=. `not` binds closest, then `and`, then `or`. A value with one of the words or signs of the
grammar in it stands in quotes, double or single. A setting that is absent matches no comparison, `!=` included, so
`not` before one matches where it is absent.

>>> condition = parse("not absent layer.height and speed.travel > 9 m/min")
>>> condition.parts[0]
Not(part=Has(setting='layer.height', present=False))
>>> condition.parts[1].values
(Fraction(150, 1),)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, NoReturn

from convert.errors import BeadwiseError, UsageError
from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS, Setting, closest
from convert.model.value import Share, State, Value

OPERATORS = ("<=", ">=", "!=", "=", "<", ">")
WORDS = ("and", "or", "not", "in", "contains", "present", "absent")
MOST_TEXT = 20_000
MOST_TERMS = 400
"""Comparisons in one condition; a database refuses expressions much longer."""
MOST_DEPTH = 50
"""Parentheses within parentheses."""


@dataclass(frozen=True, slots=True)
class Compare:
    """A setting against a value; `in` has several, `contains` a text."""

    setting: str
    op: str
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Has:
    """Whether a setting is stated."""

    setting: str
    present: bool


@dataclass(frozen=True, slots=True)
class Not:
    part: Condition


@dataclass(frozen=True, slots=True)
class All:
    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Either:
    parts: tuple[Condition, ...]


Condition = Compare | Has | Not | All | Either


class Token(NamedTuple):
    """kind is "word", "text" (was quoted), "op", or the sign itself: ( ) ,"""

    kind: str
    text: str
    at: int


def tokens(text: str) -> list[Token]:
    """The pieces of a condition. UsageError for a quote that is not closed."""
    found: list[Token] = []
    at, end = 0, len(text)
    while at < end:
        char = text[at]
        if char.isspace():
            at += 1
        elif char in "(),":
            found.append(Token(char, char, at))
            at += 1
        elif char in "\"'":
            close = text.find(char, at + 1)
            if close < 0:
                _fail(text, at, "a quote that is not closed", f"write the closing {char}")
            found.append(Token("text", text[at + 1 : close], at))
            at = close + 1
        elif char in "<>=!":
            op = next((one for one in OPERATORS if text.startswith(one, at)), None)
            if op is None:
                _fail(text, at, f"{char!r} is no comparison", f"the comparisons are {' '.join(OPERATORS)}")
            found.append(Token("op", op, at))
            at += len(op)
        else:
            start = at
            while at < end and not text[at].isspace() and text[at] not in "(),<>=!\"'":
                at += 1
            found.append(Token("word", text[start:at], start))
    return found


def parse(text: str) -> Condition:
    """The condition that a text says. UsageError with the place of what is wrong and what to write."""
    if len(text) > MOST_TEXT:
        raise UsageError(f"the condition has {len(text)} characters, more than {MOST_TEXT}", None, "take it apart")
    return _Parser(text).whole()


class _Parser:
    """Recursive descent; its depth is bounded by MOST_DEPTH, for only parentheses go deeper."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens = tokens(text)
        self.next = 0
        self.terms = 0

    def whole(self) -> Condition:
        if not self.tokens:
            raise UsageError("the condition is empty", None, "write SETTING OP VALUE, such as layer.height <= 0.2 mm")
        found = self.either(0)
        if self.next < len(self.tokens):
            token = self.tokens[self.next]
            hint = "give the opening one too" if token.kind == ")" else "join conditions with 'and' or 'or'"
            self.fail(f"{token.text!r} does not belong here", hint)
        return found

    def peek(self) -> Token:
        return self.tokens[self.next] if self.next < len(self.tokens) else Token("end", "", len(self.text))

    def take(self) -> Token:
        token = self.peek()
        self.next += 1
        return token

    def is_word(self, word: str) -> bool:
        token = self.peek()
        return token.kind == "word" and token.text.lower() == word

    def fail(self, says: str, hint: str, token: Token | None = None) -> NoReturn:
        token = token or self.peek()
        _fail(self.text, token.at, says if token.kind != "end" or token.text else f"{says}, and it ends", hint)

    def either(self, depth: int) -> Condition:
        parts = [self.every(depth)]
        while self.is_word("or"):
            self.take()
            parts.append(self.every(depth))
        return parts[0] if len(parts) == 1 else Either(tuple(parts))

    def every(self, depth: int) -> Condition:
        parts = [self.single(depth)]
        while self.is_word("and"):
            self.take()
            parts.append(self.single(depth))
        return parts[0] if len(parts) == 1 else All(tuple(parts))

    def single(self, depth: int) -> Condition:
        turns = 0
        while self.is_word("not"):
            self.take()
            turns += 1
        if self.peek().kind == "(":
            if depth >= MOST_DEPTH:
                self.fail(f"more than {MOST_DEPTH} parentheses deep", "take it apart: several --where must all hold")
            self.take()
            found = self.either(depth + 1)
            if self.peek().kind != ")":
                self.fail("')' is wanted", "close the parenthesis")
            self.take()
        else:
            found = self.term()
        return Not(found) if turns % 2 else found

    def term(self) -> Condition:
        self.count(1)
        for word in ("present", "absent"):
            if self.is_word(word):
                self.take()
                return Has(self.setting().id, word == "present")
        setting = self.setting()
        token = self.peek()
        if token.kind == "op":
            self.take()
            return Compare(setting.id, token.text, (self.value(setting, token.text),))
        if self.is_word("in"):
            self.take()
            return Compare(setting.id, "in", self.values(setting))
        if self.is_word("contains"):
            self.take()
            if setting.kind not in ("text", "code", "choice"):
                self.fail(f"{setting.id} holds no text", "'contains' is for texts and code", token)
            return Compare(setting.id, "contains", (self.phrase(setting),))
        hint = f"write one of {' '.join(OPERATORS)}, in (...), or contains; or 'present {setting.id}'"
        return self.fail("a comparison is wanted", hint)

    def count(self, more: int) -> None:
        self.terms += more
        if self.terms > MOST_TERMS:
            self.fail(f"more than {MOST_TERMS} comparisons", "take it apart: several --where must all hold")

    def setting(self) -> Setting:
        token = self.peek()
        if token.kind != "word" or token.text.lower() in WORDS:
            self.fail("the name of a setting is wanted", "'beadwise settings' lists them")
        known = SETTINGS.rows().get(token.text)
        if known is None:
            near = closest(token.text)
            hint = f"did you mean {', '.join(near)}?" if near else "'beadwise settings' lists them"
            self.fail(f"there is no setting {token.text[:60]!r}", hint)
        self.take()
        return known

    def values(self, setting: Setting) -> tuple[Value, ...]:
        if self.peek().kind != "(":
            self.fail("'(' is wanted", "write in (A, B)")
        self.take()
        found = [self.value(setting, "=")]
        while self.peek().kind == ",":
            self.take()
            self.count(1)
            found.append(self.value(setting, "="))
        if self.peek().kind != ")":
            self.fail("',' or ')' is wanted", "write in (A, B)")
        self.take()
        return tuple(found)

    def phrase(self, setting: Setting) -> str:
        """The words of a value, up to a word or sign of the grammar."""
        words = []
        start = self.peek()
        while self.peek().kind == "text" or (
            self.peek().kind == "word" and not self.is_word("and") and not self.is_word("or")
        ):
            words.append(self.take().text)
        if not words:
            self.fail(f"a value of {setting.id} is wanted", _example(setting), start)
        return " ".join(words)

    def value(self, setting: Setting, op: str) -> Value:
        token = self.peek()
        text = self.phrase(setting)
        if setting.kind == "outline":
            self.fail(f"{setting.id} is an outline", f"ask 'present {setting.id}'", token)
        try:
            value = parse_phrase(text, setting)
        except BeadwiseError as error:
            self.fail(error.says, error.hint or _example(setting), token)
        if isinstance(value, (Share, tuple)):
            self.fail(f"{text[:60]!r} is no single value", "relations are followed: compare with a quantity", token)
        if setting.kind == "choice" and isinstance(value, str) and value not in setting.choices:
            from difflib import get_close_matches

            near = get_close_matches(value, setting.choices, 3, 0.4)
            hint = f"did you mean {', '.join(near)}?" if near else f"the choices are {', '.join(setting.choices)}"
            self.fail(f"{text[:60]!r} is no choice of {setting.id}", hint, token)
        if op not in ("=", "!=") and (not setting.is_number or isinstance(value, State)):
            self.fail(f"{op!r} compares numbers", "write = or !=", token)
        return value


def _example(setting: Setting) -> str:
    if setting.is_number:
        return f"write a number with its unit ({setting.unit})" if setting.kind != "count" else "write a whole number"
    if setting.kind == "flag":
        return "write yes or no"
    return f"the choices are {', '.join(setting.choices)}" if setting.choices else "write a text, in quotes if need be"


def _fail(text: str, at: int, says: str, hint: str) -> NoReturn:
    around = text[max(0, at - 20) : at + 30].strip()
    near = f" (near {around!r})" if around else ""
    raise UsageError(f"--where, character {at + 1}: {says}{near}", None, hint)


def settings_of(condition: Condition) -> list[str]:
    """The settings that a condition names, each once, in order."""
    found: dict[str, None] = {}
    waiting: list[Condition] = [condition]
    while waiting:
        part = waiting.pop()
        if isinstance(part, (Compare, Has)):
            found.setdefault(part.setting)
        elif isinstance(part, Not):
            waiting.append(part.part)
        else:
            waiting += reversed(part.parts)
    return list(found)


def together(conditions: Sequence[Condition]) -> Condition | None:
    """All of several conditions."""
    if not conditions:
        return None
    return conditions[0] if len(conditions) == 1 else All(tuple(conditions))
