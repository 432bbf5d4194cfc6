"""Laws of the CSV tree, and what a person with a spreadsheet would expect of its edits."""

from __future__ import annotations

from functools import reduce

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError, UsageError
from convert.text.csvscan import sniff_delimiter
from convert.text.csvtree import CsvTree, parse
from convert.text.source import Source
from convert.text.tree import Addition, New
from tests.text.texts import check_reading, content, encoded, is_subsequence, odd_text, source

cells = st.sampled_from(
    ["", "", "0.4", "0,4", "width", "G28", " x ", '"a"', '"a,b;c"', '"1\n2"', '"q""q"', '"', 'a"b', '"a"b', "ä"]
)
rows = st.lists(cells, max_size=4)
names = st.sampled_from(["width", "speed", "heat 2", "x"])
filled = st.text(st.sampled_from('aB7 ,;\t"\n\ré.'), min_size=1, max_size=6)


@st.composite
def texts(draw: st.DrawFn) -> str:
    delimiter, end = draw(st.sampled_from([",", ";", "\t"])), draw(st.sampled_from(["\n", "\r\n", "\r"]))
    lines = [["name", *draw(st.lists(st.sampled_from(["A", "B", "C", "in", ""]), max_size=3))]]
    lines += [[draw(names), *row] for row in draw(st.lists(rows, max_size=4))] + draw(st.lists(rows, max_size=2))
    return end.join(delimiter.join(line) for line in lines) + draw(st.sampled_from(["", end, end + end]))


options = st.fixed_dictionaries(
    {},
    optional={
        "delimiter": st.sampled_from(["", ",", ";", "\t"]),
        "unit_column": st.sampled_from(["", "in", "nowhere"]),
        "note_columns": st.sampled_from([[], ["B"]]),
    },
)


def closed(tree: CsvTree) -> bool:
    """Whether no quote is left open: behind an open one nothing can be added."""
    return not any("never closed" in problem.says for problem in tree.problems)


@given(st.binary(max_size=80) | encoded(texts() | odd_text), options)
@example(b',a\n"x\n",1', {})
def test_reading(data: bytes, given_options: dict) -> None:
    check_reading(parse(Source.from_bytes(data), given_options), data)


@given(texts(), options, st.data(), filled)
def test_replacing_changes_nothing_else(text: str, given_options: dict, data: st.DataObject, value: str) -> None:
    tree = parse(source(text), {"delimiter": ",", **given_options})
    if not tree.rows or not closed(tree):
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    entry = tree.entry(index)
    after = tree.replace({index: New(entry.key, value)})
    assert after.source.text.startswith(text[: entry.start].rstrip(" \t"))
    assert after.source.text.endswith(text[entry.end :].lstrip(" \t"))
    wanted = content(tree)
    wanted[index] = (entry.path, entry.key, value)
    assert content(after) == wanted


@given(texts(), options, st.data())
def test_deleting_empties_one_cell(text: str, given_options: dict, data: st.DataObject) -> None:
    tree = parse(source(text), {"delimiter": ",", **given_options})
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    entry = tree.entry(index)
    after = tree.replace({index: None})
    assert after.source.text == text[: entry.start] + text[entry.end :]
    assert content(after) == content(tree)[:index] + content(tree)[index + 1 :]


@given(
    texts(),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["A", "B", "New"]),
    st.lists(st.tuples(names, filled), max_size=3),
)
def test_extending_fills_cells_rows_and_columns(
    text: str, delimiter: str, title: str, items: list[tuple[str, str]]
) -> None:
    tree = parse(source(text), {"delimiter": delimiter})
    if not closed(tree):
        return
    after = tree.extend((title,), [New(key, value) for key, value in items])
    assert is_subsequence(text, after.source.text)
    old, new = content(tree), content(after)
    assert sorted(new) == sorted(old + [((title,), key, value) for key, value in items])
    assert (title,) in [group.path for group in after.groups]


TABLE = "name;in;why;A;B\nwidth;mm;;0,4;0,5\nspeed;mm/s;old;40;\n"
OPTIONS = {"unit_column": "in", "note_columns": ["why"]}


