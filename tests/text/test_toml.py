"""Laws and refusals of the TOML tree."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError
from convert.text.source import Source
from convert.text.tomltree import TomlTree, parse
from convert.text.tree import New
from tests.text.texts import check_replacing, refusal
from tests.text.toml_texts import files

chars = st.text(st.sampled_from("ab\"'\\# \n\r\t\x00\x7fé\U0001f600"), max_size=6)
new_scalars = st.one_of(
    chars.map(lambda text: New("n", text)),
    st.sampled_from([New("n", "0.40", "number"), New("n", "-7", "number"), New("n", "true", "flag")]),
)
new_items = st.sampled_from(["1", "0.5", "a'b", "true", "", "1979-05-27"])
new_lists = st.lists(st.recursive(new_items, lambda inner: st.lists(inner, max_size=3).map(tuple)), max_size=4)
news = new_scalars | new_lists.map(lambda items: New("n", tuple(items), "list"))


def read(text: str | bytes) -> TomlTree:
    return parse(Source.from_bytes(text.encode() if isinstance(text, str) else text, "a.toml"))


def meaning(tree: TomlTree) -> list[tuple]:
    return [(entry.path, entry.key, entry.value) for entry in tree.entries]


@given(files())
def test_every_byte_is_kept(text: str) -> None:
    tree = read(text)
    assert "".join(tree.pieces()) == tree.source.text == text
    assert tree.render() == text.encode()
    assert tree.groups[0].path == ()


@given(files(), st.data())
def test_replace_changes_one_value_only(text: str, data: st.DataObject) -> None:
    tree = read(text)
    if tree.rows:
        check_replacing(tree, data.draw(st.integers(0, len(tree.rows) - 1)), data.draw(news))


@given(files(), st.data())
def test_delete_takes_nothing_else(text: str, data: st.DataObject) -> None:
    tree = read(text)
    gone = data.draw(st.sets(st.integers(0, max(len(tree.rows) - 1, 0)), max_size=len(tree.rows)))
    after = tree.replace(dict.fromkeys(gone))
    # Within arrays the names of the later elements move up, so values are compared without paths.
    assert [row[2] for row in after.rows] == [row[2] for index, row in enumerate(tree.rows) if index not in gone]
    assert len(after.groups) >= len(tree.groups) - len(gone)
    rest = iter(text)
    assert all(char in rest for char in after.source.text)


@given(files(), st.lists(new_scalars, max_size=3), st.data())
def test_extend_appends_to_a_group(text: str, items: list[New], data: st.DataObject) -> None:
    tree = read(text)
    paths = [group.path for group in tree.groups if is_table(tree, group.path)]
    path = (
        *data.draw(st.sampled_from(paths)),
        *data.draw(st.sampled_from([(), ("new one",), ("new", "0"), ("new", "er")])),
    )
    items = [New(f"new {number}", item.value, item.kind, comment="why") for number, item in enumerate(items)]
    after = tree.extend(path, items)
    added = [row for row in meaning(after) if row[1].startswith("new ")]
    assert added == [(path, new.key, new.value) for new in items]
    assert [row for row in meaning(after) if not row[1].startswith("new ")] == meaning(tree)
    at = 0
    while after.source.text[at : at + 1] == text[at : at + 1] != "":
        at += 1
    more = len(after.source.text) - len(text)
    assert any(after.source.text[:cut] + after.source.text[cut + more :] == text for cut in range(at + 1))


FILE = """# Title

# about name
name = "a" # c
a.b   = 15
l = [ 1, # one
  [2, "3"],
]

# about bead
[bead]
  width = 0.4 # mm
  in = { a = 1, b.c = "x", d = {} }
  mix = [1, { z = 2 }, 3]

[[tool]]
n = 1
[tool.sub]

