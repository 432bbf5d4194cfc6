"""Files, streams and targets that are not what they should be."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.run import run

SETUP = "setup.called = Plain\nply.rise = 0.2\nply.rise.sole = 0.2\npace.all = 60\npace.rind = 50%\nramp.all = 3\n"
ROOT = os.path.abspath(os.path.join(os.path.dirname(__file__), "..", ".."))


@pytest.fixture(autouse=True)
def plain(folder: Path) -> None:
    Path("plain.quern.ini").write_text(SETUP)


def called(command: str) -> subprocess.CompletedProcess[bytes]:
    """A shell's call of the command, for streams that only a shell can twist."""
    environment = {**os.environ, "PYTHONPATH": ROOT}
    shell = command.replace("beadwise", f"'{sys.executable}' -m convert")
    return subprocess.run(shell, shell=True, capture_output=True, env=environment, timeout=60)


def test_closed_standard_input_is_no_fault() -> None:
    done = called("beadwise show - <&-")
    assert done.returncode == 3
    assert b"standard input is closed" in done.stderr


def test_closed_or_full_output_is_no_pass() -> None:
    for streams in (">&-", ">/dev/full"):
        for command in ("show", "convert --to trug --quiet", "audit"):
            done = called(f"beadwise {command} plain.quern.ini {streams}")
            assert done.returncode == 3
            assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("place", ["", "-"])
def test_out_and_ledger_are_files(place: str) -> None:
    for option in ("--out", "--ledger"):
        assert run("convert", "plain.quern.ini", "--to", "trug", option, place).status == 2
    assert os.listdir() == ["plain.quern.ini"]


def test_the_ledger_never_takes_the_place_of_a_source() -> None:
    os.symlink("plain.quern.ini", "link")
    for ledger in ("plain.quern.ini", "./plain.quern.ini", "link"):
        result = run("convert", "plain.quern.ini", "--to", "trug", "--out", "x.trug", "--ledger", ledger, "--replace")
        assert result.status == 2
    assert Path("plain.quern.ini").read_text() == SETUP
    assert not Path("x.trug").exists()