@given(
    texts() | st.just(""),
    options,
    st.lists(
        st.tuples(st.sampled_from(["A", "B", "new", "newer"]), st.lists(names, max_size=3)),
        min_size=2,
        max_size=4,
        unique_by=lambda addition: addition[0],
    ),
    st.data(),
)
def test_groups_added_together_are_as_groups_added_in_turn(
    text: str, given_options: dict, wanted: list[tuple[str, list[str]]], data: st.DataObject
) -> None:
    tree = parse(source(text), {"delimiter": ",", **given_options})
    if not closed(tree):
        return
    units = st.sampled_from([None, None, "mm", "in"])
    known = [group.path for group in tree.groups]
    additions: list[Addition] = [
        ((title,), [New(key, str(at), unit=data.draw(units)) for at, key in enumerate(keys)], {})
        for title, keys in wanted
    ]
    additions.sort(key=lambda addition: addition[0] not in known)
    try:
        turns = reduce(lambda done, one: done.extend(*one), additions, tree)
    except OutputError:  # which of several mistakes is found first is open
        with pytest.raises(OutputError):
            tree.extend_all(additions)
    else:
        assert tree.extend_all(additions).source.text == turns.source.text


def test_what_is_read() -> None:
    tree = parse(source(TABLE), OPTIONS)
    assert [(entry.path, entry.key, entry.value, entry.unit) for entry in tree.entries] == [
        (("A",), "width", "0,4", "mm"),
        (("B",), "width", "0,5", "mm"),
        (("A",), "speed", "40", "mm/s"),
    ]
    assert [group.path for group in tree.groups] == [(), ("A",), ("B",)]
    assert str(tree.where(2)) == "a.txt:3:16"


@pytest.mark.parametrize(
    ("path", "new", "after"),
    [
        (("B",), New("speed", "50"), TABLE.replace("old;40;", "old;40;50")),
        (("B",), New("heat", "210", unit="Cel", comment="warm"), TABLE + "heat;Cel;warm;;210\n"),
        (("A",), New("speed", "50"), TABLE + "speed;;;50;\n"),
        (("C",), New("speed", "50"), "name;in;why;A;B;C\nwidth;mm;;0,4;0,5;\nspeed;mm/s;old;40;;50\n"),
        (("B",), New("code", 'G28\n; "home"'), TABLE + 'code;;;;"G28\n; ""home"""\n'),
    ],
)
def test_how_an_entry_is_added(path: tuple[str, ...], new: New, after: str) -> None:
    tree = parse(source(TABLE), OPTIONS).extend(path, [new])
    assert tree.source.text == after
    entry = next(entry for entry in tree.entries if (entry.path, entry.value) == (path, new.value))
    assert entry.key == new.key
    assert entry.unit == new.unit or new.unit is None


def test_ragged_rows_are_kept_and_filled() -> None:
    tree = parse(source("name,A\r\nwidth\r\nspeed,1,stray\r\n\r\n"))
    assert content(tree) == [(("A",), "speed", "1")]
    after = tree.extend(("A",), [New("width", "0.4"), New("heat", "9")])
    assert after.source.text == "name,A\r\nwidth,0.4\r\nspeed,1,stray\r\nheat,9\r\n\r\n"
    wider = tree.extend(("B",), [New("width", "0.4")])
    assert wider.source.text == "name,A,,B\r\nwidth,,,0.4\r\nspeed,1,stray,\r\n\r\n"


def test_a_table_is_begun_in_an_empty_file() -> None:
    tree = parse(source(""), {"delimiter": ";", "unit_column": "in"}).extend(("A",), [New("width", "0,4", unit="mm")])
    assert tree.source.text == "setting;in;A\nwidth;mm;0,4\n"
    assert tree.entry(0).unit == "mm"


def test_quotes_stay_and_white_space_around_values_too() -> None:
    tree = parse(source('name,A\nx,"1"\ny,  2 \n'))
    after = tree.replace({0: New("x", "3"), 1: New("y", "4")})
    assert after.source.text == 'name,A\nx,"3"\ny,  4 \n'


