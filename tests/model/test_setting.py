"""The registry of settings: every row of the table read, and sound."""

from __future__ import annotations

import subprocess
import sys

import pytest

from convert.errors import UsageError
from convert.model.setting import FAMILIES, FEATURES, SCOPES, SETTINGS, family, feature, scope_of, setting
from convert.resources import read_bytes
from convert.units import unit

LINES = read_bytes("schemas", "settings.tsv").decode().splitlines()
HEAD, ROWS = LINES[0].split("\t"), [line.split("\t") for line in LINES[1:]]


def test_every_row_is_read() -> None:
    assert len(ROWS) == len({row[0] for row in ROWS}) == len(SETTINGS) >= 257
    assert list(SETTINGS) == [row[0] for row in ROWS]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_a_row_is_sound(row: list[str]) -> None:
    fields = dict(zip(HEAD, row, strict=True))
    found = setting(fields["id"])
    assert (found.id, found.scope, found.kind, found.unit) == tuple(row[:4])
    assert found.scope in SCOPES
    assert found.per_tool == (fields["per_tool"] == "yes")
    assert "|".join(found.choices) == fields["choices"]
    assert bool(found.choices) == (found.kind == "choice")
    assert found.meaning
    for word in found.choices:
        assert word not in ("off", "unlimited", "automatic", "true", "false")
        assert word.strip() == word
        assert " " not in word
    if found.is_number:
        assert found.minimum is not None
        assert found.maximum is not None
        assert found.minimum < found.maximum
        assert (float(found.minimum), float(found.maximum)) == (float(fields["min"]), float(fields["max"]))
        assert unit(found.unit, found.kind).code == found.unit
    else:
        assert found.minimum is None
        assert found.maximum is None
        assert found.unit == ("mm" if found.kind == "outline" else "")


def test_features_and_families() -> None:
    assert feature("acceleration.travel") == "travel"
    assert (feature("speed.default"), family("speed.default")) == (None, "speed")
    assert (feature("speed.flow_cap"), family("speed.flow_cap")) == (None, None)
    assert (feature("fan.first_layer"), family("retract.speed")) == (None, None)
    for name in FEATURES:
        assert any(f"{head}.{name}" in SETTINGS for head in FAMILIES)
    assert scope_of("nozzle.diameter") == "machine"


@pytest.mark.parametrize(
    ("wrong", "right"),
    [("speed.outer_wal", "speed.outer_wall"), ("Speed.Outer-Wall", "speed.outer_wall"), ("nozzle", "nozzle.diameter")],
)
def test_an_unknown_id_names_close_ones(wrong: str, right: str) -> None:
    with pytest.raises(UsageError) as caught:
        setting(wrong)
    assert right in caught.value.hint


@pytest.mark.parametrize("wrong", ["", "zzzzzzzzzzzz", "x" * 100000])
def test_an_unknown_id_that_is_like_none(wrong: str) -> None:
    with pytest.raises(UsageError) as caught:
        setting(wrong)
    assert len(str(caught.value)) < 200


def test_nothing_is_read_before_it_is_asked_for() -> None:
    code = "import convert.model.setting as s; assert not s.SETTINGS._rows; assert len(s.SETTINGS) > 200"
    subprocess.run([sys.executable, "-c", code], check=True)
