"""The shipped dialects show every structure, and enough of each other's settings for conversions to mean something."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from convert.dialects.building import ROW_WORDS
from convert.dialects.registry import Registry
from convert.model.setting import SETTINGS
from convert.text.registry import SYNTAXES

MAPPINGS = Path(__file__).parents[2] / "mappings"
SHOWN = ("quern", "trug", "sedge", "hasp", "withy", "skep")
REGISTRY = Registry()


def rows(dialect: str) -> list[dict[str, Any]]:
    """The rows that say more than a name."""
    document = tomllib.loads((MAPPINGS / f"{dialect}.toml").read_text("utf-8"))
    return [row for scope in document["rows"].values() for row in scope.values() if isinstance(row, dict)]


@pytest.mark.parametrize("dialect", SHOWN)
def test_each_says_enough(dialect: str) -> None:
    assert REGISTRY.table(dialect).settings >= 120


def test_together_they_say_everything() -> None:
    said = Counter(name for dialect in SHOWN for name in REGISTRY.table(dialect).by_setting)
    assert set(said) == set(SETTINGS)
    assert sum(count == len(SHOWN) for count in said.values()) >= 110


def test_every_kind_of_row_is_shown() -> None:
    words = Counter(word for dialect in SHOWN for row in rows(dialect) for word in row)
    assert set(words) >= ROW_WORDS - {"to", "lines", "note"}


def test_every_syntax_is_shown() -> None:
    assert {REGISTRY.table(name).syntax for name in REGISTRY.names()} == set(SYNTAXES)


def test_defaults_differ_between_dialects() -> None:
    """Otherwise no conversion would ever have to make a default explicit."""
    tables = [REGISTRY.table(dialect) for dialect in SHOWN]
    both = {name for table in tables for name in table.defaults}
    differing = {name for name in both if len({repr(t.defaults[name]) for t in tables if name in t.defaults}) > 1}
    assert {"feedstock.diameter", "support.enabled", "envelope.origin", "cooling.min_layer_time"} <= differing


def test_placeholder_delimiters_are_all_different() -> None:
    heads = [tomllib.loads((MAPPINGS / f"{dialect}.toml").read_text("utf-8"))["code"] for dialect in SHOWN]
    assert len({head["open"] for head in heads}) == len(SHOWN)
