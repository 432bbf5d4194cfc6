"""Laws of the tree of comment lines: the program itself is never touched."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import OutputError, UsageError
from convert.text.commentstree import parse
from convert.text.source import Source
from convert.text.tree import New
from tests.text.texts import (
    check_reading,
    content,
    encoded,
    ends,
    is_inserted,
    odd_text,
    one_line,
    plain_values,
    source,
    values,
    words,
)

commands = st.sampled_from(["G1 X10 Y5 E0.2", "M104 S200 ; heat = on", "(begin) G28", "", "N10 G1 X1 (a=b)", "%"])
openings = st.sampled_from(["; ", ";", ";; ", "  ;\t"])
marks = st.sampled_from(["=", " = ", ":", ": "])
semicolons = st.tuples(openings, words, marks, values).map("".join)
parentheses = st.tuples(words, marks, values).map(lambda parts: f"({''.join(parts)})")
lines = st.one_of(
    commands, commands, semicolons, semicolons, parentheses, odd_text, st.sampled_from(["; open", "; shut"])
)


@st.composite
def texts(draw: st.DrawFn) -> str:
    return "".join(line + draw(ends) for line in draw(st.lists(lines, max_size=8))) + draw(
        st.sampled_from(["", "; z = 1"])
    )


options = st.fixed_dictionaries(
    {},
    optional={
        "mark": st.sampled_from(["", ";", "("]),
        "separators": st.sampled_from([["="], [":"], ["=", ":"]]),
        "begin": st.sampled_from(["", "; open"]),
        "end": st.sampled_from(["", "shut"]),
    },
)


@given(st.binary(max_size=80) | encoded(texts()), options)
def test_reading(data: bytes, given_options: dict) -> None:
    check_reading(parse(Source.from_bytes(data), given_options), data)


@given(texts(), options, st.data(), one_line | plain_values)
def test_replacing_changes_nothing_else(text: str, given_options: dict, data: st.DataObject, value: str) -> None:
    tree = parse(source(text), given_options)
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    entry = tree.entry(index)
    try:
        after = tree.replace({index: New(entry.key, value)})
    except OutputError:
        assert not value or not set(value) <= set("aB7_.,%é-+")
        return
    assert after.source.text.startswith(text[: entry.start])
    assert after.source.text.endswith(text[entry.end :])
    wanted = content(tree)
    wanted[index] = ((), entry.key, value)
    assert content(after) == wanted


@given(texts(), options, st.data())
def test_deleting_takes_one_line_away(text: str, given_options: dict, data: st.DataObject) -> None:
    tree = parse(source(text), given_options)
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    after = tree.replace({index: None})
    assert content(after) == content(tree)[:index] + content(tree)[index + 1 :]
    assert is_inserted(after.source.text, text)


@given(texts(), options, st.lists(st.tuples(st.sampled_from(["p", "q r"]), plain_values), min_size=1, max_size=3))
def test_extending_adds_readable_lines(text: str, given_options: dict, items: list[tuple[str, str]]) -> None:
    tree = parse(source(text), given_options)
    after = tree.extend((), [New(key, value) for key, value in items])
    assert is_inserted(text, after.source.text)
    old, new = content(tree), content(after)
    assert all(row in new for row in old)
    assert [row[1:] for row in new if row not in old or row[1:] in items][-len(items) :] == items


@pytest.mark.parametrize(
    ("text", "given_options", "rows"),
    [
        ("; a = 1\n;b:2\n(c=3)\n  ;d = 4\n", {}, [("a", "1"), ("b", "2"), ("c", "3"), ("d", "4")]),
        ("; a = 1\n(c=3)\n", {"mark": "("}, [("c", "3")]),
        ("; a = 1\n(c=3)\n", {"mark": ";"}, [("a", "1")]),
        ("(a=1) G1\n(b=(2))\n(c=3\nG1 (d=4)\n", {}, []),
        ("G1 X1 ; a = 1\nM117 b = 2\n", {}, []),
        (";; a = 1\n;\n; plain words\n", {}, [("a", "1")]),
        (
            "; a = 1\n; open\n; b = 2\nG1\n; c = 3\n; shut\n; d = 4\n",
            {"begin": "open"},
            [("b", "2"), ("c", "3"), ("d", "4")],
        ),
        ("; a = 1\n; open\n; b = 2\n; shut\n; d = 4\n", {"begin": "; open", "end": "shut"}, [("b", "2")]),
        ("; a = 1\n; shut\n; d = 4\n", {"end": "shut"}, [("a", "1")]),
        ("; a = 1\r; b = 2\r\n; c = 3", {}, [("a", "1"), ("b", "2"), ("c", "3")]),
    ],
)
def test_what_is_read(text: str, given_options: dict, rows: list) -> None:
    assert [row[1:3] for row in parse(source(text), given_options).rows] == rows


@pytest.mark.parametrize(
    ("text", "given_options", "after"),
    [
        ("G1\n; a = 1\nM84\n", {}, "G1\n; a = 1\n; p = 9\nM84\n"),
        ("(a=1)\nM84\n", {}, "(a=1)\n(p=9)\nM84\n"),
        (";a:1", {}, ";a:1\n;p:9"),
        ("G1\r\n", {}, "G1\r\n; p = 9\r\n"),
        ("; open\r\nM84\r\n", {"begin": "open"}, "; open\r\n; p = 9\r\nM84\r\n"),
        ("G1\n", {"mark": "("}, "G1\n(p = 9)\n"),
        ("; open\nG1\n", {"begin": "open"}, "; open\n; p = 9\nG1\n"),
        ("G1\n; shut\nM84\n", {"end": "shut"}, "G1\n; p = 9\n; shut\nM84\n"),
        ("G1\n", {"begin": "open", "end": "shut"}, "G1\n; open\n; p = 9\n; shut\n"),
    ],
)
def test_how_a_line_is_added(text: str, given_options: dict, after: str) -> None:
    assert parse(source(text), given_options).extend((), [New("p", "9")]).source.text == after


@pytest.mark.parametrize(
    ("text", "new", "says"),
    [
        ("; a = 1\n", New("a", "x\ny"), "line break"),
        ("(a=1)\n", New("a", "x)"), "would not read back"),
        ("; a = 1\n", New("a", ("1",)), "list 'a'"),
        ("; a = 1\n", New("a", "1", unit="mm"), "no place for the unit"),
    ],
)
def test_values_that_do_not_fit(text: str, new: New, says: str) -> None:
    with pytest.raises(OutputError, match=says):
        parse(source(text)).replace({0: new})


def test_groups_are_refused() -> None:
    with pytest.raises(OutputError, match="no groups"):
        parse(source("; a = 1\n")).extend(("s",), [New("a", "1")])


def test_problems() -> None:
    tree = parse(source("; open\n; a = 1\n; a = 2\n; cut o"), {"begin": "open", "end": "shut"})
    assert [str(problem) for problem in tree.problems] == [
        "a.txt:3:7: 'a' is written 2 times, on lines 2, 3; keep one of them",
        "a.txt:4:2: this comment among the settings is no setting; write '=' or ':' after a name",
        "a.txt:4:8: the comment line 'shut', which ends the settings, is missing; check that the file is complete",
    ]
    (problem,) = parse(source("G1\n"), {"begin": "open"}).problems
    assert "there is no comment line 'open'" in str(problem)


@pytest.mark.parametrize("given_options", [{"mark": "#"}, {"separators": []}, {"start": "x"}])
def test_impossible_options_are_refused(given_options: dict) -> None:
    with pytest.raises(UsageError):
        parse(source("; a = 1\n"), given_options)


@pytest.mark.parametrize(
    "text",
    [
        ";" * 200_000,
        "; " * 100_000,
        "(" * 200_000,
        "(a=1" + ")" * 200_000,
        "G1 X1 " + "(;" * 100_000,
        "; a = 1\n" * 50_000,
        "; a = 1\r" * 50_000,
        "\n" * 200_000,
        " " * 200_000 + ";",
        "G1 X1\n" * 100_000 + "; a = 1",
    ],
    ids=lambda text: repr(text[:8]),
)
def test_work_grows_with_the_text_only(text: str) -> None:
    """Quadratic work on any of these would take minutes."""
    tree = parse(source(text))
    assert "".join(tree.pieces()) == text
    assert len(tree.problems) >= 0
    if tree.rows:
        assert len(tree.replace({0: None}).rows) == len(tree.rows) - 1
