"""A setup of one machine, four filaments and three processes goes to another dialect in one command."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.run import run
from tests.zoo import WORKSHOP

NAMES = ("kestavo-c3", "meadow", "harbour", "flint", "hob", "kestavo-everyday", "kestavo-fine", "kestavo-quick")
BUNDLE = [os.path.join(WORKSHOP, "master", f"{name}.toml") for name in NAMES]


@pytest.mark.parametrize(
    ("dialect", "names"),
    [
        (
            "sedge",
            {
                "Kestavo C3.bench.json",
                "Meadow.thread.json",
                "Harbour.thread.json",
                "Flint.thread.json",
                "Hob.thread.json",
                "Kestavo everyday.method.json",
                "Kestavo fine.method.json",
                "Kestavo quick.method.json",
            },
        ),
        ("trug", {"Kestavo C3.trug"}),
        ("skep", {"Kestavo C3.skep.csv"}),
    ],
)
def test_each_file_is_named_sensibly(dialect: str, names: set[str], tmp_path: Path) -> None:
    done = run("convert", *BUNDLE, "--to", dialect, "--out", f"{tmp_path}/")
    assert done.status == 0
    assert set(os.listdir(tmp_path)) == names
    assert "settings read back equal" in done.err


def test_whole_setups_come_in_every_combination(tmp_path: Path) -> None:
    done = run("convert", *BUNDLE, "--to", "quern", "--out", f"{tmp_path}/")
    assert done.status == 0
    made = sorted(os.listdir(tmp_path))
    assert len(made) == 4 * 3
    assert "Kestavo C3 - Meadow - Kestavo fine.quern.ini" in made


def test_placeholders_are_translated_and_what_has_no_counterpart_is_named(tmp_path: Path) -> None:
    source = tmp_path / "one.toml"
    source.write_text(
        'beadwise = "master/1"\nname = "one"\nheat.nozzle_first = "215 Cel"\nchamber.heated = true\n'
        'heat.chamber = "45 Cel"\ncode.start = "G28\\nM109 S{heat.nozzle_first}\\nM191 S{heat.chamber}"\n'
    )
    done = run("convert", str(source), "--to", "quern", "--out", str(tmp_path / "one.ini"), "--format", "json")
    assert done.status == 0
    code = next(e for e in done.document["entries"] if e["side"] == "source" and e["setting"] == "code.start")
    text = (tmp_path / "one.ini").read_text()
    if code["fate"] == "link_lost":
        assert "heat.chamber" in code["says"]
        assert "M191 S45" in text
    else:
        assert text.count("<:") == 2
    assert "{heat" not in text