def test_the_unit_of_a_row_changes_with_all_its_values() -> None:
    tree = parse(source(TABLE), OPTIONS)
    both = tree.replace({0: New("width", "400", unit="um"), 1: New("width", "500", unit="um")})
    assert "width;um;;400;500\n" in both.source.text
    with pytest.raises(OutputError, match="'width' is in the unit mm, and um is asked for"):
        tree.replace({0: New("width", "400", unit="um")})
    with pytest.raises(OutputError, match="'speed' is in the unit mm/s, and m/s is asked for"):
        tree.extend(("B",), [New("speed", "1", unit="m/s")])


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("a,b\n1,2\n", ","),
        ("a;b\n0,1;0,2\n", ";"),
        ("a\tb\n1;2\t3,4\n", "\t"),
        ("a;b, c\nx;0,2\ny;0,3\n", ";"),
        ('"a,b,c";d\nx;1\n', ";"),
        ("a\nb\n", ","),
        ("", ","),
        ('k;A\ncode;"G1 X1, Y2\nG1 X2, Y3\n"\n', ";"),
    ],
)
def test_the_delimiter_is_recognised(text: str, delimiter: str) -> None:
    assert sniff_delimiter(source(text)) == delimiter


def test_problems() -> None:
    tree = parse(source('name,A,A,\nx,1,2,3,4\n,5\nx,6\ny,"7'))
    assert [str(problem) for problem in tree.problems] == [
        "a.txt:4:3: 'x' is written 3 times, on lines 2, 2, 4; keep one of them",
        "a.txt:1:8: the title 'A' is there twice; rename one of the columns",
        "a.txt:2:7: this cell stands in a column without a title; give the column a title",
        "a.txt:2:9: this cell stands in a column without a title; give the column a title",
        "a.txt:3:2: this row has no name; name it or empty it",
        "a.txt:5:3: this quote is never closed; write a quote at the end of the cell",
    ]
    (problem,) = parse(source("name,A\nx,1\n"), {"delimiter": ";"}).problems
    assert str(problem).startswith("a.txt:1:1: the delimiter ';' cuts nothing; it seems to be ','")


@pytest.mark.parametrize(
    ("path", "new", "says"),
    [
        ((), New("x", "1"), "no place for the group ''"),
        (("A", "B"), New("x", "1"), "no place for the group 'A/B'"),
        (("A",), New("x", ""), "would not read back"),
        (("A",), New("", "1"), "would not read back"),
        (("A",), New("x", ("1", "2")), "list 'x'"),
    ],
)
def test_what_does_not_fit(path: tuple[str, ...], new: New, says: str) -> None:
    with pytest.raises(OutputError, match=says):
        parse(source(TABLE), OPTIONS).extend(path, [new])


@pytest.mark.parametrize("text", ["", "name,A\nx,1\n"])
def test_a_unit_needs_a_column(text: str) -> None:
    with pytest.raises(OutputError, match="no column for the unit 'mm'"):
        parse(source(text)).extend(("A",), [New("y", "1", unit="mm")])


def test_the_column_of_names_must_be_there() -> None:
    tree = parse(source("A,name\n1,x\n"), {"key_column": "name"})
    assert content(tree) == [(("A",), "x", "1")]
    with pytest.raises(InputError, match="no column has the title 'key'"):
        parse(source("A,name\n1,x\n"), {"key_column": "key"})


@pytest.mark.parametrize("given_options", [{"delimiter": "|"}, {"note_columns": "why"}, {"units": "in"}])
def test_impossible_options_are_refused(given_options: dict) -> None:
    with pytest.raises(UsageError):
        parse(source("a,b\n"), given_options)


def test_too_many_columns_are_refused() -> None:
    with pytest.raises(InputError, match="columns are more than"):
        parse(source("," * 200_000))


@pytest.mark.parametrize(
    "text",
    [
        " " * 200_000,
        '"' * 200_000,
        '"' * 200_001,
        "name,A\n" + 'x,"' + '""' * 100_000,
        "name,A\n" + "x\n" * 50_000,
        "name,A\n" + "x,1\n" * 50_000,
        "name," + ",".join(f"c{at}" for at in range(4_000)) + "\nx" + ",1" * 4_000,
        "name,A\n" + 'x,"1\n2",' * 2_000,
        "\r" * 200_000,
        "name,A\n" + "x" * 200_000 + ",1\n" * 2,
    ],
    ids=lambda text: repr(text[:12]),
)
def test_work_grows_with_the_text_only(text: str) -> None:
    """Quadratic work on any of these would take minutes."""
    tree = parse(source(text))
    assert "".join(tree.pieces()) == text
    assert len(tree.problems) >= 0
    if closed(tree):
        assert len(tree.extend(("new",), [New("x", "1")]).rows) == len(tree.rows) + 1
    if tree.rows:
        assert len(tree.replace({0: None}).rows) == len(tree.rows) - 1
