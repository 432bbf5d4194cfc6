"""The master sheets of the demo workshop, read with the standard library and followed to their parents here.

The product's own readers are left out on purpose: these tests judge the sheets, not the readers.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from convert.model.phrase import parse_phrase
from convert.model.setting import setting
from convert.model.value import Value

CORPUS = Path(__file__).parents[2] / "corpus"
MASTER = CORPUS / "workshop" / "master"
SHEETS = sorted(path.name for path in MASTER.glob("*.toml"))
BOOK = ("beadwise", "name", "based_on")


def leaves(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Dotted keys and their plain values."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from leaves(value, f"{above}{key}.")
        else:
            yield above + key, value


def document(name: str) -> dict[str, Any]:
    return tomllib.loads((MASTER / name).read_text("utf-8"))


def own(name: str) -> dict[str, Value]:
    """What a sheet says itself."""
    said = leaves({key: value for key, value in document(name).items() if key not in BOOK})
    texts = {key: value if isinstance(value, str) else str(value).lower() for key, value in said}
    return {key: parse_phrase(text, setting(key)) for key, text in texts.items()}


def full(name: str) -> dict[str, Value]:
    """What a sheet means: parents first."""
    parent = document(name).get("based_on")
    return {**(full(parent) if parent else {}), **own(name)}


def setups() -> list[dict[str, Any]]:
    return tomllib.loads((CORPUS / "workshop" / "setups.toml").read_text("utf-8"))["setup"]


def setup(files: list[str]) -> dict[str, Value]:
    values: dict[str, Value] = {}
    for name in files:
        values.update(full(name))
    return values
