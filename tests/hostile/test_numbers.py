"""Numbers as large or small as text allows: what is read can be written, and what is written can be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.run import run

HUGE = ("9" * 400, "1e400", "1e329", "-1e329", "1e-329", "0." + "0" * 390 + "1", "0e400", "1e99999", "1" + "0" * 330)
HEAD = "setup.called = Huge\nply.rise = {}\nply.rise.sole = 0.2\npace.all = {}\npace.rind = 50%\nramp.all = {}\n"


@pytest.mark.parametrize("number", HUGE, ids=[number[:9] + str(len(number)) for number in HUGE])
def test_what_is_written_can_be_read(number: str) -> None:
    Path("huge.quern.ini").write_text(HEAD.format(number, number, number))
    for dialect in ("canonical", "hasp", "master", "quern", "sedge", "skep", "trug", "withy"):
        made = run(
            "convert", "huge.quern.ini", "--from", "quern", "--to", dialect, "--out", dialect + "/", "--format=json"
        )
        assert made.status == 0, made.err
        assert sum(made.document["counts"]["source"].values()) == 6
        again = run("show", dialect, "--from", dialect, "--format", "json")
        assert again.status == 0, again.err
        assert run("audit", dialect, "--from", dialect, "--format", "json").status in (0, 1)
    back = run("convert", "canonical", "--to", "quern")
    assert back.status == 0, back.err
    assert back.data == Path("huge.quern.ini").read_bytes()


def test_the_calculator_refuses_what_no_double_holds() -> None:
    for height in ("1e400mm", "1e320mm", "1e307m", "9" * 400 + "mm"):
        result = run("compute", "volume_flow", "width=0.45mm", f"height={height}", "speed=9m/min", "--format", "json")
        assert result.status == 2
        assert not result.data
        assert "height" in result.err
    result = run("compute", "volume_flow", "width=1e250m", "height=1e250mm", "speed=9m/min", "--format", "json")
    assert result.status == 2
    assert not result.data


def test_a_residual_beyond_doubles_is_no_fault() -> None:
    Path("huge.quern.ini").write_text(HEAD.format("0.1", "1e320", "1e321"))
    made = run(
        "convert", "huge.quern.ini", "--from", "quern", "--to", "withy", "--ledger", "l.json", "--out", "x.withy.gcode"
    )
    assert made.status == 0
    assert json.loads(Path("l.json").read_text())["source_keys"] == 6
