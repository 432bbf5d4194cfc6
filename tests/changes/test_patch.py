"""JSON Patch: applied by a small implementation of RFC 6902 written for this test from the RFC's text alone."""

from __future__ import annotations

import copy
import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.changes.patch import patch, pointer, same
from tests.cli.run import run
from tests.zoo import WORKSHOP


class Refused(Exception):
    """A `test` failed or a path leads nowhere: the whole patch is void (RFC 6902, section 5)."""


def applied(document: Any, operations: list[dict[str, Any]]) -> Any:
    """RFC 6902, the operations add, remove, replace and test on members of objects."""
    document = copy.deepcopy(document)
    for operation in operations:
        parts = [part.replace("~1", "/").replace("~0", "~") for part in operation["path"].split("/")[1:]]
        here = document
        for part in parts[:-1]:
            if not isinstance(here, dict) or part not in here:
                raise Refused(operation)
            here = here[part]
        name, op = parts[-1], operation["op"]
        if op != "add" and name not in here:
            raise Refused(operation)
        if op == "test":
            if json.dumps(here[name], sort_keys=True) != json.dumps(operation["value"], sort_keys=True):
                raise Refused(operation)
        elif op == "remove":
            del here[name]
        elif op in ("add", "replace"):
            here[name] = copy.deepcopy(operation["value"])
        else:
            raise AssertionError(f"{op} is not expected")
    return document


names = st.sampled_from(["a", "b/c", "d~e", "f~1g", "", "layer.height"])
values = st.recursive(
    st.none() | st.booleans() | st.integers(-5, 5) | st.sampled_from([0.5, 1.25]) | st.sampled_from(["x", "y"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=8,
)
documents = st.dictionaries(names, st.dictionaries(names, values, max_size=4) | values, max_size=4)


@given(documents, documents, st.integers(1, 4))
def test_a_patch_leads_from_one_document_to_the_other(old: Any, new: Any, depth: int) -> None:
    operations = patch(old, new, depth)
    assert applied(json.loads(json.dumps(old)), json.loads(json.dumps(operations))) == new
    assert patch(old, old, depth) == []


@given(documents, documents)
def test_every_change_is_guarded(old: Any, new: Any) -> None:
    operations = patch(old, new)
    for before, operation in zip([None, *operations], operations, strict=False):
        if operation["op"] in ("replace", "remove"):
            assert before is not None
            assert (before["op"], before["path"]) == ("test", operation["path"])
    if any(operation["op"] == "test" for operation in operations):
        with pytest.raises(Refused):
            applied(new, operations)


@given(values, values)
def test_equality_is_that_of_json_texts(one: Any, two: Any) -> None:
    assert same(one, one)
    assert same(one, two) == (json.dumps(one, sort_keys=True) == json.dumps(two, sort_keys=True))


def test_numbers_are_compared_by_value() -> None:
    # RFC 6902, 4.6: numbers are equal if their values are numerically equal.
    assert same({"value": 1}, {"value": 1.0})
    assert not same(1, True)
    assert not same(0, False)
    assert not same("1", 1)


def test_names_are_escaped_as_the_rfc_shows() -> None:
    # RFC 6901, section 5: the members "a/b" and "m~n" are at /a~1b and /m~0n.
    assert (pointer("a/b"), pointer("m~n"), pointer("")) == ("a~1b", "m~0n", "")


def test_profiles_of_the_workshop() -> None:
    one, two = (os.path.join(WORKSHOP, "canonical", f"Kestavo {name}.process.json") for name in ("fine", "quick"))
    with open(one, encoding="utf-8") as first, open(two, encoding="utf-8") as second:
        old, new = json.load(first), json.load(second)
    operations = patch(old, new)
    assert {"/settings/layer.height", "/name"} <= {operation["path"] for operation in operations}
    patched = applied(old, operations)
    assert patched == {**new, **({"layouts": old["layouts"]} if "layouts" in old else {})}
    shown = run("show", "-", "--format", "json", stdin=json.dumps(patched).encode())
    assert shown.status == 0
    assert shown.document["profiles"][0]["settings"].keys() == new["settings"].keys()


def test_diff_prints_a_patch_that_leads_to_the_new_document(tmp_path: Path) -> None:
    """Across dialects: applied to the canonical document of OLD it gives that of NEW, layouts aside."""
    old = os.path.join(WORKSHOP, "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")
    new = tmp_path / "new.ini"
    new.write_bytes(Path(old).read_bytes() + b"odd.key = 1\n")
    assert run("set", "layer.height=0.2mm", "speed.top=", "speed.infill=80 % of speed.default", str(new)).status == 0
    result = run("diff", old, str(new), "--format", "patch")
    assert result.status == 1
    documents = []
    for number, path in enumerate((old, str(new))):
        out = tmp_path / f"{number}.json"
        assert run("convert", path, "--to", "canonical", "--out", str(out), "--quiet").status == 0
        documents.append({k: v for k, v in json.loads(out.read_text(encoding="utf-8")).items() if k != "layouts"})
    assert applied(documents[0], result.document) == documents[1]
    changed = [operation["path"] for operation in result.document if operation["op"] != "test"]
    assert "/settings/layer.height" in changed
    assert len(changed) <= 6
    with pytest.raises(Refused):
        applied(documents[1], result.document)
    same_files = run("diff", old, old, "--format", "patch")
    assert (same_files.status, same_files.document) == (0, [])


def test_a_patch_is_of_one_profile() -> None:
    both = os.path.join(WORKSHOP, "trug", "Kestavo C3.trug")
    result = run("diff", both, both, "--format", "patch")
    assert (result.status, result.data) == (2, b"")
    assert "--profile" in result.err
