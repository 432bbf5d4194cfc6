"""Laws and refusals of the JSON tree."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError, UsageError
from convert.text.jsontree import JsonTree, parse
from convert.text.source import Source
from convert.text.tree import Addition, New
from tests.text.texts import check_replacing, refusal

# The parts of the texts are drawn one by one: spacing, escapes and repeated keys are as odd as the syntax allows.
blanks = st.sampled_from(["", "", " ", "  ", "\n", "\r\n", "\n  ", "\t"])
numbers = st.sampled_from(["0", "-0", "1.50", "0.4", "12e3", "-1.5E-7", "100000000000000000000"])
odd = st.sampled_from(['""', '"a"', '"\\u00e9\\n"', '"é"', '"\\ud800"', '"{[,:]}"', '"\\\\\\""', '"1"'])
strings = odd | st.text(max_size=6).map(json.dumps)
keys = st.sampled_from(['"a"', '"b"', '"c\\"d"', '"\\u0061"', '""', '"0"', '" : "']) | strings


@st.composite
def texts(draw: st.DrawFn, root: st.SearchStrategy[str] | None = None) -> str:
    def listed(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
        item = st.tuples(blanks, inner, blanks).map("".join)
        return st.tuples(st.lists(item, max_size=4).map(",".join), blanks).map(lambda got: f"[{got[0] or got[1]}]")

    def grouped(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
        member = st.tuples(blanks, keys, blanks, st.just(":"), blanks, inner, blanks).map("".join)
        return st.tuples(st.lists(member, max_size=4).map(",".join), blanks).map(lambda got: f"{{{got[0] or got[1]}}}")

    leaf = numbers | strings | st.sampled_from(["true", "false", "null"])
    nested = st.recursive(leaf, lambda inner: listed(inner) | grouped(inner), max_leaves=15)
    return draw(blanks) + draw(grouped(nested) if root is None else nested) + draw(blanks)


new_scalars = st.one_of(
    st.text(max_size=8).map(lambda text: New("n", text)),
    numbers.map(lambda text: New("n", text, "number")),
    st.sampled_from([New("n", "true", "flag"), New("n", "null", "null")]),
)
new_items = st.sampled_from(["1", "0.5", "a", "true", ""])
new_lists = st.recursive(new_items, lambda inner: st.lists(inner, max_size=3).map(tuple))
news = new_scalars | st.lists(new_lists, max_size=4).map(lambda items: New("n", tuple(items), "list"))


def read(text: str | bytes, **options: object) -> JsonTree:
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    return parse(Source.from_bytes(data, "a.json"), options)


def meaning(tree: JsonTree) -> list[tuple]:
    return [(entry.path, entry.key, entry.value, entry.kind) for entry in tree.entries]


@given(texts())
def test_every_byte_is_kept(text: str) -> None:
    tree = read(text)
    assert "".join(tree.pieces()) == tree.source.text == text
    assert tree.render() == text.encode("utf-8", "surrogatepass")
    for entry in tree.entries:
        assert tree.entries[entry.index] == entry
        assert tree.source.location(entry.start) == tree.where(entry.index)


@given(texts(), st.data())
def test_replace_changes_one_value_only(text: str, data: st.DataObject) -> None:
    tree = read(text)
    if tree.rows:
        check_replacing(tree, data.draw(st.integers(0, len(tree.rows) - 1)), data.draw(news))


@given(texts(), st.data())
def test_delete_removes_members_only(text: str, data: st.DataObject) -> None:
    tree = read(text)
    gone = data.draw(st.sets(st.integers(0, max(len(tree.rows) - 1, 0)), max_size=len(tree.rows)))
    after = tree.replace(dict.fromkeys(gone))
    # Within arrays of objects the names of the later items move up, so paths are compared without numbers.
    assert [row[2] for row in after.rows] == [row[2] for index, row in enumerate(tree.rows) if index not in gone]
    assert len(after.groups) == len(tree.groups)
    assert is_subsequence(after.source.text, text)


def is_subsequence(short: str, long: str) -> bool:
    rest = iter(long)
    return all(char in rest for char in short)


@given(texts(), st.lists(new_scalars, max_size=3), st.data())
def test_extend_appends_to_objects(text: str, items: list[New], data: st.DataObject) -> None:
    tree = read(text)
    last = {group.path: text[group.start] for group in tree.groups}  # of groups with the same path
    path = data.draw(st.sampled_from([path for path, bracket in last.items() if bracket == "{"]))
    items = [New(f"new {number}", item.value, item.kind) for number, item in enumerate(items)]
    after = tree.extend(path, items)
    at = 0
    while after.source.text[at : at + 1] == text[at : at + 1] != "":
        at += 1
    more = len(after.source.text) - len(text)
    assert any(after.source.text[:cut] + after.source.text[cut + more :] == text for cut in range(at + 1))
    added = [row for row in meaning(after) if row[1].startswith("new ")]
    assert added == [(path, item.key, item.value, item.kind) for item in items]


@given(texts(), st.lists(st.sampled_from(["fresh", "0", "deep"]), min_size=1, max_size=3), new_scalars)
def test_extend_makes_groups(text: str, names: list[str], item: New) -> None:
    tree = read(text)
    path = ("fresh root", *names)
    after = tree.extend(path, [item])
    assert meaning(after)[-1] == (path, "n", item.value, item.kind)
    assert len(after.groups) == len(tree.groups) + len(path)


NEW_PATHS = [(), ("a",), ("a", "0"), ("a", "b"), ("n", "m"), ("n", "o"), ("n",), ("l", "0"), ("l", "1", "k")]


def outcome(extend: Callable[[], JsonTree]) -> list[str] | str:
    try:
        return sorted(map(str, meaning(extend())))
    except OutputError as error:
        return error.says


@given(texts(), st.lists(st.sampled_from(NEW_PATHS), min_size=2, max_size=6, unique=True), st.data())
def test_groups_added_together_are_as_groups_added_in_turn(
    text: str, paths: list[tuple[str, ...]], data: st.DataObject
) -> None:
    tree = read(text)
    additions: list[Addition] = [
        (path, [New(f"p{at}", str(at))] * data.draw(st.integers(0, 2)), {}) for at, path in enumerate(paths)
    ]
    in_turn = sorted(additions, key=lambda addition: addition[0] not in [group.path for group in tree.groups])
    turns = outcome(lambda: reduce(lambda done, one: done.extend(*one), in_turn, tree))
    assert outcome(lambda: tree.extend_all(additions)) == turns


def test_groups_added_together_are_laid_out_as_groups_added_in_turn() -> None:
    tree = read(MULTILINE)
    additions: list[Addition] = [
        ((), [New("x", "1")], {}),
        (("b", "d"), [New("y", "2")], {}),
        (("n", "m"), [New("z", "3")], {}),
        (("n", "l", "0"), [New("z", "4")], {}),
        (("n", "l", "1"), [New("z", "5")], {}),
    ]
    together = tree.extend_all(additions).source.text
    assert together == reduce(lambda done, one: done.extend(*one), additions, tree).source.text


@given(
    st.binary(max_size=60) | texts().map(lambda text: text.encode("utf-8", "surrogatepass")),
    st.binary(max_size=3),
    st.integers(0, 60),
)
def test_any_bytes_are_read_or_refused_with_a_place(data: bytes, more: bytes, at: int) -> None:
    data = data[:at] + more + data[at:]
    refusal(read, data)


MULTILINE = """{
  "a": 1,
  "b": {
    "c": [1, 2],
    "d": {}
  },
  "e": {"f": "x"},
  "g": [{"h": 1}, {"h": 2}]
}
"""


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        (("b", "d"), '"d": {}', '"d": {\n      "k": 1\n    }'),
        (("b",), '"d": {}', '"d": {},\n    "k": 1'),
        (("e",), '"x"}', '"x", "k": 1}'),
        (("g", "1"), '{"h": 2}', '{"h": 2, "k": 1}'),
        (("g", "2"), '{"h": 2}', '{"h": 2}, {"k": 1}'),
        (("n", "m"), '{"h": 2}]', '{"h": 2}],\n  "n": {\n    "m": {\n      "k": 1\n    }\n  }'),
        (("n", "0"), '{"h": 2}]', '{"h": 2}],\n  "n": [\n    {\n      "k": 1\n    }\n  ]'),
    ],
)
def test_extend_uses_the_layout_of_the_file(path: tuple[str, ...], old: str, new: str) -> None:
    item = [New("k", "1", "number")]
    assert read(MULTILINE).extend(path, item).source.text == MULTILINE.replace(old, new)
    tabs = MULTILINE.replace("  ", "\t").replace("\n", "\r\n")
    expected = tabs.replace(old.replace("  ", "\t"), new.replace("  ", "\t").replace("\n", "\r\n"))
    assert read(tabs).extend(path, item).source.text == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{}", '{"k": "v"}'),
        ("{\n}", '{\n  "k": "v"\n}'),
        ('{"a":1,"b":2}', '{"a":1,"b":2,"k":"v"}'),
        ('{ "a" : 1 }', '{ "a" : 1, "k" : "v" }'),
        ('{"a": 1,\n "b": 2}', '{"a": 1,\n "b": 2,\n "k": "v"}'),
        ('{\n\n  "a": 1\n\n}', '{\n\n  "a": 1,\n  "k": "v"\n\n}'),
    ],
)
def test_extend_of_small_files(text: str, expected: str) -> None:
    assert read(text).extend((), [New("k", "v")]).source.text == expected


@pytest.mark.parametrize(
    ("text", "gone", "expected"),
    [
        ('{\n  "a": 1,\n  "b": 2,\n  "c": 3\n}', {0}, '{\n  "b": 2,\n  "c": 3\n}'),
        ('{\n  "a": 1,\n  "b": 2,\n  "c": 3\n}', {1, 2}, '{\n  "a": 1\n}'),
        ('{\n  "a": 1,\n  "b": 2,\n  "c": 3\n}', {0, 2}, '{\n  "b": 2\n}'),
        ('{"a": 1, "b": {}, "c": 3}', {0, 1}, '{ "b": {}}'),
        ('{"a": 1}', {0}, "{}"),
        ('[1, {"a": 2}, 3]', {0, 2}, '[ {"a": 2}]'),
    ],
)
def test_delete_takes_the_right_comma(text: str, gone: set[int], expected: str) -> None:
    assert read(text).replace(dict.fromkeys(gone)).source.text == expected


def test_lists_keep_their_layout_and_forms() -> None:
    tree = read('{"a": [ 1,\n  2.0 ], "b": ["1", "x"], "c": [], "d": [[0,0], [1,0]]}')
    change = {
        0: New("a", ("1", "3"), "list"),
        1: New("b", ("2", "x", "3"), "list"),
        2: New("c", ("1", "2"), "number"),
        3: New("d", (("0", "0"), ("2", "0")), "list"),
    }
    short = '{"a": [ 1,\n  3 ], "b": ["2", "x", "3"], "c": [1, 2], "d": [[0,0], [2,0]]}'
    assert tree.replace(change).source.text == short
    longer = tree.replace({0: New("a", ("1", "2.0", "3"), "list"), 2: New("c", ("1", "a"), "list")})
    assert longer.source.text == '{"a": [ 1,\n  2.0,\n  3 ], "b": ["1", "x"], "c": ["1", "a"], "d": [[0,0], [1,0]]}'


def test_objects_stay_whole_on_request() -> None:
    text = '{"own": {"a": 1, "b": {"c": 2, "d": [{}]}, "e": [{"f": 1}]}, "b": {"c": 3}}'
    tree = read(text, value_objects=[["own"]])
    assert meaning(tree) == [
        (("own",), "a", "1", "number"),
        (("own",), "b", '{"c": 2, "d": [{}]}', "object"),
        (("own",), "e", '[{"f": 1}]', "object"),
        (("b",), "c", "3", "number"),
    ]
    assert [group.path for group in tree.groups] == [(), ("own",), ("b",)]
    after = tree.replace({1: New("b", '{"x": [1]}', "object")})
    assert after.source.text == text.replace('{"c": 2, "d": [{}]}', '{"x": [1]}')
    assert len(read(text, value_objects=[["*"]]).rows) == 4
    with pytest.raises(OutputError, match="JSON text"):
        tree.replace({1: New("b", '{"x": 1}, "y": {}', "object")})
    with pytest.raises(UsageError):
        read(text, value_objects="own")
    with pytest.raises(UsageError):
        read(text, value_objects=["own"])


def test_texts_are_written_the_way_the_file_writes_them() -> None:
    assert read(b'{"a": "\\u00e9"}').replace({0: New("a", "\u00fc\n")}).render() == b'{"a": "\\u00fc\\n"}'
    assert read('{"a": "é"}').replace({0: New("a", "ü")}).render() == '{"a": "ü"}'.encode()
    assert read(b'{"a": "\xe9"}').replace({0: New("a", "\u20ac")}).render() == b'{"a": "\\u20ac"}'
    assert read(b'{"a": "\xe9", "b": 1}').replace({1: New("b", "\u00fc")}).render() == b'{"a": "\xe9", "b": "\xfc"}'
    assert read('{"a": 1}').replace({0: New("a", "\udc80")}).render() == b'{"a": "\\udc80"}'
    wide = '{"a": "é"}'.encode("utf-16")
    assert read(wide).replace({0: New("a", "ü")}).render() == '{"a": "ü"}'.encode("utf-16")


def test_extend_takes_the_last_of_repeated_groups() -> None:
    after = read('{"a": {"b": 1, "c": 2}, "a": [{}]}').extend(("a", "1"), [New("k", "v")])
    assert after.source.text == '{"a": {"b": 1, "c": 2}, "a": [{}, {"k": "v"}]}'


def test_repeated_keys_are_kept_and_told() -> None:
    tree = read('{"a": 1,\n "a": 2}')
    assert meaning(tree) == [((), "a", "1", "number"), ((), "a", "2", "number")]
    says = "a.json:2:7: 'a' is written 2 times, on lines 1, 2; keep one of them"
    assert [str(problem) for problem in tree.problems] == [says]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "1:1: the text is empty"),
        ('{"a": NaN}', "1:7: NaN is no JSON value; write a number, or null"),
        ('{"a": -Infinity}', "1:7: -Infinity is no JSON value"),
        ('{"a": 1,\n}', "1:8: a ',' without a value after it; delete the ','"),
        ("[1, 2,]", "1:6: a ',' without a value after it"),
        ("[1, 2, ]", "1:6: a ',' without a value after it"),
        ("[{}, ]", "1:4: a ',' without a value after it"),
        ('{"a": 1} // x', "1:10: JSON has no comments"),
        ('/* x */ {"a": 1}', "1:1: JSON has no comments"),
        ("{a: 1}", "1:2: the key a without quotes"),
        ("{'a': 1}", "1:2: single quotes"),
        ('{"a": 01}', "1:7: 01 is no JSON number; leave out the leading zeros"),
        ('{"a": +1}', "1:7: +1 is no JSON number; leave out the '+'"),
        ('{"a": .5}', "1:7: .5 is no JSON number; write a digit on both sides"),
        ('{"a": 0.2mm}', "1:7: 0.2mm is no JSON number"),
        ('{"a": fast}', "1:7: the bare word fast"),
        ('{"a": True}', "1:7: True is no JSON value; write true"),
        ('{"a": "x\ny"}', "1:9: a line end within a text; write \\n"),
        ('{"a": "\\x"}', "1:8: a backslash that starts no known escape"),
        ('{"a": "x', "1:7: a text that is not closed"),
        ('{"a" 1}', "1:6: '1' where ':' after the key should stand"),
        ('{"a": 1 "b": 2}', "1:9: '\"' where ',' or '}' should stand"),
        ('{"a": 1}}', "1:9: '}' where the end of the text should stand"),
        ("},", "1:1: '}' where a value should stand"),
        ("{", "1:2: the text ends where a key should stand"),
        ("[" * 100_000, "1:101: 101 levels"),
        ('{"a":' * 100_000, "1:501: 101 levels"),
        ('[{"a":' * 100_000, "1:301: 101 levels"),
    ],
)
def test_refusals_name_place_and_remedy(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read(text)
    assert f"a.json:{says}" in str(caught.value)
    assert caught.value.hint


def test_writing_refuses_what_json_cannot_hold() -> None:
    tree = read('{"a": 1, "b": {"c": [1]}, "d": [{}]}')
    wrong = [("0.4 mm", "number"), ("yes", "flag"), ("1", "flag"), ("{", "object"), ("1", "text", "mm")]
    for new in (New("a", *parts) for parts in wrong):
        with pytest.raises(OutputError):
            tree.replace({0: new})
    for path in (("a",), ("b", "c"), ("d", "x"), ("d", "2")):
        with pytest.raises(OutputError):
            tree.extend(path, [New("k", "1")])
    with pytest.raises(OutputError):
        read("1").replace({0: None})
    with pytest.raises(OutputError):
        read("1").extend((), [New("k", "1")])


SIZE = 100_000


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ('{"a": "' + "x" * 10 * SIZE + '"}', 1),
        ('{"a": "' + "\\n" * 10 * SIZE + '"}', 1),
        ('{"a": "' + '\\"' * 10 * SIZE + '"}', 1),
        ("{" + ",".join(f'"k{number}":{number}' for number in range(SIZE)) + "}", SIZE),
        ('{"a": [' + ",".join(["[1,[2]]"] * SIZE) + "]}", 1),
        ('{"a": [' + ",".join(["[1,[{}]]"] * SIZE) + "]}", SIZE),
        ("[" * 99 + ",".join(["1"] * SIZE) + ",{}" + "]" * 99, SIZE),
        (" " * 10 * SIZE + "{}" + "\n" * 10 * SIZE, 0),
        ('{"a"' + " " * 10 * SIZE + ": 1" + " " * 10 * SIZE + "}", 1),
    ],
    ids=range(9),
)
def test_large_input_is_read_and_edited_in_one_go(text: str, rows: int) -> None:
    """Anything quadratic in these would take hours instead of a second."""
    tree = read(text)
    assert len(tree.rows) == rows
    gone = range(0, rows, 2)
    assert len(tree.replace(dict.fromkeys(gone)).rows) == rows - len(gone)


@pytest.mark.parametrize("unit", ['{"', '"', '"a":', "[1,", "\\", " ", '{"a":"', "1"])
def test_large_refusals(unit: str) -> None:
    with pytest.raises(InputError) as caught:
        read("[" + unit * SIZE)
    assert caught.value.where
    assert len(str(caught.value)) < 300
