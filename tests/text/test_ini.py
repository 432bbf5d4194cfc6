"""Laws of the INI tree, and the examples that show what each option means."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError, UsageError
from convert.text.iniread import Reading
from convert.text.initree import parse
from convert.text.source import Source
from convert.text.tree import Addition, New
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

blanks = st.sampled_from(["", "", "", " ", "  ", "\t"])
marks = st.sampled_from(["=", "=", " = ", " = ", ":", ": ", "  =\t"])
pair_lines = st.tuples(blanks, words, marks, values, blanks).map("".join)
other_lines = st.sampled_from(
    ["", " ", "; note = 1", "#", "  // x", "[bed]", "[ a ] ; c", "[x]y]", "[", "= 5", "stray", "\\"]
)
lines = st.one_of(pair_lines, pair_lines, pair_lines, other_lines, odd_text)
plain_lines = st.tuples(words, st.just(" = "), plain_values).map("".join)


@st.composite
def texts(draw: st.DrawFn) -> str:
    mixed = st.one_of(plain_lines, plain_lines, other_lines)
    body = draw(st.lists(lines, max_size=8) | st.lists(plain_lines, max_size=8) | st.lists(mixed, max_size=8))
    end = draw(st.sampled_from([None, "\n", "\r\n"]))
    text = "".join(line + (end or draw(ends)) for line in body)
    return text + draw(st.sampled_from(["", "", "last = 1", "stray"]))


options = st.fixed_dictionaries(
    {},
    optional={
        "separators": st.sampled_from([["="], [":"], ["=", ":"], ["->", "="], [" "], ["=", ":", ">"]]),
        "comments": st.sampled_from([["#"], [";", "#", "//"], []]),
        "inline_comments": st.booleans(),
        "continuation": st.sampled_from(["none", "indent", "backslash"]),
        "sections": st.booleans(),
    },
)


@given(st.binary(max_size=80) | encoded(texts()), options)
@example(b"a = 1\\", {"continuation": "backslash"})
@example(b"[a=b]\nc = d", {})
@example(b"x=\rx\ny=\r\n", {})
@example(b"x\r=\r\nx=\r\n", {})
def test_reading(data: bytes, given_options: dict) -> None:
    check_reading(parse(Source.from_bytes(data), given_options), data)


@given(st.text(max_size=60) | texts())
def test_all_ways_of_reading_agree(text: str) -> None:
    """At once, line by line, and with care: three readers of one syntax."""
    tree = parse(source(text))
    for how in ("_read_lines", "_read_with_care"):
        other = Reading(tree.source, tree.options)
        other._clear()
        more = (["=", ":"],) if how == "_read_lines" else ()
        getattr(other, how)(tree.source.lines(), *more)
        assert (other.rows, other.headers, other.strays) == (tree.rows, tree._headers, tree._strays)


@given(texts(), options, st.data(), one_line | plain_values)
def test_replacing_changes_nothing_else(text: str, given_options: dict, data: st.DataObject, value: str) -> None:
    tree = parse(source(text), given_options)
    text = tree.source.text
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    entry = tree.entry(index)
    try:
        after = tree.replace({index: New(entry.key, value)})
    except OutputError:
        assert not plain(value)
        return
    assert after.source.text.startswith(text[: entry.start])
    assert after.source.text.endswith(text[entry.end :])
    assert (
        after.source.text[entry.start :][: len(after.source.text) - len(text) + entry.end - entry.start].strip()
        == value.strip()
    )
    wanted = content(tree)
    wanted[index] = (entry.path, entry.key, value)
    assert content(after) == wanted


def plain(value: str) -> bool:
    return bool(value) and set(value) <= set("aB7_.,%é-+")


@given(texts(), options, st.data())
def test_deleting_takes_one_entry_away(text: str, given_options: dict, data: st.DataObject) -> None:
    tree = parse(source(text), given_options)
    text = tree.source.text
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    after = tree.replace({index: None})
    assert content(after) == content(tree)[:index] + content(tree)[index + 1 :]
    assert is_inserted(after.source.text, text)


@given(
    texts(),
    st.sampled_from([(), ("bed",), ("new one",)]),
    st.lists(
        st.tuples(st.sampled_from(["p", "q r", "speed"]), plain_values, st.sampled_from(["", "why\nso"])), max_size=3
    ),
)
def test_extending_adds_readable_entries(text: str, path: tuple[str, ...], items: list[tuple[str, str, str]]) -> None:
    tree = parse(source(text))
    text = tree.source.text
    after = tree.extend(path, [New(key, value, comment=comment) for key, value, comment in items])
    assert is_inserted(text, after.source.text)
    rows = content(after)
    for row in content(tree):
        assert row in rows
    added = [row for row in rows if row[0] == path][-len(items) or len(rows) :]
    assert added == [(path, key, value) for key, value, _ in items]
    assert path in [group.path for group in after.groups]


@pytest.mark.parametrize(
    ("text", "given_options", "rows"),
    [
        ("a=1\nb: 2", {}, [((), "a", "1"), ((), "b", "2")]),
        ("a: b = c", {}, [((), "a", "b = c")]),
        ("a: b = c", {"separators": ["="]}, [((), "a: b", "c")]),
        ("[s]\na = 1\n[ t ] # c\nb = 2", {}, [(("s",), "a", "1"), (("t",), "b", "2")]),
        ("[s]\na = 1", {"sections": False}, [((), "a", "1")]),
        ("a = 1 ; c", {}, [((), "a", "1 ; c")]),
        ("a = 1 ; c", {"inline_comments": True}, [((), "a", "1")]),
        ("a = 1;c ; d", {"inline_comments": True}, [((), "a", "1;c")]),
        ("a = ; c", {"inline_comments": True}, [((), "a", "")]),
        ("a = 1\n  2\n\n # no\n  3\nb = 4", {"continuation": "indent"}, [((), "a", "1\n2\n\n3"), ((), "b", "4")]),
        ("  a = 1\n  b = 2\n   c = 3", {"continuation": "indent"}, [((), "a", "1"), ((), "b", "2\nc = 3")]),
        ("a =\n  G28\n  M84", {"continuation": "indent"}, [((), "a", "\nG28\nM84")]),
        ("a = 1 \\\n   2\\\\\nb = 3", {"continuation": "backslash"}, [((), "a", "1 2\\\\"), ((), "b", "3")]),
        ("a = 1\\\n", {"continuation": "backslash"}, [((), "a", "1")]),
        ("a = 1\rb = 2\r\nc = 3\n", {}, [((), "a", "1"), ((), "b", "2"), ((), "c", "3")]),
        ("# c = d\n// e = f\n; g = h\n", {}, []),
        ("\ta\t=\t1\t\n", {}, [((), "a", "1")]),
        ("a = \xa01\xa0", {}, [((), "a", "\xa01\xa0")]),
        ("a 1\n", {"separators": [" "]}, [((), "a", "1")]),
        ("= 1\n:\n", {}, []),
        ("a = 'x # y'\n", {}, [((), "a", "'x # y'")]),
    ],
)
def test_what_is_read(text: str, given_options: dict, rows: list) -> None:
    assert content(parse(source(text), given_options)) == rows


@pytest.mark.parametrize(
    ("text", "given_options", "value", "after"),
    [
        ("a=1\n", {}, "2", "a=2\n"),
        ("a = \n", {}, "2", "a = 2\n"),
        ("a =\n", {}, "2", "a = 2\n"),
        ("a=\n", {}, "2", "a=2\n"),
        ("a = 1 ; c\n", {"inline_comments": True}, "22", "a = 22 ; c\n"),
        ("a = ; c\n", {"inline_comments": True}, "22", "a = 22 ; c\n"),
        ("a = 1\n  2\nb = 3\n", {"continuation": "indent"}, "4", "a = 4\nb = 3\n"),
        ("a = 1\r\nb = 3\r\n", {"continuation": "indent"}, "4\n5\n\n6", "a = 4\r\n    5\r\n\r\n    6\r\nb = 3\r\n"),
        ("a = 1\\\n  2\nb = 3\n", {"continuation": "backslash"}, "4", "a = 4\nb = 3\n"),
    ],
)
def test_how_a_value_is_put_in(text: str, given_options: dict, value: str, after: str) -> None:
    tree = parse(source(text), given_options).replace({0: New("a", value)})
    assert tree.source.text == after
    assert tree.rows[0][2] == value


@pytest.mark.parametrize(
    ("text", "path", "after"),
    [
        ("", (), "p = 1\n"),
        ("a=1", (), "a=1\np=1"),
        ("\ta  :  1\r\n[s]\r\n", (), "\ta  :  1\r\n\tp  :  1\r\n[s]\r\n"),
        ("width  = 1\nb      = 2\n", (), "width  = 1\nb      = 2\np      = 1\n"),
        ("# c\n[s]\nb = 2\n", (), "# c\np = 1\n[s]\nb = 2\n"),
        ("[s]\n\n[t]\nx=1\n", ("s",), "[s]\np=1\n\n[t]\nx=1\n"),
        ("[s]\na=1\n[t]\n[s]\nb=1\n# end\n", ("s",), "[s]\na=1\n[t]\n[s]\nb=1\np=1\n# end\n"),
        ("a = 1\n", ("t",), "a = 1\n\n[t]\np = 1\n"),
        ("a =\n", (), "a =\np = 1\n"),
    ],
)
def test_how_an_entry_is_added(text: str, path: tuple[str, ...], after: str) -> None:
    assert parse(source(text)).extend(path, [New("p", "1")]).source.text == after


@given(texts(), st.permutations([(), ("bed",), ("new",), ("newer",)]))
def test_groups_added_together_are_as_groups_added_in_turn(text: str, paths: list[tuple[str, ...]]) -> None:
    tree = parse(source(text))
    additions: list[Addition] = [(path, [New("p", str(at))], {}) for at, path in enumerate(paths)]
    once, turns = tree.extend_all(additions), tree
    for addition in additions:
        turns = turns.extend(*addition)
    assert sorted(content(once)) == sorted(content(turns))


def test_the_file_s_own_comment_mark_is_used() -> None:
    tree = parse(source("# head\na = 1\n")).extend((), [New("b", "2", comment="one\ntwo")])
    assert tree.source.text == "# head\na = 1\n# one\n# two\nb = 2\n"


def test_several_changes_at_once() -> None:
    tree = parse(source("a = 1\nb = 2\nc = 3\nd = 4\n"))
    assert tree.replace({1: None, 0: New("a", "10"), 2: None}).source.text == "a = 10\nd = 4\n"


def test_an_edit_keeps_encoding_and_mark() -> None:
    data = "\ufeffbreite = 0,4 µm\r\n".encode("utf-16-le")
    tree = parse(Source.from_bytes(data)).replace({0: New("breite", "0,5 µm")})
    assert tree.render() == "\ufeffbreite = 0,5 µm\r\n".encode("utf-16-le")


@pytest.mark.parametrize(
    ("text", "new", "says"),
    [
        ("a = 1\n", New("a", "x\ny"), "has a line break"),
        ("a = 1\n", New("a", " x"), "would not read back"),
        ("a = 1\n", New("a", ("1", "2")), "list 'a' cannot be written"),
        ("a = 1\n", New("a", "1", unit="mm"), "no place for the unit 'mm'"),
    ],
)
def test_values_that_do_not_fit(text: str, new: New, says: str) -> None:
    with pytest.raises(OutputError, match=says):
        parse(source(text)).replace({0: new})


@pytest.mark.parametrize("key", ["", "a=b", "#a", " a", "a\nb"])
def test_names_that_do_not_fit(key: str) -> None:
    with pytest.raises(OutputError):
        parse(source("x = 1\n")).extend((), [New(key, "1")])


@pytest.mark.parametrize("path", [("a", "b"), ("a\nb",), (" a",), ("a] # b]",)])
def test_groups_that_do_not_fit(path: tuple[str, ...]) -> None:
    with pytest.raises(OutputError):
        parse(source("x = 1\n")).extend(path, [New("a", "1")])


def test_only_entries_that_exist_are_changed() -> None:
    for index in (-1, 1):
        with pytest.raises(IndexError):
            parse(source("x = 1\n")).replace({index: None})


def test_problems_are_reported_in_order() -> None:
    tree = parse(source("a = 1\nwhat\n[s]\na = 1\na = 2\n[s]\n"))
    assert [str(problem) for problem in tree.problems] == [
        "a.txt:2:1: this line is neither a setting nor a comment; write '=' or ':' after a name",
        "a.txt:5:5: 'a' is written 2 times, on lines 4, 5; keep one of them",
        "a.txt:6:1: the section 's' was there already, on line 3; join the two",
    ]


@pytest.mark.parametrize(
    "given_options",
    [
        {"separator": ["="]},
        {"separators": "="},
        {"separators": []},
        {"separators": [""]},
        {"comments": [1]},
        {"continuation": "dots"},
        {"sections": 1},
    ],
)
def test_impossible_options_are_refused(given_options: dict) -> None:
    with pytest.raises(UsageError):
        parse(source("a = 1\n"), given_options)


def test_a_file_beyond_the_limit_is_refused() -> None:
    with pytest.raises(InputError, match="are more than the"):
        parse(source("a=1\n" * 500_001))


@pytest.mark.parametrize(
    "given_options", [{}, {"inline_comments": True, "continuation": "indent"}, {"continuation": "backslash"}]
)
@pytest.mark.parametrize(
    "text",
    [
        " " * 200_000,
        "a = " + " " * 200_000 + "x",
        "stray\n" * 100_000,
        "a\n\n" * 50_000,
        "[" + "]" * 200_000,
        "[x]\n" * 50_000,
        "a = 1\n" + "   b\n" * 100_000,
        "a = 1\n" + "\n" * 200_000,
        "a = x\\\n" * 50_000,
        "a = " + "\\" * 200_000,
        "a = " + ";" * 200_000,
        "a = " + " ;" * 100_000,
        "\r" * 200_000,
        "=" * 200_000,
        ("# x\n" * 300 + "a = 1\n") * 200,
    ],
    ids=lambda text: repr(text[:8]) if isinstance(text, str) else "",
)
def test_work_grows_with_the_text_only(text: str, given_options: dict) -> None:
    """Quadratic work on any of these would take minutes."""
    tree = parse(source(text), given_options)
    assert "".join(tree.pieces()) == text
    assert len(tree.groups) >= 1
    assert len(tree.problems) >= 0
    if tree.rows:
        assert len(tree.replace({0: None}).rows) == len(tree.rows) - 1
