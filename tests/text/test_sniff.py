"""Which syntaxes a text may be written in; and the registry that knows them."""

from __future__ import annotations

import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, UsageError
from convert.text.limits import LIMITS, check
from convert.text.registry import SYNTAXES, load, sniff
from convert.text.source import Source
from convert.text.tree import Tree
from tests.text.texts import encoded, odd_text, source

HERE = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
CORPUS = os.path.join(HERE, "corpus")

CASES = {
    "flat": ("width = 0.4 mm\nspeed = 40\n", ["ini"]),
    "colons": ("// a book\nwidth: 0,4\nspeed: 40 // fast\n", ["ini"]),
    "sections": ("[bed]\nsize = 220 x 220\n", ["ini"]),
    "section alone": ("[bed]\n", ["ini"]),
    "stray code in it": ("open = G21\nG90\nG28\nwidth = 0.4 mm\nspeed = 40\n", ["ini"]),
    "numbers only": ("width = 0.4\nspeed = 40\n", ["toml", "ini"]),
    "toml": ('# mine\nname = "x"\n[bed]\nsize = [220, 220]\n', ["toml", "ini"]),
    "toml, long text": ('code = """\nG28\nM84"""\nwidth = "0.4 mm"\n', ["toml"]),
    "toml, long list": ("sizes = [\n  1,\n  2,\n]\n", ["toml"]),
    "toml, tables of one kind": ("[[tool]]\nsize = 0.4\n", ["toml", "ini"]),
    "json": ('{"a": 1}', ["json"]),
    "json on lines": ('\n  {\n  "a": 1\n}', ["json"]),
    "json list": ('[\n {"a": 1}]', ["json"]),
    "xml": ('<?xml version="1.0"?>\n<card/>', ["xml"]),
    "csv": ("name,A,B\nwidth,0.4,0.5\n", ["csv"]),
    "csv with code": ('name;A\nwidth;0,4\ncode;"G28\nM104 S200\nG1 X1\n"\n', ["csv"]),
    "tabs": ("name\tA\nwidth\t0.4\n", ["csv"]),
    "program": ("; width = 0.4\nG28\nM104 S200\nG1 X1\n", ["comments"]),
    "program with words in parentheses": ("%\n(width=0.4)\nG28\n", ["comments"]),
    "comments alone": ("; width = 0.4\n; speed = 40\n", ["comments"]),
    "program with its settings at the end": ("G1 X1\n" * 500 + "; width = 0.4\n", ["comments"]),
    "program without settings": ("G28\nM104 S200\nG1 X1\n", []),
    "prose": ("A letter to the school.\n\nThe lamp is ready\nto be fetched.\n", []),
    "nothing": ("", []),
    "blank": (" \n\t\n", []),
    "binary": ("width = 1\n\0\0\0", []),
}


@pytest.mark.parametrize(("text", "syntaxes"), CASES.values(), ids=CASES)
def test_candidates(text: str, syntaxes: list[str]) -> None:
    assert sniff(source(text)) == syntaxes


@given(st.binary(max_size=60) | encoded(odd_text))
def test_any_input_has_known_candidates_or_none(data: bytes) -> None:
    assert set(sniff(Source.from_bytes(data))) <= set(SYNTAXES)


def test_what_the_corpus_holds_is_recognised() -> None:
    endings = {".ini": "ini", ".trug": "ini", ".csv": "csv", ".gcode": "comments"}
    seen = set()
    for folder, _, files in os.walk(CORPUS):
        for name in files:
            syntax = endings.get(os.path.splitext(name)[1])
            if syntax is None or name.startswith(("binary", "photo", "empty", "only-comments")):
                continue
            with open(os.path.join(folder, name), "rb") as file:
                assert syntax in sniff(Source.from_bytes(file.read(), name)), name
            seen.add(syntax)
    assert seen == {"ini", "csv", "comments"}


@pytest.mark.parametrize("name", SYNTAXES)
def test_each_syntax_has_a_reader(name: str) -> None:
    texts = {"json": "{}", "xml": "<a/>"}
    tree = load(name).parse(source(texts.get(name, "")), {})
    assert isinstance(tree, Tree)
    assert tree.syntax == name


def test_an_unknown_syntax_is_refused() -> None:
    with pytest.raises(UsageError, match="there is no syntax 'cards'"):
        load("cards")


def test_limits_have_reasons_and_are_inclusive() -> None:
    for name, limit in LIMITS.items():
        assert limit.reason
        check(name, limit.most)
        with pytest.raises(InputError, match=limit.counted):
            check(name, limit.most + 1, "a.ini")
