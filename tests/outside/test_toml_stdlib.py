"""The TOML tree against the standard library's `tomllib`: the same texts are valid, and they hold the same values."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.text.source import Source
from convert.text.tomltree import TomlTree, parse
from tests.text.toml_texts import files

ROOT = Path(__file__).parents[2]
# Pieces of TOML and near-TOML, put together at random.
PIECES = r"""
a b = [ ] [[ ]] { } , . # " ' '''  "x" 'y' '''\''' 1 -0 +1_0 0x_f 0xFf 0b10 0o7 1.5 1e5 .5 1. inf -nan true fals
1979-05-27 07:32:00 T07:32:00Z a=1 b=2 a.b=3 [a] [a.b] [[b]] x={} y=[1,] "a.b"=4 a."b"=5 \n \ \u00e9 \U0010ffff é"""
TRIPLES = ['"""', '"""z"""', '""""""', '""']
pieces = st.sampled_from(
    [*PIECES.split(), *TRIPLES, " ", " = ", "\n", "\n", "\r\n", "\r", "\t", "\x00", "\x7f", "\\\n", "# c\n"]
)


def read(text: str) -> TomlTree:
    return parse(Source.from_bytes(text.encode()))


def holds_table(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and any(map(holds_table, value)))


def flattened(value: object, name: str = "") -> Iterator[tuple[str, object]]:
    if not holds_table(value):
        yield name, value
        return
    assert isinstance(value, (dict, list))
    for key, item in value.items() if isinstance(value, dict) else enumerate(value):
        yield from flattened(item, f"{name}.{key}")


def equal(value: str | tuple, expected: object) -> bool:
    """Whether a decoded value is what `tomllib` finds."""
    if isinstance(expected, list):
        return isinstance(value, tuple) and len(value) == len(expected) and all(map(equal, value, expected))
    if not isinstance(value, str):
        return False
    if isinstance(expected, bool):
        return value == str(expected).lower()
    if isinstance(expected, int):
        return value.lstrip("-").isdecimal() and int(value) == expected
    if isinstance(expected, float):
        return float(value) == expected or (math.isnan(float(value)) and math.isnan(expected))
    if isinstance(expected, str):
        return value == expected
    return tomllib.loads(f"x = {value}")["x"] == expected  # dates and times


def same(text: str) -> None:
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        with pytest.raises(InputError) as caught:
            read(text)
        assert caught.value.where
        assert caught.value.where.line
        return
    tree = read(text)
    found = sorted(
        ((".".join(("", *entry.path, entry.key)), entry) for entry in tree.entries), key=lambda pair: pair[0]
    )
    expected = sorted(flattened(document), key=lambda pair: pair[0])
    assert [name for name, _ in found] == [name for name, _ in expected]
    if len({name for name, _ in found}) == len(found):
        for (_, entry), (_, value) in zip(found, expected, strict=True):
            assert equal(entry.value, value), entry
            raw = tomllib.loads(f"x = {text[entry.start : entry.end]}")["x"]
            assert repr(raw) == repr(value)  # as nan != nan


@given(files())
def test_same_values(text: str) -> None:
    same(text)


@given(st.lists(pieces, max_size=14).map("".join))
def test_same_texts_are_valid(text: str) -> None:
    same(text)


@given(st.lists(pieces, max_size=8).map("".join))
def test_same_values_are_valid(text: str) -> None:
    same(f"x = {text}")


statements = st.builds(
    "{}{}={}{}{}".format,
    st.sampled_from(["a", "b", "a.b", "a.b.c", "b.a", "a-b", "1", "ab", '"c"', "a. b"]),
    st.sampled_from(["", " ", "\t"]),
    st.sampled_from(
        [
            *('"x"', " 'y'", '""', '"\x7f"', '"""\nz "a" \n"""', '"""b\\t"""'),
            *("1", " -1.50", "+2", "01", "1.", "1e3", "true"),
        ]
    ),
    st.sampled_from(["", " # why", "\t", "#\x00", " # \té"]),
    st.sampled_from(["\n", "\r\n", "\n\n# c\n", "\r", "\n[t]\n"]),
)


@given(st.lists(statements, max_size=5).map("".join), st.lists(pieces, max_size=1).map("".join), st.integers(0, 60))
def test_plain_statements(text: str, extra: str, at: int) -> None:
    at %= len(text) + 1
    same(text)
    same(text[:at] + extra + text[at:])


@given(files(), st.lists(pieces, max_size=3).map("".join), st.integers(0, 300), st.integers(0, 3))
def test_same_texts_are_valid_after_damage(text: str, extra: str, at: int, cut: int) -> None:
    at %= len(text) + 1
    same(text[:at] + extra + text[at + cut :])


@pytest.mark.parametrize("path", sorted(ROOT.glob("**/*.toml")), ids=lambda path: str(path.relative_to(ROOT)))
def test_the_files_of_the_project(path: Path) -> None:
    data = path.read_bytes()
    tree = parse(Source.from_bytes(data, str(path)))
    assert tree.render() == data
    same(data.decode())


@pytest.mark.parametrize(
    "text",
    [
        # Examples of the kinds that the specification has, https://toml.io/en/v1.0.0
        'title = "x"\n[owner]\nname = "T"\ndob = 1979-05-27T07:32:00-08:00\n[database]\nports = [ 8000, 8001 ]\n',
        'a.b = 1\na."c.d" = 2\n"" = 3\n"ʎǝʞ" = 4\n3.14 = 5\n- = 6\n',
        'a = """\nRoses \\\n   are "red" ""\\" \\\n\n  x"""\nb = \'\'\'\nI [dw]on\'t \'\'\'\'\'\nc = """"""""\n',
        "a = [ 99, 5_349_221, +1, -0, 0xDEAD_beef, 0o755, 0b1101 ]\nb = [ 3.14, 5e+22, 1e06, -2E-2, inf, -inf ]\n",
        "a = nan\nb = -nan\nc = [nan]\n",
        "a = [1979-05-27T07:32:00Z, 1979-05-27 00:32:00.999999-07:00, 1979-05-27, 07:32:00, 1979-05-27t07:32:00.5]\n",
        'a = [ [ 1, 2 ], ["a", "b", """c"""], [], [[]] ] # x\nb = [\n  1, # one\n  # two\n  2,\n]\n',
        "a = { b = { c = 1 }, d.e = 2, f = [] }\ng = [ { x = 1 }, [ { y = 2 } ], 3 ]\nh = {}\n",
        "[[fruit]]\nname = 1\n[fruit.physical]\ncolor = 2\n[[fruit.variety]]\nname = 3\n[[fruit.variety]]\nname = 4\n"
        "[[fruit]]\n[[fruit.variety]]\nname = 5\n[x.y.z.w]\n[x]\n[ j . \"k\" . 'l' ]\n",
        "a = \"\\b\\t\\n\\f\\r\\\"\\\\\\u00E9\\U0001F600\"\r\nb = '''\r\nx\r\ny'''\r\n[c]\r\n\td = 1\r\n",
        "a = 1 # no line end",
        "",
    ],
)
def test_written_by_hand(text: str) -> None:
    tomllib.loads(text)
    same(text)
