"""The JSON Schemas that we ship, against the 2020-12 metaschema.

Source: https://json-schema.org/draft/2020-12/schema, as packaged by jsonschema-specifications.
"""

from __future__ import annotations

import json
import os
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from convert.resources import folder

FILES = sorted(name for name in os.listdir(folder("schemas")) if name.endswith(".schema.json"))


def load(name: str) -> Any:
    with open(os.path.join(folder("schemas"), name), encoding="utf-8") as file:
        return json.load(file)


def test_the_schemas_are_there() -> None:
    assert {"profile.schema.json", "show.schema.json", "ledger.schema.json"} <= set(FILES)


@pytest.mark.parametrize("name", FILES)
def test_a_schema_is_a_schema(name: str) -> None:
    schema = load(name)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["description"]
    Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("name", FILES)
def test_every_reference_leads_somewhere(name: str) -> None:
    schema = load(name)
    definitions = schema.get("$defs", {})
    used: set[str] = set()
    todo: list[Any] = [schema]
    while todo:
        here = todo.pop()
        if isinstance(here, dict):
            if isinstance(here.get("$ref"), str):
                used.add(here["$ref"])
            todo.extend(here.values())
        elif isinstance(here, list):
            todo.extend(here)
    assert used - {"#"} == {f"#/$defs/{definition}" for definition in definitions}


def test_the_metaschema_does_refuse() -> None:
    with pytest.raises(Exception, match=r"is not valid under any of the given schemas"):
        Draft202012Validator.check_schema({"type": "nonsense"})
