"""The JSON tree against the standard library's `json`: the same texts are valid, and they hold the same values."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.text.jsontree import JsonTree, parse
from convert.text.source import Source

floats = st.floats(allow_nan=False, allow_infinity=False)
scalars = st.none() | st.booleans() | st.integers() | floats | st.text(max_size=8)
documents = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=20,
)
# Pieces of JSON and near-JSON, put together at random: many are valid, most are nearly so.
PIECES = """{ } [ ] , : " "a" "b": "a":1 1 -0 0 01 1.5 1. .5 1e5 1E+ - true null NaN Infinity nul / é {} []
\\ "\\n" "\\u12ab" "\\u12\""""
pieces = st.sampled_from([*PIECES.split(), " ", "\n", "\t", "\f"])


class Constant(ValueError):
    """NaN and the infinities, which `json` takes although RFC 8259 section 6 does not have them."""


def refuse(name: str) -> None:
    raise Constant(name)


def oracle(text: str) -> object:
    """The document with numbers as their text and objects as lists of pairs, so that repeated keys stay."""
    return json.loads(text, parse_float=str, parse_int=str, parse_constant=refuse, object_pairs_hook=Pairs)


class Pairs(list):
    """The members of an object."""


def plain(value: object) -> str | tuple:
    if isinstance(value, bool) or value is None:
        return json.dumps(value)
    return tuple(map(plain, value)) if isinstance(value, list) else str(value)


def holds_object(value: object) -> bool:
    return isinstance(value, Pairs) or (isinstance(value, list) and any(map(holds_object, value)))


def flattened(value: object, path: tuple[str, ...] = (), key: str = "", root: bool = True) -> list[tuple]:
    if not holds_object(value):
        return [(path, key, plain(value))]
    own = () if root else (*path, key)
    members = value if isinstance(value, Pairs) else [(str(index), item) for index, item in enumerate(value)]
    return [row for name, item in members for row in flattened(item, own, name, False)]


def read(text: str) -> JsonTree:
    return parse(Source.from_bytes(text.encode("utf-8", "surrogatepass")))


@given(documents, st.sampled_from([None, 0, 2, "\t"]), st.booleans())
def test_same_values(document: object, indent: int | str | None, ascii_only: bool) -> None:
    text = json.dumps(document, indent=indent, ensure_ascii=ascii_only)
    if not ascii_only and any("\ud800" <= char <= "\udfff" for char in text):
        text = json.dumps(document, indent=indent)
    tree = read(text)
    assert [row[:3] for row in tree.rows] == flattened(oracle(text))
    kinds = {"text": str, "number": (int, float), "flag": bool, "null": type(None), "list": list}
    for entry in tree.entries:
        assert isinstance(json.loads(tree.source.text[entry.start : entry.end]), kinds[entry.kind])


@given(st.lists(pieces, max_size=12).map("".join))
def test_same_texts_are_valid(text: str) -> None:
    try:
        expected = flattened(oracle(text))
    except (json.JSONDecodeError, Constant):
        with pytest.raises(InputError) as caught:
            read(text)
        assert caught.value.where
        assert caught.value.where.line
    else:
        assert [row[:3] for row in read(text).rows] == expected


@given(st.lists(pieces, max_size=6).map("".join), documents, st.integers(0, 200), st.integers(0, 3))
def test_same_texts_are_valid_after_damage(extra: str, document: object, at: int, cut: int) -> None:
    text = json.dumps(document, indent=1)
    at %= len(text)
    test_same_texts_are_valid.hypothesis.inner_test(text[:at] + extra + text[at + cut :])


@pytest.mark.parametrize(
    "text",
    [
        '{"a": 1, "a": 2, "": [], "b": {}}',
        '[{"a": [1, [2, {"b": []}]]}, 3, "x", [[]], [4, [5]]]',
        '"\\ud83d\\ude00 \\ud83d \\ude00"',
        "[1E400, -0.0, 123456789012345678901234567890]",
        ' {\r\n\t"a"\r: \n1 }\n',
        '{"\\u0000\\"\\\\\\/\\b\\f\\n\\r\\t": "\\u00e9\u2028\x7f"}',
        "[[1, 2], [3, 4], [[5, {}], 6]]",
    ],
)
def test_written_by_hand(text: str) -> None:
    assert [row[:3] for row in read(text).rows] == flattened(oracle(text))
