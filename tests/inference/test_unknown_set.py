"""The two sets of unknown dialects are whole, unchanged and consistent.

The first was written before the matcher, the second later, both independently of its vocabulary. Nothing here tests the
matcher: these tests hold the sets to their digests, and their truth files to their samples and known profiles.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import tomllib
from fractions import Fraction
from pathlib import Path

import pytest

from convert.model.check import check
from convert.model.decimals import settle
from convert.model.numbers import converted, parse_number, split_quantity
from convert.model.phrase import parse_phrase
from convert.model.profile import Profile, equal_values, scopes_of
from convert.model.setting import SETTINGS, Setting
from convert.model.value import Share, State, Value
from convert.resources import read_bytes
from convert.text.registry import load, sniff
from convert.text.source import Source
from convert.text.tree import Tree
from convert.units import unit
from tests.inference.measure import HERE, SETS, home, split

SAMPLES = ("a", "b")


def read(dialect: str, *names: str) -> bytes:
    """A file of a dialect."""
    with open(os.path.join(home(dialect), *names), "rb") as file:
        return file.read()


DIALECTS = [name for which in SETS for part in split(which).values() for name in part]


def truth(dialect: str) -> dict:
    return json.loads(read(dialect, "truth.json"))


def trees(dialect: str, sample: str) -> dict[str, Tree]:
    """The files of a sample, read with the options of the structure truth."""
    structure = truth(dialect)["structure"]
    syntax = load(structure["syntax"])
    return {
        name: syntax.parse(Source.from_bytes(read(dialect, sample, name), name), structure["options"])
        for name in structure["files"]
    }


# --- what a value of the sample means, by the truth


def part(record: dict, raw: str) -> str:
    """The part of a compound value that a record speaks of."""
    relation = record["relation"] or {}
    if "compound" not in relation:
        return raw
    pieces = re.split(r"\{\d+\}", relation["compound"])
    found = re.fullmatch("(.+?)".join(re.escape(piece) for piece in pieces), raw)
    assert found, (record["key"], raw)
    return found[relation["part"]]


def meaning(record: dict, raw: str | tuple, beside: str | None, doc: dict) -> Value:
    """The canonical value; `beside` is the unit that stands beside the value."""
    relation = record["relation"] or {}
    setting = SETTINGS[record["setting"]]
    if setting.kind == "outline":
        return tuple(tuple(parse_number(number) for number in point) for point in raw)
    if isinstance(raw, str):
        raw = part(record, raw)
    if "list" in relation:
        items = raw if isinstance(raw, tuple) else raw.split(relation["list"])
        return tuple(one_meaning(record, setting, item.strip(), beside, doc) for item in items)
    assert isinstance(raw, str), record
    return one_meaning(record, setting, raw, beside, doc)


def one_meaning(record: dict, setting: Setting, raw: str, beside: str | None, doc: dict) -> Value:
    words = record.get("words", {})
    if raw in words:
        word = words[raw]
        if isinstance(word, dict):
            return State(word["state"]) if "state" in word else Share(Fraction(word["percent"]), word["of"])
        return word
    if setting.kind == "text":
        return raw
    if setting.kind == "flag" and raw in ("true", "false"):  # JSON's own
        return raw == "true"
    if setting.kind == "code":
        return code(raw, doc)
    assert setting.is_number, (record, raw)
    return number(record, setting, raw, beside, doc["structure"]["decimal_mark"])


def number(record: dict, setting: Setting, raw: str, beside: str | None, mark: str) -> Value:
    relation = record["relation"] or {}
    written: str | None = record["unit"]
    if "unit_from" in relation and beside is None:
        raw, written = split_quantity(raw)
    elif "unit_from" in relation:
        written = beside
    value = parse_number(raw.removesuffix("%").strip() if written == "%" else raw, mark)
    if relation.get("scale") == "0..255":
        value = value * 100 / 255
    elif relation.get("fraction"):
        value = value * 100
    elif "percent_of" not in relation and written is not None:
        value = converted(value, unit(written, setting.kind), unit(setting.unit, setting.kind))
    if "complement_of" in relation:
        value = relation["complement_of"] - value
    if "percent_of" in relation:
        return Share(value, relation["percent_of"])
    return settle(value)


def code(raw: str, doc: dict) -> str:
    """Command code with the canonical placeholders; a placeholder of a key without meaning stays as it is."""
    structure = doc["structure"]
    names = {}
    for row in doc["keys"]:
        steps = [*row["path"], row["key"]]
        names |= {mark.join(steps[at:]): row["setting"] for at in range(len(steps)) for mark in "./"}
    names |= structure.get("placeholder_names", {})
    opening, closing = structure["placeholder"].split(" ")
    if structure["newline"]:
        raw = raw.replace(structure["newline"], "\n")

    def canonical(found: re.Match[str]) -> str:
        return f"{{{names[found[1]]}}}" if names.get(found[1]) else found[0]

    return re.sub(f"{re.escape(opening)}([^<>{{}}%$]+?){re.escape(closing)}", canonical, raw)


def settings_of(dialect: str, sample: str) -> dict[str, Value]:
    """All settings of a sample; a file later in the list of the structure truth goes before its parents."""
    doc = truth(dialect)
    found: dict[str, Value] = {}
    for name, tree in trees(dialect, sample).items():
        for entry in tree.entries:
            for row in doc["keys"]:
                if row["setting"] and (row["file"], row["path"], row["key"]) == (name, list(entry.path), entry.key):
                    found[row["setting"]] = meaning(row, entry.value, entry.unit, doc)
    return found


def known_profile(dialect: str) -> dict[str, Value]:
    """The master file that goes with sample A."""
    found: dict[str, Value] = {}
    todo: list[tuple[str, object]] = list(tomllib.loads(read(dialect, "profile.toml").decode()).items())
    while todo:
        name, value = todo.pop()
        if isinstance(value, dict):
            todo += [(f"{name}.{key}", inner) for key, inner in value.items()]
        elif name in SETTINGS:
            found[name] = value if isinstance(value, bool) else parse_phrase(str(value), SETTINGS[name])
        else:
            assert name in ("beadwise", "name"), name
    return found


# --- the tests


@pytest.mark.parametrize("which", SETS)
def test_a_set_is_unchanged(which: str) -> None:
    top = Path(HERE, which)
    lines = [line.split("  ", 1) for line in (top / "digests.txt").read_text().splitlines()]
    there = {
        path.relative_to(top).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in top.rglob("*")
        if path.is_file()
    }
    del there["digests.txt"]
    assert there == {path: digest for digest, path in lines}


@pytest.mark.parametrize("which", SETS)
def test_every_dialect_has_a_part(which: str) -> None:
    parts = split(which)
    assert list(parts) == ["tune", "held"]
    assert min(map(len, parts.values())) >= 4
    folders = [path.name for path in Path(HERE, which).iterdir() if path.is_dir()]
    assert sorted(folders) == sorted([*parts["tune"], *parts["held"]])


@pytest.mark.parametrize("dialect", DIALECTS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_samples_are_well_formed(dialect: str, sample: str) -> None:
    found = trees(dialect, sample)
    assert sorted(found) == sorted(os.listdir(os.path.join(home(dialect), sample)))
    for tree in found.values():
        assert not tree.problems
        assert tree.source.encode("".join(tree.pieces())) == tree.source.data
        assert truth(dialect)["structure"]["syntax"] in sniff(tree.source)


@pytest.mark.parametrize("dialect", DIALECTS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_truth_covers_every_key_once(dialect: str, sample: str) -> None:
    keys = [(name, entry.path, entry.key) for name, tree in trees(dialect, sample).items() for entry in tree.entries]
    records: dict[tuple, list[int]] = {}
    for row in truth(dialect)["keys"]:
        records.setdefault((row["file"], tuple(row["path"]), row["key"]), []).append(
            (row["relation"] or {}).get("part", 1)
        )
    assert sorted(keys) == sorted(records)
    assert all(parts == list(range(1, len(parts) + 1)) for parts in records.values())


@pytest.mark.parametrize("dialect", DIALECTS)
def test_records_are_sound(dialect: str) -> None:
    doc = truth(dialect)
    fields = ["file", "path", "key", "setting", "unit", "relation"]
    relations = {
        "percent_of", "scale", "fraction", "complement_of", "list", "unit_from", "compound", "part", "placeholder",
    }  # fmt: skip
    parents = doc["structure"]["parents"]
    for row in doc["keys"]:
        assert list(row)[:6] == fields
        assert set(row) - {*fields} <= ({"words"} if row["setting"] else {"why"})
        assert set(row["relation"] or {}) <= relations
        if row["setting"] is None:
            assert row["why"] in ("bookkeeping", "no such setting")
            assert row["unit"] is None
        else:
            setting = SETTINGS[row["setting"]]
            assert (row["unit"] is not None) == (setting.is_number and setting.kind != "count"), row
    named = [(row["file"] if parents else "", row["setting"]) for row in doc["keys"] if row["setting"]]
    assert len(named) == len(set(named)), "a setting has one key, but for children of a parent"


@pytest.mark.parametrize("dialect", DIALECTS)
def test_sizes(dialect: str) -> None:
    rows = truth(dialect)["keys"]
    keys = {(row["file"], tuple(row["path"]), row["key"]) for row in rows}
    assert 90 <= len(keys) <= 175
    assert 4 <= sum(row.get("why") == "bookkeeping" for row in rows) <= 25


@pytest.mark.parametrize("dialect", DIALECTS)
def test_sample_a_equals_the_known_profile(dialect: str) -> None:
    known, found = known_profile(dialect), settings_of(dialect, "a")
    assert {name for name, value in found.items() if not equal_values(value, known.get(name))} == set()


@pytest.mark.parametrize("dialect", DIALECTS)
def test_values_are_within_the_schema(dialect: str) -> None:
    for settings in (settings_of(dialect, "a"), settings_of(dialect, "b"), known_profile(dialect)):
        assert check(Profile(dialect, scopes_of(settings), settings)) == []


@pytest.mark.parametrize("dialect", DIALECTS)
def test_the_samples_are_two_setups(dialect: str) -> None:
    a, b = settings_of(dialect, "a"), settings_of(dialect, "b")
    assert a.keys() == b.keys()
    assert 5 * sum(not equal_values(a[name], b[name]) for name in a) >= 2 * len(a)


def test_next_to_no_key_of_the_shipped_tables_is_reused() -> None:
    """A row of a table names a key, alone or with its path, and the setting that it leads to.

    The second set's author had not seen the tables; five everyday names are in both.
    """
    folder = os.path.join(os.path.dirname(os.path.dirname(HERE)), "mappings")
    row = re.compile(r'^"?([^"=\n]+?)"?\s*=\s*(?:\{to = )?"([a-z_.]+)"', re.MULTILINE)
    shipped = {
        key
        for name in sorted(os.listdir(folder))
        if name not in ("master.toml", "canonical.toml")
        for key, setting in row.findall(read_bytes("mappings", name).decode())
        if setting in SETTINGS
    }
    assert len(shipped) > 800
    mine = {row["key"] for dialect in DIALECTS for row in truth(dialect)["keys"] if row["setting"]}
    mine |= {
        mark.join([*row["path"], row["key"]])
        for dialect in DIALECTS
        for row in truth(dialect)["keys"]
        for mark in "./"
        if row["setting"]
    }
    assert mine & shipped == {"title", "tools", "filling/share", "layers/thickest", "layers/thinnest"}