[[tool]]
n = 2
# end
"""


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        ((), "]\n\n# about bead", "]\nk = 1\n\n# about bead"),
        (("bead",), "3]\n", "3]\n  k = 1\n"),
        (("bead", "in"), "d = {} }", "d = {}, k = 1 }"),
        (("bead", "in", "d"), "d = {} }", "d = { k = 1 } }"),
        (("bead", "in", "new", "0"), "d = {} }", "d = {}, new = [{ k = 1 }] }"),
        (("bead", "mix", "1"), "{ z = 2 }", "{ z = 2, k = 1 }"),
        (("bead", "mix", "3"), ", 3]", ", 3, { k = 1 }]"),
        (("bead", "new"), "3]\n\n", "3]\n\n[bead.new]\nk = 1\n\n"),
        (("tool", "0"), "n = 1\n", "n = 1\nk = 1\n"),
        (("tool", "0", "sub"), "sub]\n", "sub]\nk = 1\n"),
        (("tool", "0", "new"), "sub]\n\n", "sub]\n\n[tool.new]\nk = 1\n\n"),
        (("tool", "2"), "# end\n", "# end\n\n[[tool]]\nk = 1\n"),
        (("new one", "0", "x"), "# end\n", '# end\n\n[["new one"]]\n["new one".x]\nk = 1\n'),
    ],
)
def test_extend_puts_keys_where_they_belong(path: tuple[str, ...], old: str, new: str) -> None:
    item = [New("k", "1", "number")]
    assert FILE.count(old) == 1
    assert read(FILE).extend(path, item).source.text == FILE.replace(old, new)
    windows = FILE.replace("\n", "\r\n")
    expected = windows.replace(old.replace("\n", "\r\n"), new.replace("\n", "\r\n"))
    assert read(windows).extend(path, item).source.text == expected


@pytest.mark.parametrize(
    ("text", "path", "expected"),
    [
        ("", (), 'k = "v" # why\n'),
        ("", ("a", "b"), '[a.b]\nk = "v" # why\n'),
        ("x=1", (), 'x=1\nk="v" # why\n'),
        ("# only", (), '# only\nk = "v" # why\n'),
        ("# title\n\n# a\n[a]\n", (), '# title\n\nk = "v" # why\n\n# a\n[a]\n'),
        ("[a]", ("a",), '[a]\nk = "v" # why\n'),
        ("[a]\nx = 1", ("b",), '[a]\nx = 1\n\n[b]\nk = "v" # why\n'),
        ("a = [\n  {},\n  {},\n]\n", ("a", "2"), 'a = [\n  {},\n  {},\n  { k = "v" },\n]\n'),
    ],
)
def test_extend_of_small_files(text: str, path: tuple[str, ...], expected: str) -> None:
    assert read(text).extend(path, [New("k", "v", comment="why")]).source.text == expected


def test_names_are_quoted_where_they_must_be() -> None:
    names = ["a.b", "a b", "", "c.d e", 'q"\n', "é"]
    after = read("").extend(("t u", "é"), [New(name, "1", "number") for name in names])
    lines = ["a.b", '"a b"', '""', '"c.d e"', r'"q\"\n"', '"é"']
    assert after.source.text == '["t u"."é"]\n' + "".join(f"{line} = 1\n" for line in lines)
    assert meaning(after) == [(("t u", "é"), name, "1") for name in names]


FORMS = """a = 'x'
b = '''
x
'''
c = \"""x\"""
d = 1979-05-27
e = [ 1,
  2 ]
f = ['a', 'b'] # f
g = []
"""


def test_empty_keys_are_keys() -> None:
    assert meaning(read('a = [{ b = 1, "" = 2 }]\n"" = 3')) == [
        (("a", "0"), "b", "1"),
        (("a", "0"), "", "2"),
        ((), "", "3"),
    ]


def test_values_keep_their_form() -> None:
    after = read(FORMS).replace(
        {
            0: New("a", r"C:\y"),
            1: New("b", "y\nz'\n"),
            2: New("c", 'q"""\n"'),
            3: New("d", "07:32:00"),
            4: New("e", ("1", "3"), "list"),
            5: New("f", ("a", "it's"), "list"),
            6: New("g", ("1", "true"), "list"),
        }
    )
    expected = FORMS.replace("'x'", r"'C:\y'").replace("x\n'", "y\nz'\n'").replace("1979-05-27", "07:32:00")
    expected = expected.replace('""x""', r'""q\"\"\"' + '\n\\"""').replace("2 ]", "3 ]").replace("[]", "[1, true]")
    assert after.source.text == expected.replace("'b']", '"it\'s"]')


def test_values_change_their_form_where_they_must() -> None:
    after = read(FORMS).replace(
        {
            0: New("a", "it's\x00"),
            1: New("b", "'''\r"),
            3: New("d", "soon"),
            4: New("e", ("1", "2", "3"), "list"),
            5: New("f", ("c",), "list"),
            6: New("g", ("1", "2"), "text"),
        }
    )
    expected = FORMS.replace("'x'", r'''"it's\u0000"''').replace("'''\nx\n'''", '"""\n\'\'\'\\r"""')
    expected = expected.replace("1979-05-27", '"soon"').replace("2 ]", "2,\n  3 ]").replace("'a', 'b'", "'c'")
    assert after.source.text == expected.replace("[]", '["1", "2"]')


def test_delete_takes_lines_and_commas() -> None:
    tree = read(FILE)
    keys = [entry.key for entry in tree.entries]
    for key, old, new in [
        ("name", 'name = "a" # c\n', ""),
        ("l", 'l = [ 1, # one\n  [2, "3"],\n]\n', ""),
        ("b.c", ' b.c = "x",', ""),
        ("z", "{ z = 2 }", "{}"),
        ("2", ", 3]", "]"),
        ("0", "[1, {", "[ {"),
    ]:
        assert FILE.count(old) == 1
        assert tree.replace({keys.index(key): None}).source.text == FILE.replace(old, new)


