"""`beadwise set`: edits in place that leave every other byte alone."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.run import BOTH, MARL, golden, run


def test_change(shop: Path) -> None:
    before = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "layer.height=0.1mm", "speed.default=50 mm/s", "fine.marl")
    assert (result.status, result.err) == (0, "")
    golden("set.txt", result.out)
    assert Path("fine.marl").read_bytes() == before.replace(b"rise = 120", b"rise = 100").replace(b"2400", b"3000")


def test_new_key_overrides_what_is_inherited(shop: Path) -> None:
    before = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "wall.count=5", "fine.marl")
    assert result.status == 0
    assert Path("fine.marl").read_bytes() == before + b"rounds = 5\r\n"
    assert "rounds  (not there)  ->  5" in result.out


def test_same_value_changes_nothing(shop: Path) -> None:
    before = os.stat("fine.marl")
    result = run("set", *MARL, "layer.height=120um", "wall.count=3", "fine.marl")
    assert result.status == 0
    assert "fine.marl  says so already" in result.out
    assert os.stat("fine.marl").st_mtime_ns == before.st_mtime_ns
    assert os.stat("fine.marl").st_ino == before.st_ino


def test_empty_value_takes_the_setting_away(shop: Path) -> None:
    before = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "layer.height=", "fine.marl")
    assert result.status == 0
    assert Path("fine.marl").read_bytes() == before.replace(b"rise = 120   \r\n", b"")
    assert "layer.height is 0.2 mm now, inherited from Everyday" in result.out
    result = run("set", *MARL, "wall.count=", "fine.marl")
    assert "wall.count is 3 still, inherited from Everyday" in result.out


def test_dry_run(shop: Path) -> None:
    before = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "layer.height=0.1mm", "--dry-run", "fine.marl")
    assert "would be changed" in result.out
    assert "rise  120  ->  100" in result.out
    assert Path("fine.marl").read_bytes() == before


def test_out_folder(shop: Path) -> None:
    before = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "layer.height=0.1mm", "fine.marl", "everyday.marl", "--out", "new")
    assert result.status == 0
    assert Path("fine.marl").read_bytes() == before
    assert sorted(os.listdir("new")) == ["everyday.marl", "fine.marl"]
    assert run("set", *MARL, "layer.height=0.1mm", "fine.marl", "--out", "new").status == 3
    assert run("set", *MARL, "layer.height=0.15mm", "fine.marl", "--out", "new", "--replace").status == 0
    assert b"rise = 150" in Path("new/fine.marl").read_bytes()
    assert run("set", *MARL, "layer.height=0.1mm", "fine.marl", "--out", "hank.marl").status == 2


def test_standard_input_goes_to_standard_output(shop: Path) -> None:
    data = Path("fine.marl").read_bytes()
    result = run("set", *MARL, "layer.height=0.1mm", "-", stdin=data)
    assert result.status == 0
    assert result.data == data.replace(b"120", b"100")
    assert "rise  120  ->  100" in result.err
    assert run("set", *MARL, "layer.height=0.1mm", "-", "fine.marl", stdin=data).status == 2


def test_a_file_that_cannot_say_it_is_left_and_the_rest_done(shop: Path) -> None:
    Path("card.loess.json").write_bytes(run("convert", *BOTH, "everyday.marl", "--to", "loess").data)
    before = Path("card.loess.json").read_bytes()
    result = run("set", *BOTH, "wall.count=4", "layer.height=0.3mm", "card.loess.json", "everyday.marl")
    assert result.status == 3
    assert "beadwise: card.loess.json: loess has no key for wall.count; this file is left as it is" in result.err
    assert Path("card.loess.json").read_bytes() == before
    assert b"rounds = 4" in Path("everyday.marl").read_bytes()


def test_what_is_only_nearly_said_is_refused_or_told(shop: Path) -> None:
    Path("card.loess.json").write_bytes(run("convert", *BOTH, "everyday.marl", "--to", "loess").data)
    result = run("set", *BOTH, "infill.pattern=gyroid", "card.loess.json")
    assert result.status == 3
    assert "loess cannot say infill.pattern = gyroid: its key has no word for 'gyroid'" in result.err
    result = run("set", *BOTH, "speed.travel=25 % of speed.default", "layer.height=0.12mm", "card.loess.json")
    assert result.status == 0
    assert "speed.travel is 15 mm/s now, not 25 % of speed.default: it has no such relation" in result.out
    assert "layer.height is 0.1 mm now, not 0.12 mm: it holds fewer digits" in result.out


def test_scope_that_no_file_holds(shop: Path) -> None:
    result = run("set", *MARL, "heat.nozzle=200 Cel", "fine.marl")
    assert result.status == 3
    assert "heat.nozzle belongs to the feedstock, and no file here holds feedstock settings" in result.err
    result = run("set", *MARL, "heat.nozzle=200 Cel", "fine.marl", "hank.marl")
    assert result.status == 0
    assert b"warmth = 200" in Path("hank.marl").read_bytes()


def test_json(shop: Path) -> None:
    result = run("set", *MARL, "layer.height=0.1mm", "fine.marl", "--format", "json")
    assert result.document == {
        "beadwise": "set/1",
        "files": [
            {
                "file": "fine.marl",
                "dialect": "marl",
                "written": "fine.marl",
                "changes": [{"profile": "Fine", "key": "rise", "line": 6, "before": "120", "after": "100"}],
                "notes": [],
                "refused": None,
            }
        ],
    }


def test_file_names_with_an_equals_sign(shop: Path) -> None:
    os.rename("fine.marl", "a=b.marl")
    assert "a file of that name is ./a=b.marl" in run("set", *MARL, "layer.height=0.1mm", "a=b.marl").err
    assert run("set", *MARL, "layer.height=0.1mm", "./a=b.marl").status == 0


def test_a_read_only_file(shop: Path) -> None:
    if os.geteuid() == 0:
        os.symlink("fine.marl", "link.marl")  # nothing is read-only for this user; a link is refused in the same place
        result = run("set", *MARL, "layer.height=0.1mm", "link.marl")
    else:
        os.chmod(".", 0o555)
        try:
            result = run("set", *MARL, "layer.height=0.1mm", "fine.marl")
        finally:
            os.chmod(".", 0o755)
    assert result.status == 3
    assert b"rise = 120" in Path("fine.marl").read_bytes()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("speed.outer_wall=9000mm/s", "9000 looks like mm/min: 150 mm/s"),
        ("speed.outer_wall=90", "has a unit, and 90 has none"),
        ("speed.outer_wall=40 % of layer.height", "one is speed, the other length"),
        ("speed.outer_wall=40 % of speed.outer_wall", "cannot be a percent of itself"),
        ("infill.pattern=zigzag", "it is one of"),
        ("wall.count=2.5", "whole"),
        ("layer.height=nan mm", "number"),
    ],
)
def test_values_are_judged_before_any_file_is_touched(shop: Path, words: str, says: str) -> None:
    before = Path("everyday.marl").read_bytes()
    result = run("set", *MARL, words, "everyday.marl")
    assert result.status == 2
    assert says in result.err
    assert Path("everyday.marl").read_bytes() == before
