"""Cells of CSV text against the csv module of the Python standard library (docs.python.org/3/library/csv.html).

Both follow RFC 4180, and must agree on text outside it too: text behind a closing quote, quotes in a cell, open quotes.
"""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.text.csvscan import DELIMITERS, scan
from convert.text.csvtree import parse
from convert.text.tree import New
from tests.text.texts import content, source

delimiters = st.sampled_from(DELIMITERS)


def by_csv(text: str, delimiter: str) -> list[list[str]]:
    """Rows as the csv module reads them from a file that was opened with newline="", as its manual asks."""
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def by_us(text: str, delimiter: str) -> list[list[str]]:
    return [[cell[2] for cell in row] for row in scan(source(text), delimiter)]


@given(st.text(st.sampled_from('ab ,;\t""\n\r'), max_size=30), delimiters)
@example('"a"b,"c\r\nd"\r\n\r,', ",")
@example('a"b";"', ";")
def test_any_text_is_cut_alike(text: str, delimiter: str) -> None:
    assert by_us(text, delimiter) == by_csv(text, delimiter)


@given(
    st.lists(st.lists(st.text(st.sampled_from('ab ,;\t"\n\ré'), max_size=5), min_size=1, max_size=4), max_size=5),
    delimiters,
)
def test_what_the_csv_module_writes_is_read_back(rows: list[list[str]], delimiter: str) -> None:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter).writerows(rows)
    assert by_us(out.getvalue(), delimiter) == rows


@given(
    st.dictionaries(
        st.sampled_from(["x", "y z", 'q"', "a,b"]), st.text(st.sampled_from('ab ,;\t"\n\ré'), min_size=1), min_size=1
    )
)
def test_what_we_write_the_csv_module_reads(values: dict[str, str]) -> None:
    tree = parse(source("name,A\r\n")).extend(("B",), [New(key, value) for key, value in values.items()])
    rows = by_csv(tree.source.text, ",")
    assert rows[0] == ["name", "A", "B"]
    assert {row[0]: row[2] for row in rows[1:]} == values
    assert all(len(row) == 3 for row in rows)


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        # The examples of RFC 4180, section 2, rules 1 to 7.
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
    ],
)
def test_the_examples_of_the_standard(text: str, cells: list[list[str]]) -> None:
    assert by_us(text, ",") == cells


def test_the_one_difference_white_space_around_cells() -> None:
    """RFC 4180 counts it to the cell; people align columns with it, so it is no part of a value here."""
    assert by_csv("name, A\nx, 1 \n", ",") == [["name", " A"], ["x", " 1 "]]
    assert content(parse(source("name, A\nx, 1 \n"))) == [(("A",), "x", "1")]