def test_writing_refuses_what_toml_cannot_hold() -> None:
    tree = read(FILE)
    wrong = [("0.4 mm", "number"), (".5", "number"), ("yes", "flag"), ("null", "null"), ("{}", "object")]
    for new in (New("a", *parts) for parts in [*wrong, ("1", "text", "mm"), ("\ud800", "text")]):
        with pytest.raises(OutputError):
            tree.replace({0: new})
    for path in (("name",), ("a",), ("bead", "mix", "x"), ("tool", "3"), ("tool", "x"), ("tool",), ("bead", "in", "a")):
        with pytest.raises(OutputError):
            tree.extend(path, [New("k", "1")])
    with pytest.raises(OutputError):
        tree.extend((), [New("name", "b")])


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a", "1:2: this is not TOML: expected '='"),
        ("\na = ", "2:5: this is not TOML: invalid value; write a text in quotes"),
        ("a = 1\na = 2", "2:6: this is not TOML: cannot overwrite a value"),
        ("[a]\n[a]", "2:3: this is not TOML: cannot declare"),
        ('a = "x', "1:7: this is not TOML: unterminated string"),
        ("a = 1 b = 2", "1:7: this is not TOML: expected newline"),
        ("a = { b = 1, }", "1:14: this is not TOML: "),
        ("a = 1_", "1:6: this is not TOML: "),
        ("a = nul", "1:5: this is not TOML: invalid value"),
        ("# \x7f", "1:3: this is not TOML: found invalid character"),
        ("a = " + "9" * 5000, "1:5: a value of 5000 characters without quotes"),
        ("a = " + "[" * 100_000, "1:105: 101 levels"),
        ("a = " + "{b=" * 100_000, "1:302: 101 levels"),
        (".".join("a" * 100_000) + " = 1", "1:202: 101 levels"),
        ("[" + ".".join("a" * 100_000) + "]", "1:203: 101 levels"),
    ],
)
def test_refusals_name_place_and_remedy(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert f"a.toml:{says}" in str(caught.value)
    assert caught.value.hint


@pytest.mark.parametrize("data", [b"a = '\xe9'", b"a = '\xe9 \xc3\xa9'", "a = 'x'".encode("utf-16")])
def test_other_encodings_are_refused(data: bytes) -> None:
    with pytest.raises(InputError, match="not UTF-8"):
        read(data)


SIZE = 50_000


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ('a = "' + "x" * 20 * SIZE + '"', 1),
        ('a = "' + "\\n" * SIZE + '"', 1),
        ('a = """' + '\\""' * SIZE + 'x"""', 1),
        ("\n".join(f"k{number} = {number}" for number in range(SIZE)), SIZE),
        ("a = {" + ", ".join(f"k{number} = {number}" for number in range(SIZE)) + "}", SIZE),
        ("a = [" + "[1], # c\n" * SIZE + "]", 1),
        ("a = [" + "[{b=1}],\n" * SIZE + "]", SIZE),
        ("[[a]]\nb = 1\n" * SIZE, SIZE),
        ("\n" * SIZE + "#\n" * SIZE + " " * 10 * SIZE + "a = 1", 1),
    ],
    ids=range(9),
)
def test_large_input_is_read_and_edited_in_one_go(text: str, rows: int) -> None:
    """Anything quadratic in these would take hours instead of a second."""
    tree = read(text)
    assert len(tree.rows) == rows
    gone = range(0, rows, 2)
    assert len(tree.replace(dict.fromkeys(gone)).rows) == rows - len(gone)


@pytest.mark.parametrize("unit", ['"', "'", '"""', "a.", "a=[", "a={", "[", "\\", "a=1 ", "[a]", "1,"])
def test_large_refusals(unit: str) -> None:
    with pytest.raises(InputError) as caught:
        read("x = " + unit * SIZE)
    assert caught.value.where
    assert len(str(caught.value)) < 300


def is_table(tree: TomlTree, path: tuple[str, ...]) -> bool:
    """Whether a group is a table and not an array that holds one."""
    inline = dict(tree._inline).get(path)
    return inline is None or inline.kind == "object"


@given(st.binary(max_size=60) | files().map(str.encode), st.binary(max_size=3), st.integers(0, 60))
def test_any_bytes_are_read_or_refused_with_a_place(data: bytes, more: bytes, at: int) -> None:
    data = data[:at] + more + data[at:]
    refused = refusal(read, data)
    assert refused is None or "cannot be read here" not in refused.says
