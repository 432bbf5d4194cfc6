"""Every awkward file gets the report that corpus/awkward/expect.toml asks for, and never anything worse."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from convert.api import Inputs, Session
from convert.errors import BeadwiseError
from convert.model.check import check
from tests.corpus.sheets import CORPUS

AWKWARD = CORPUS / "awkward"
CASES: list[dict[str, Any]] = tomllib.loads((AWKWARD / "expect.toml").read_text("utf-8"))["case"]
SESSION = Session()


def reports(inputs: Inputs) -> list[tuple[int | None, str]]:
    """Line and text of all that reading has to say: errors, problems, wrong values, and keys that no row names."""
    found = [(error.where.line if error.where else None, str(error)) for error in inputs.errors]
    problems = inputs.problems() + [problem for profile in inputs.profiles for problem in check(profile)]
    found += [(problem.where.line if problem.where else None, str(problem)) for problem in problems]
    for file in inputs.family.files:
        records = [record for reading in file.readings for record in reading.records] + file.stray
        for record in records:
            if file.requested and record.role == "unknown":
                found.append((file.tree.source.place(file.tree.entry(record.entry).start)[0], record.key))
        for reading in file.readings:
            table = reading.table
            for key, lens in table.all_keys.items():
                unknown = getattr(getattr(lens, "atom", None), "unknown", None)
                if unknown is not None and key in reading.cells:
                    line = file.tree.source.place(file.tree.entry(reading.indices[key]).start)[0]
                    found += [(line, name) for name in unknown(str(reading.cells[key].value))]
    return found


def test_every_file_has_an_expectation() -> None:
    present = {path.name for path in AWKWARD.iterdir()} - {"expect.toml"}
    assert sorted(case["file"] for case in CASES) == sorted(present)


@pytest.mark.parametrize("case", CASES, ids=[case["file"] for case in CASES])
def test_awkward(case: dict[str, Any]) -> None:
    inputs = SESSION.read([str(AWKWARD / case["file"])])
    files = [file for file in inputs.family.files if file.requested]
    assert [file.table.dialect for file in files] == ([case["dialect"]] if case["dialect"] else [])
    assert len(inputs.readings) == case["profiles"]
    found = reports(inputs)
    text = "\n".join(says for _, says in found)
    if case["report"] == "nothing":
        assert found == []
        return
    assert found
    for word in case.get("mentions", ()):
        assert word in text
    if "line" in case:
        assert case["line"] in [line for line, _ in found]


@pytest.mark.parametrize("case", CASES, ids=[case["file"] for case in CASES])
def test_untouched_bytes_come_back(case: dict[str, Any]) -> None:
    """What can be read goes back into its own dialect byte for byte, however odd it is."""
    path = AWKWARD / case["file"]
    inputs = SESSION.read([str(path)])
    if not inputs.readings or inputs.errors:
        return
    try:
        made = SESSION.convert(inputs, inputs.readings[0].table.dialect)
    except BeadwiseError:
        assert case["report"] != "nothing"
        return
    assert [file.data for file in made.files] == [path.read_bytes()] or made.problems
