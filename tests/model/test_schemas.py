"""The schema files: the generated one is up to date, and the results of the commands fit theirs."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from convert.dialects.fates import MEANINGS
from convert.model.jsontext import dumps
from convert.model.schema import FILE, build
from convert.model.setting import SETTINGS
from convert.resources import read_bytes

CODE = "from convert.cli.main import main; main()"
PROFILE = """{"beadwise": "profile/1", "name": "fine", "scopes": ["process"], "settings": {
 "layer.height": {"value": 0.2, "unit": "mm"}, "speed.default": {"value": 1000, "unit": "mm/min"},
 "speed.first_layer": {"percent": 40, "of": "speed.default"}, "base.kind": {"value": "brim"},
 "speed.outer_wall": {"value": 9000, "unit": "mm/s"}, "infill.solid_interval": {"state": "off"}}}
"""


def run(*arguments: str) -> Any:
    command = [sys.executable, "-c", CODE, *arguments, "--format", "json"]
    return json.loads(subprocess.run(command, capture_output=True, check=False).stdout)


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The result of each command, by kind."""
    place: Path = tmp_path_factory.mktemp("results")
    file = place / "fine.json"
    file.write_text(PROFILE)
    tables = run("tables")
    dialect = next(row["dialect"] for row in tables["tables"] if row["dialect"] != "canonical")
    return {
        "tables": tables,
        "settings": run("settings"),
        "show": run("show", str(file)),
        "ledger": run("convert", str(file), "--to", dialect, "--out", str(place / "out")),
    }


KINDS = ("tables", "settings", "show", "ledger")


def schema(kind: str) -> Any:
    return json.loads(read_bytes("schemas", f"{kind}.schema.json"))


def test_the_schema_of_profiles_is_what_the_tables_make() -> None:
    hint = "python -m convert.model.schema writes it anew"
    assert read_bytes("schemas", FILE).decode() == dumps(build()) + "\n", hint


def test_every_setting_is_in_the_schema_of_profiles() -> None:
    assert list(schema("profile")["properties"]["settings"]["properties"]) == list(SETTINGS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_result_fits_its_schema(kind: str, results: dict[str, Any]) -> None:
    errors = [error.message for error in Draft202012Validator(schema(kind)).iter_errors(results[kind])]
    assert errors == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_result_that_lacks_a_required_member_does_not_fit(kind: str, results: dict[str, Any]) -> None:
    validator = Draft202012Validator(schema(kind))
    doc = results[kind]
    for name in schema(kind)["required"]:
        assert not validator.is_valid({key: item for key, item in doc.items() if key != name}), name
    assert not validator.is_valid({**doc, "beadwise": "other/1"})


def test_rows_of_results_are_judged_too(results: dict[str, Any]) -> None:
    ledger = json.loads(json.dumps(results["ledger"]))
    ledger["entries"][0]["fate"] = "vanished"
    assert not Draft202012Validator(schema("ledger")).is_valid(ledger)
    show = json.loads(json.dumps(results["show"]))
    show["profiles"][0]["settings"]["layer.height"]["origin"]["how"] = "guessed"
    assert not Draft202012Validator(schema("show")).is_valid(show)


def test_the_fates_of_the_schema_are_those_of_the_converter() -> None:
    assert schema("ledger")["$defs"]["fate"]["enum"] == list(MEANINGS)
