"""The tokenizer: nothing is lost, and words are what they should be."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.program import tokenize
from convert.program.words import decimal

CODE = st.text(alphabet='GMTXYZEFSNgx0123456789 .-+;()*/%[]{}#="_abc\t\\\n\u00a0\u2212', max_size=80)


@given(st.one_of(st.text(max_size=120), CODE))
@example("/N10 G1X-.5Y[1+[2*3]] (so) *12 ; {heat.bed}")
@example("READY A=1 B='two words' rest ; end")
@example("M117 Printing (1) now ; done")
def test_the_tokens_are_the_line(text: str) -> None:
    line = tokenize(text)
    assert "".join(token.text for token in line.tokens) == text
    at = 0
    for token in line.tokens:
        assert token.start == at
        assert token.text
        at += len(token.text)
    for word in line.words:
        assert text[word.start : word.end].upper().startswith(word.letter)


@given(CODE)
def test_words_and_named_arguments_lie_in_word_tokens(text: str) -> None:
    line = tokenize(text)
    spans = {(t.start, t.start + len(t.text)) for t in line.tokens if t.kind in ("word", "argument")}
    assert {(word.start, word.end) for word in line.words} == spans


@given(st.floats(-1e6, 1e6).map(lambda value: round(value, 4)))
def test_numbers_read_back(value: float) -> None:
    text = f"{value:.4f}"
    assert decimal(text) == value
    (word,) = tokenize(f"X{text}").words
    assert word.value == value


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("G1X10Y-2.5E.4", [("G", 1), ("X", 10), ("Y", -2.5), ("E", 0.4)]),
        ("g28 x y", [("G", 28), ("X", None), ("Y", None)]),
        ("M104 S{heat.nozzle}", [("M", 104), ("S", None)]),
        ("M104 S-{heat.nozzle}5", [("M", 104), ("S", None)]),
        ('M98 P"a b.txt" S1', [("M", 98), ("P", None), ("S", 1)]),
        ("G1 X[1+[2]] Y2", [("G", 1), ("X", None), ("Y", 2)]),
        ("G1 X#5 Y2", [("G", 1), ("X", None), ("Y", 2)]),
        ("G1 Xnan Yinf", [("G", 1), ("X", None), ("N", None), ("A", None), ("N", None), ("Y", None), ("I", None),
                          ("N", None), ("F", None)]),
        ("G1 X1e3", [("G", 1), ("X", 1), ("E", 3)]),
        ("", []),
        ("; G1 X5", []),
        ("(G1 X5)", []),
    ],
)  # fmt: skip
def test_words(text: str, words: list[tuple[str, float | None]]) -> None:
    assert [(word.letter, word.value) for word in tokenize(text).words] == words


def test_named_commands() -> None:
    line = tokenize("N4 ready_now BED=60 Nozzle={heat.nozzle} NOTE='a b' quick ; BED=0")
    assert (line.name, line.number) == ("READY_NOW", "4")
    assert [(w.letter, w.text, w.value) for w in line.words] == [
        ("BED", "60", 60.0), ("NOZZLE", "{heat.nozzle}", None), ("NOTE", "'a b'", None),
    ]  # fmt: skip
    assert [token.text for token in line.tokens if token.kind == "text"] == ["quick"]


def test_free_text() -> None:
    assert tokenize("M117 Layer G1 (2) ; M104").message == " Layer G1 (2) "
    assert tokenize("M0 Take it off").message == " Take it off"
    assert tokenize("M0 S5").message is None
    assert tokenize("M117").message == ""


def test_long_lines_take_time_in_proportion() -> None:
    # Each would take minutes if any pattern were quadratic.
    size = 40_000
    for unit in (
        "(",
        "[",
        "{",
        "X{",
        "X[",
        "G1",
        '"',
        'P"',
        " ",
        "X ",
        "-",
        "#",
        "*",
        "\\n",
        "\\",
        "{a",
        "A=",
        "G1\\n",
    ):
        line = tokenize(unit * (size // len(unit)))
        assert sum(len(token.text) for token in line.tokens) == size // len(unit) * len(unit)
