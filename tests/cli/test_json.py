"""Every JSON result keeps to its schema, and says the same each time."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from convert.resources import folder, read_bytes
from tests.cli.run import BOTH, MARL, run
from tests.zoo import CORPUS

SETUP = ("anvil.marl", "hank.marl", "fine.marl")
CALLS: dict[str, tuple[str, ...]] = {
    "show": ("show", *MARL, *SETUP),
    "ledger": ("convert", *BOTH, *SETUP, "--to", "loess", "--dry-run"),
    "tables": ("tables", *BOTH),
    "settings": ("settings", *BOTH),
    "set": ("set", *BOTH, "layer.height=0.1mm", "heat.nozzle=", *SETUP, "--dry-run"),
    "check": ("tables", "check", "marl.toml", "hank.marl"),
}


def validator(kind: str) -> Draft202012Validator:
    schema = json.loads(read_bytes("schemas", f"{kind}.schema.json"))
    return Draft202012Validator(schema)


def judge(document: Any) -> None:
    kind, _, version = document["beadwise"].partition("/")
    assert version == "1"
    errors = [f"{list(error.absolute_path)}: {error.message}" for error in validator(kind).iter_errors(document)]
    assert errors == []


@pytest.mark.parametrize("kind", CALLS)
def test_result_keeps_to_its_schema(shop: Path, kind: str) -> None:
    result = run(*CALLS[kind], "--format", "json")
    document = result.document
    assert document["beadwise"] == f"{kind}/1"
    judge(document)
    assert run(*CALLS[kind], "--format", "json").data == result.data
    assert result.data.startswith(b'{\n  "beadwise": "')
    assert result.data.endswith(b"}\n")


def test_whatever_is_shown_keeps_to_the_schema() -> None:
    judge(run("show", os.path.join(CORPUS, "awkward"), "--format", "json").document)
    judge(run("show", os.path.join(CORPUS, "workshop", "master"), "--format", "json").document)


def test_ledgers_of_the_workshop_keep_to_the_schema(tmp_path: Path) -> None:
    master = os.path.join(CORPUS, "workshop", "master")
    files = [os.path.join(master, name) for name in ("kestavo-c3.toml", "meadow.toml", "kestavo-fine.toml")]
    for dialect in ("canonical", "quern", "trug"):
        judge(run("convert", *files, "--to", dialect, "--dry-run", "--format", "json").document)


def test_every_schema_is_one() -> None:
    names = [name for name in os.listdir(folder("schemas")) if name.endswith(".schema.json")]
    assert {f"{kind}.schema.json" for kind in CALLS} <= set(names)
    for name in names:
        schema = json.loads(read_bytes("schemas", name))
        Draft202012Validator.check_schema(schema)
        kind = name.removesuffix(".schema.json")
        assert schema.get("$id", f"urn:beadwise:schema:{kind}:1") == f"urn:beadwise:schema:{kind}:1"
        assert schema["title"]
        assert schema["description"]
