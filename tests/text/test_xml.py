"""Laws and refusals of the XML tree."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError, UsageError
from convert.text.source import Source
from convert.text.tree import New
from convert.text.xmltree import XmlTree, parse
from tests.text.texts import refusal

CHOICES: list[Mapping[str, str]] = [
    {},
    {"entry": "set", "key": "@of", "unit": "@unit", "group": "part", "group_name": "@id"},
    {"entry": "set", "key": "@of", "value": "@to", "unit": "@unit", "group": "part", "group_name": "@id"},
    {"unit": "@unit"},
    {"key": "@of", "value": "@to"},
]
blanks = st.sampled_from(["", " ", "\n", "\r\n\t", "\n  "])
raws = st.lists(st.sampled_from(["0.4", "a b", "&lt;", "&#x41;", "é", "'", ">", "\n"]), max_size=3).map("".join)
trivia = st.sampled_from(["", "", "\n", "  ", "\r\n  ", "<!-- n -->", "<?p q?>", "\n<!-- <set> -->\n"])


@st.composite
def attributes(draw: st.DrawFn) -> str:
    names = draw(st.lists(st.sampled_from(["of", "to", "unit", "id", "x:y"]), unique=True, max_size=4))
    quoted = ((name, draw(st.sampled_from("\"'")), draw(raws)) for name in names)
    return "".join(
        f"{draw(blanks) or ' '}{name}{draw(blanks)}={draw(blanks)}{quote}{raw.replace(quote, '')}{quote}"
        for name, quote, raw in quoted
    )


@st.composite
def texts(draw: st.DrawFn, depth: int = 3) -> str:
    tag = draw(st.sampled_from(["set", "part", "x:note", "b"]))
    start = f"<{tag}{draw(attributes())}{draw(blanks)}"
    form = draw(st.integers(0, 3))
    if form == 0:
        return f"{start}/>"
    if form == 1 or not depth:
        section = draw(st.sampled_from(["", "", "<![CDATA[<1>]]>", "<!-- c -->"]))
        return f"{start}>{draw(raws)}{section}{draw(raws)}</{tag}{draw(blanks)}>"
    inside = "".join(draw(trivia) + draw(texts(depth - 1)) for _ in range(draw(st.integers(0, 3))))
    return f"{start}>{inside}{draw(trivia)}</{tag}>"


@st.composite
def files(draw: st.DrawFn) -> str:
    head = draw(st.sampled_from(["", "<?xml version='1.0'?>", '<?xml version="1.0" encoding="UTF-8"?>\n']))
    return head + draw(trivia) + draw(texts()) + draw(trivia)


values = st.text(st.sampled_from("ab1<&>\"' \n\r\t]é\u20ac"), max_size=6)


def read(text: str | bytes, **options: str) -> XmlTree:
    return parse(Source.from_bytes(text.encode() if isinstance(text, str) else text, "a.xml"), options)


def meaning(tree: XmlTree) -> list[tuple]:
    return [(entry.path, entry.key, entry.value, entry.unit) for entry in tree.entries]


@given(files(), st.sampled_from(CHOICES))
def test_every_byte_is_kept(text: str, options: Mapping[str, str]) -> None:
    tree = read(text, **options)
    assert "".join(tree.pieces()) == tree.source.text == text
    assert tree.render() == text.encode()
    assert tree.groups[0].path == ()


@given(files(), st.sampled_from(CHOICES), st.data())
def test_replace_changes_one_value_only(text: str, options: Mapping[str, str], data: st.DataObject) -> None:
    tree = read(text, **options)
    if not tree.rows:
        return
    index = data.draw(st.integers(0, len(tree.rows) - 1))
    value = data.draw(values)
    after = tree.replace({index: New("n", value)})
    old, got = tree.entry(index), after.entry(index)
    assert got.value == value
    if text.startswith("/>", old.start) and old.start == old.end:  # <a /> becomes <a>value</a>
        assert after.source.text.startswith(text[: old.start].rstrip())
        assert after.source.text.endswith(text[old.start + 2 :])
    else:
        assert after.source.text[: got.start] == text[: old.start]
        assert after.source.text[got.end :] == text[old.end :]
    expected = meaning(tree)
    expected[index] = (old.path, old.key, value, old.unit)
    assert meaning(after) == expected
    assert tree.replace({index: New(old.key, old.value, unit=old.unit)}).render() == tree.render()


@given(files(), st.sampled_from(CHOICES), st.data())
def test_delete_takes_nothing_else(text: str, options: Mapping[str, str], data: st.DataObject) -> None:
    tree = read(text, **options)
    gone = data.draw(st.sets(st.integers(0, max(len(tree.rows) - 1, 0)), max_size=len(tree.rows)))
    try:
        after = tree.replace(dict.fromkeys(gone))
    except OutputError:  # an element with attributes or children, or the outermost one, cannot go alone
        return
    assert meaning(after) == [row for index, row in enumerate(meaning(tree)) if index not in gone]
    rest = iter(text)
    assert all(char in rest for char in after.source.text)


@given(files(), st.sampled_from(CHOICES[1:3]), st.lists(values, max_size=3), st.data())
def test_extend_appends_to_a_group(text: str, options: Mapping[str, str], news: list[str], data: st.DataObject) -> None:
    tree = read(f"<file>{re.sub('<[?]xml .*?[?]>', '', text)}</file>", **options)
    paths = [group.path for group in tree.groups[1:]]
    path = (*data.draw(st.sampled_from(paths)), *data.draw(st.sampled_from([(), ("new & fresh",), ("new", "newer")])))
    items = [New(f"new {number}", value, unit="mm") for number, value in enumerate(news)]
    after = tree.extend(path, items, {"kind": "added"})
    assert [row for row in meaning(after) if row[1].startswith("new ")] == [
        (path, new.key, new.value, "mm") for new in items
    ]
    assert [row for row in meaning(after) if not row[1].startswith("new ")] == meaning(tree)
    last = [group for group in after.groups if group.path == path][-1]
    if path not in paths:
        assert last.attributes["kind"] == "added"


@given(st.binary(max_size=60) | files().map(str.encode), st.binary(max_size=3), st.integers(0, 60))
def test_any_bytes_are_read_or_refused_with_a_place(data: bytes, more: bytes, at: int) -> None:
    data = data[:at] + more + data[at:]
    refusal(read, data)


FILE = """<?xml version="1.0" encoding="UTF-8"?>
<!-- top -->
<file version="2">
  <part id="bead" kind="process">
    <set of="width" unit="mm">0.4</set>
    <set of="height" unit="mm">0.2</set> <!-- thin -->
    <set of="note"/>
  </part>
  <part id="empty" />
  <author>Bo &amp; Co</author>
