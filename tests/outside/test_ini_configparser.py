"""INI text against configparser of the Python standard library (docs.python.org/3/library/configparser.html).

Where both have the same rules, the same names and values must come out. The rules that differ, each with a test or a
setting below:

- names: configparser puts them in lower case (switched off here) and fills in `%(name)s` (switched off);
- pairs above the first section: a mistake for configparser, the root group for us (a section is put on top);
- repeated names and sections: a mistake for configparser (strict is off here: the last one counts), all kept by us;
- a line without a separator: a mistake for configparser, kept and reported by us;
- continuation: on by default in configparser, and blank lines count; off by default with us;
- section headers: configparser takes all up to the last bracket of the line as the name and overlooks what follows it;
  we take what stands before the first bracket that only a comment follows;
- a mark of a comment behind a value: configparser has none by default, nor have we;
- white space: configparser strips all that Unicode calls so, we only that of ASCII;
- a group `DEFAULT` is inherited by all others in configparser (another name is set here).
"""

from __future__ import annotations

import configparser
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.text.initree import parse
from tests.text.texts import source

names = st.text(st.sampled_from("abXY_1-. é"), min_size=1, max_size=8).map(str.strip).filter(bool)
values = st.text(st.sampled_from("abX 01.,=:%[]\"'é"), max_size=12).map(str.strip)
blanks = st.sampled_from(["", "", " ", "\t"])
marks = st.sampled_from(["=", " = ", ":", ": ", " =\t"])
pairs = st.tuples(names, marks, values, blanks).map("".join)
headers = names.map(lambda name: f"[{name}]")
comments = st.sampled_from(["", "# a = 1", "; b = 2", "  # c", "\t"])
inline = st.sampled_from(["", "", " ; d = 1", "\t# x", ";e"])


def by_configparser(text: str, **rules: Any) -> list[tuple[str, str, str]]:
    """Section, name and value, of names that are written twice the last one."""
    parser = configparser.RawConfigParser(strict=False, default_section="\0", **rules)
    parser.optionxform = lambda optionstr: optionstr  # type: ignore[method-assign]
    parser.read_string("[\N{WHITE STAR}]\n" + text)
    return sorted((section, key, value) for section in parser.sections() for key, value in parser.items(section))


def by_us(text: str, **options: Any) -> list[tuple[str, str, str]]:
    """The same from our tree."""
    tree = parse(source(text), {"comments": ["#", ";"], **options})
    found = {((row[0] or ("\N{WHITE STAR}",))[0], row[1]): row[2] for row in tree.rows}
    return sorted((section, key, value) for (section, key), value in found.items())


@given(st.lists(st.one_of(pairs, pairs, headers, comments), max_size=10).map("\n".join))
@example("[a]\nb = 1\n[a]\nb = 2\nc: d = e\n")
def test_pairs_and_sections(text: str) -> None:
    assert by_us(text) == by_configparser(text)


@given(st.lists(st.one_of(st.tuples(pairs, inline).map("".join), headers, comments), max_size=8).map("\n".join))
def test_comments_behind_values(text: str) -> None:
    ours = by_us(text, inline_comments=True)
    assert ours == by_configparser(text, inline_comment_prefixes=("#", ";"))


@given(
    st.lists(
        st.one_of(
            pairs,
            headers,
            st.tuples(st.sampled_from([" ", "  ", "    ", "\t"]), names).map("".join),
            st.tuples(st.sampled_from([" ", "  "]), pairs).map("".join),
            comments,
        ),
        max_size=10,
    ).map(lambda lines: "\n".join(["first = 1", *lines]))
)
@example("first = 1\n  two\n\n    # no\n  three\nfour =\n  five\n")
@example("first = 1\n[s]\n  indented = 1\n  too = 2\n   deeper\n")
def test_indented_lines_continue(text: str) -> None:
    try:
        theirs = by_configparser(text)
    except configparser.ParsingError:
        return  # an indented line directly below a section header, which we report as a stray line
    assert by_us(text, continuation="indent") == theirs


def test_without_comments_in_the_middle_of_a_line_nothing_is_cut() -> None:
    text = "code = G28 ; home # all\n"
    assert by_us(text) == by_configparser(text) == [("\N{WHITE STAR}", "code", "G28 ; home # all")]


@pytest.mark.parametrize(
    ("text", "theirs", "ours"),
    [
        ("[a] b]\nx = 1\n", [("a] b", "x", "1")], [("a] b", "x", "1")]),
        ("[a] ; b]\nx = 1\n", [("a] ; b", "x", "1")], [("a", "x", "1")]),
        ("x = \xa01\n", [("\N{WHITE STAR}", "x", "1")], [("\N{WHITE STAR}", "x", "\xa01")]),
    ],
)
def test_where_the_two_differ(text: str, theirs: list, ours: list) -> None:
    assert by_configparser(text) == theirs
    assert by_us(text) == ours


@pytest.mark.parametrize("text", ["stray\n", "= 1\n"])
def test_what_configparser_refuses_is_reported(text: str) -> None:
    with pytest.raises(configparser.ParsingError):
        by_configparser(text)
    (problem,) = parse(source(text)).problems
    assert "neither a setting nor a comment" in problem.says