</file>
"""


def test_entries_by_options() -> None:
    tree = read(FILE, **CHOICES[1])
    assert meaning(tree) == [
        (("file", "bead"), "width", "0.4", "mm"),
        (("file", "bead"), "height", "0.2", "mm"),
        (("file", "bead"), "note", "", None),
        (("file",), "author", "Bo & Co", None),
    ]
    assert [(group.path, dict(group.attributes)) for group in tree.groups] == [
        ((), {}),
        (("file",), {"version": "2"}),
        (("file", "bead"), {"id": "bead", "kind": "process"}),
        (("file", "empty"), {"id": "empty"}),
    ]
    assert tree.problems == []


def test_values_and_units_are_edited_where_they_stand() -> None:
    tree = read(FILE, **CHOICES[1])
    after = tree.replace({0: New("width", "1 < 2", unit="um"), 2: New("note", "a", unit="s"), 3: None})
    expected = FILE.replace('unit="mm">0.4', 'unit="um">1 &lt; 2').replace(
        '<set of="note"/>', '<set of="note" unit="s">a</set>'
    )
    assert after.source.text == expected.replace("  <author>Bo &amp; Co</author>\n", "")
    with pytest.raises(OutputError, match="no place for a unit"):
        tree.replace({3: New("author", "Bo", unit="mm")})
    with pytest.raises(OutputError, match="unit"):
        read(FILE).replace({0: New("@version", "3", unit="mm")})


def test_comments_and_sections_stay_in_a_changed_text() -> None:
    tree = read("<a><b>1<!-- c --></b><c> <![CDATA[<x>]]></c><d><!-- e --></d></a>")
    change = {0: New("b", "2"), 1: New("c", "<y>"), 2: New("d", "3")}
    assert tree.replace(change).source.text == "<a><b>2<!-- c --></b><c><![CDATA[<y>]]></c><d><!-- e -->3</d></a>"
    assert tree.replace({1: New("c", "]]>")}).source.text == tree.source.text.replace(" <![CDATA[<x>]]>", "]]&gt;")


def test_values_are_escaped_as_their_place_needs() -> None:
    tree = read(b"<a b='1'>\r\n<c>1</c>\r\n</a>")
    after = tree.replace({0: New("@b", "\"'<&\n\t"), 1: New("c", "a\nb\r")})
    assert after.render() == b"<a b='\"&apos;&lt;&amp;&#10;&#9;'>\r\n<c>a\r\nb&#13;</c>\r\n</a>"
    assert read(b"<a>\xe9</a>").replace({0: New("a", "\u20ac\xe9")}).render() == b"<a>&#8364;\xe9</a>"
    for value in ("\x01", "\ud800", "\ufffe"):
        with pytest.raises(OutputError):
            tree.replace({1: New("c", value)})
    with pytest.raises(OutputError, match="list"):
        tree.replace({1: New("c", ("1", "2"))})


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        (("file", "bead"), '"note"/>\n', '"note"/>\n    <set of="k" unit="s">1</set>\n'),
        (("file", "empty"), ' id="empty" />', ' id="empty">\n    <set of="k" unit="s">1</set>\n  </part>'),
        (("file",), "</author>\n", '</author>\n  <set of="k" unit="s">1</set>\n'),
        (
            ("file", "new", "deep"),
            "</author>\n",
            '</author>\n  <part id="new">\n    <part id="deep" kind="q">\n      <set of="k" unit="s">1</set>\n'
            "    </part>\n  </part>\n",
        ),
    ],
)
def test_extend_uses_the_layout_of_the_file(path: tuple[str, ...], old: str, new: str) -> None:
    item = [New("k", "1", unit="s")]
    assert read(FILE, **CHOICES[1]).extend(path, item, {"kind": "q"}).source.text == FILE.replace(old, new)
    windows = FILE.replace("\n", "\r\n").replace("  ", "\t")
    expected = windows.replace(old.replace("\n", "\r\n"), new.replace("\n", "\r\n").replace("  ", "\t"))
    assert read(windows, **CHOICES[1]).extend(path, item, {"kind": "q"}).source.text == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("<a/>", "<a><set of='k' to='1'/></a>"),
        ("<a></a>", "<a><set of='k' to='1'/></a>"),
        ("<a>\n</a>\n", "<a>\n  <set of='k' to='1'/>\n</a>\n"),
        ("<a><set to='2' of='x' /></a>", "<a><set to='2' of='x' /><set to='1' of='k' /></a>"),
        (
            "<a>\n\n\t<set of='x' to='2'/>\n\t<!-- end -->\n</a>",
            "<a>\n\n\t<set of='x' to='2'/>\n\t<!-- end -->\n\t<set of='k' to='1'/>\n</a>",
        ),
    ],
)
def test_extend_of_small_files(text: str, expected: str) -> None:
    quote = "'" if "'" in text else '"'
    after = read(text, **CHOICES[2]).extend(("a",), [New("k", "1")])
    assert after.source.text == expected.replace("'", quote)


def test_extend_without_options() -> None:
    after = read(FILE).extend(("file", "part"), [New("x", "1", comment="why"), New("@k", "v")])
    expected = FILE.replace('"process">', '"process" k="v">').replace(
        '"note"/>\n', '"note"/>\n    <x>1</x> <!-- why -->\n'
    )
    assert after.source.text == expected
    after = read(FILE).extend(("file", "new"), [New("x", "1"), New("@k", "v")])
    assert after.source.text == FILE.replace("</author>\n", '</author>\n  <new k="v">\n    <x>1</x>\n  </new>\n')
    for path, key in (
        (("other",), "x"),
        ((), "x"),
        (("file",), "a b"),
        (("file", "1"), "x"),
        (("file", "author"), "x"),
    ):
        with pytest.raises(OutputError):
            read(FILE).extend(path, [New(key, "1")])


def test_extend_takes_groups_before_leaves() -> None:
    tree = read("<a><b><c/></b><b/></a>")
    assert tree.extend(("a", "b"), [New("@k", "v")]).source.text == '<a><b k="v"><c/></b><b/></a>'
    assert tree.extend(("a", "b"), [New("d", "v")]).source.text == "<a><b><c/><d>v</d></b><b/></a>"
    assert tree.extend(("a", "b", "c"), [New("@k", "v")]).source.text == '<a><b><c k="v"/></b><b/></a>'


def test_delete_takes_the_line_and_elements_left_empty() -> None:
    tree = read("<a>\n  <b>1</b>\n  <c>\n    <d>2</d>\n  </c>\n  <e f='3' g='4'/> <h/>\n</a>\n")
    assert tree.replace({0: None}).source.text == tree.source.text.replace("  <b>1</b>\n", "")
    assert tree.replace({1: None}).source.text == tree.source.text.replace("  <c>\n    <d>2</d>\n  </c>\n", "")
    assert tree.replace({2: None}).source.text == tree.source.text.replace(" f='3'", "")
    gone = dict.fromkeys((2, 3, 4))
    assert tree.replace(gone).source.text == tree.source.text.replace("<e f='3' g='4'/>", "")
    with pytest.raises(OutputError, match="attributes"):
        tree.replace({4: None})
    with pytest.raises(OutputError, match="outermost"):
        tree.replace(dict.fromkeys(range(6)))
    chosen = read(FILE, **CHOICES[1])
    assert [group.path for group in chosen.replace(dict.fromkeys(range(3))).groups] == [
        group.path for group in chosen.groups
    ]


def test_settings_within_a_setting_are_not_deleted_with_it() -> None:
    tree = read("<a><set of='b' to='1'><set of='c' to='2'/></set></a>", **CHOICES[2])
    with pytest.raises(OutputError, match="holds elements"):
        tree.replace({0: None, 1: New("c", "3")})
    assert tree.replace({1: None}).source.text == "<a><set of='b' to='1'></set></a>"


def test_problems() -> None:
    text = (
        '<?xml version="1.0" encoding="windows-1252"?><a>stray<set of="b">1</set><set of="b">\xe9</set><set>3</set></a>'
    )
    tree = read(text.encode("latin-1"), **CHOICES[1])
    assert [problem.says for problem in tree.problems] == [
        "'b' is written 2 times, on lines 1, 1",
        "text beside the elements in <a> is not read",
        "<set> lacks the attribute for its key or value, so it goes by its tag",
        "the file says that it is written in windows-1252, but it was read as ISO-8859-1",
    ]
    assert meaning(tree)[-1] == (("a",), "set", "3", None)


@pytest.mark.parametrize(
    "options",
    [{"key": "of"}, {"value": "tag"}, {"unit": "mm"}, {"entry": "@a"}, {"entry": "a b"}, {"key": 1}, {"no": ""}],
)
def test_wrong_options(options: dict) -> None:
    with pytest.raises(UsageError):
        read("<a/>", **options)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "1:1: no element"),
        ("<a>\n<b>\n</a>", "3:1: </a> where </b> should stand; close <b> of line 2 first"),
        ("<a>", "1:1: the element <a> is not closed; write </a> where it ends"),
        ("<a x=1/>", "1:6: the value of the attribute x without quotes"),
        ('<a x="1" x="2"/>', "1:10: the attribute x twice in <a>"),
        ('<a x="<"/>', "1:7: a '<' in the attribute x"),
        ('<a b="1', "1:6: the value of the attribute b is not closed"),
        ("<a x/>", "1:4: the attribute x of <a> has no value"),
        ('<a x="1"y="2"/>', "1:9: no blank before y in the tag <a>"),
        ("<a", "1:1: the tag <a> is not closed"),
        ("<a / >", "1:4: '/' in the tag <a>"),
        ("<a>&deg;</a>", "1:4: the entity &deg; is not known"),
        ("<a>&</a>", "1:4: a '&' that begins no reference; write &amp;"),
        ("<a>&#0;</a>", "1:4: a reference to a character that XML does not allow"),
        ("<a>&#" + "9" * 100_000 + ";</a>", "1:4: a reference to a character that XML does not allow"),
        ("<!DOCTYPE a><a/>", "1:1: a document type declaration (DOCTYPE), which is not accepted; delete it"),
        ('<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>', "1:1: a document type declaration (DOCTYPE)"),
        ("x<a/>", "1:1: text before the first element"),
        ("<a/>\n x", "2:2: text after the last element"),
        ("<a/><b/>", "1:5: a second outermost element <b>"),
        ("<a><!-- a -- b --></a>", "1:11: '--' within a comment"),
        ("<a><!-- a", "1:4: a comment that is not closed"),
        ("<a>]]></a>", "1:4: ']]>' in a text; write ]]&gt;"),
        ("<a><![CDATA[</a>", "1:4: a CDATA section that is not closed"),
        ("<![CDATA[]]><a/>", "1:1: a CDATA section outside"),
        ("<a>\x01</a>", "1:4: the character U+0001, which XML does not allow"),
        (' <?xml version="1.0"?><a/>', "1:2: an XML declaration after the start of the text"),
        ('<?xml version="2.0"?><a/>', "1:1: an XML declaration that is not well formed"),
        ("</a>", "1:1: </a> closes nothing"),
        ("<a></a b>", "1:4: an end tag that is not well formed"),
        ("<a><1/></a>", "1:4: a '<' that begins no element; write &lt;"),
        ("<a><!b></a>", "1:4: '<!' that begins no comment"),
        ("<a><? b?></a>", "1:4: a processing instruction that is not well formed"),
        ("<a>" * 100_000, "1:301: 101 levels"),
    ],
)
def test_refusals_name_place_and_remedy(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert f"a.xml:{says}" in str(caught.value)
    assert caught.value.hint


SIZE = 50_000


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("<a>" + "x" * 20 * SIZE + "</a>", 1),
        ("<a>" + "&lt;" * 5 * SIZE + "</a>", 1),
        ("<a>" + "<!-- c -->x" * SIZE + "</a>", 1),
        ("<a " + " ".join(f"b{number}='{number}'" for number in range(SIZE)) + "/>", SIZE + 1),
        ("<a>" + "<b>1</b>" * SIZE + "</a>", SIZE),
        ("<a>" + " \n" * SIZE + "<b c='1'/>\n" * SIZE + "</a>", 2 * SIZE),
        ("<a>" * 99 + "<b>1</b>" * SIZE + "</a>" * 99, SIZE),
        ("<a" + " " * 20 * SIZE + "/>", 1),
    ],
    ids=range(8),
)
def test_large_input_is_read_and_edited_in_one_go(text: str, rows: int) -> None:
    """Anything quadratic in these would take hours instead of a second."""
    tree = read(text)
    assert len(tree.rows) == rows
    after = tree.replace({index: New("n", "2") for index in range(rows)})
    assert {row[2] for row in after.rows} == {"2"}


@pytest.mark.parametrize(
    "unit", ["<a", "<", "&", "<a b='1", "<!--", "<![CDATA[", "<?p", "]]>", "</a", " <a ", "<a/>&lt"]
)
def test_large_refusals(unit: str) -> None:
    with pytest.raises(InputError) as caught:
        read("<r>" + unit * SIZE)
    assert caught.value.where
    assert len(str(caught.value)) < 300
