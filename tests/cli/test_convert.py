"""`beadwise convert`: what is written where, what is said about it, and what is left alone."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.cli.run import BOTH, MARL, golden, run

SETUP = ("anvil.marl", "hank.marl", "fine.marl")


def test_one_file_goes_to_stdout_alone(shop: Path) -> None:
    result = run("convert", *BOTH, *SETUP, "--to", "loess")
    assert result.status == 0
    golden("convert.out", result.out)
    golden("convert.err", result.err)
    assert json.loads(result.data)["sheet"] == 0.1


def test_own_dialect_keeps_every_byte(shop: Path) -> None:
    for name in (*SETUP, "everyday.marl"):
        result = run("convert", *MARL, name, "--to", "marl", "--quiet")
        assert result.data == Path(name).read_bytes()
        assert result.err == ""


def test_standard_input(shop: Path) -> None:
    data = Path("everyday.marl").read_bytes()
    named = run("convert", *BOTH, "everyday.marl", "--to", "loess")
    piped = run("convert", *BOTH, "-", "--to", "loess", stdin=data)
    assert piped.status == 0
    assert piped.data == named.data


def test_out_file(shop: Path) -> None:
    result = run("convert", *BOTH, "everyday.marl", "--to", "loess", "--out", "new/deep/card.json")
    assert result.status == 0
    assert result.data == b""
    assert Path("new/deep/card.json").read_bytes() == run("convert", *BOTH, "everyday.marl", "--to", "loess").data
    assert [path.name for path in Path("new/deep").iterdir()] == ["card.json"]


@pytest.mark.parametrize("out", ["shelf/", "there"])
def test_out_folder(shop: Path, out: str) -> None:
    Path("there").mkdir()
    assert run("convert", *BOTH, "everyday.marl", "--to", "loess", "--out", out).status == 0
    assert [path.name for path in Path(out).iterdir()] == ["Everyday.loess.json"]


def test_several_files_need_a_folder(shop: Path) -> None:
    result = run("convert", *MARL, "anvil.marl", "hank.marl", "--to", "canonical")
    assert result.status == 2
    assert "2 files (Anvil 3.machine.json, Grey hank.feedstock.json) would come out" in result.err
    assert result.data == b""
    result = run("convert", *MARL, "anvil.marl", "hank.marl", "--to", "canonical", "--out", "anvil.marl")
    assert result.status == 2
    assert "this is no folder" in result.err
    result = run("convert", *MARL, "anvil.marl", "hank.marl", "--to", "canonical", "--out", "shelf")
    assert result.status == 0
    assert sorted(os.listdir("shelf")) == ["Anvil 3.machine.json", "Grey hank.feedstock.json"]


def test_existing_files_are_told_apart(shop: Path) -> None:
    Path("shelf").mkdir()
    Path("shelf/Anvil 3.machine.json").write_text("mine")
    result = run("convert", *MARL, "anvil.marl", "hank.marl", "--to", "canonical", "--out", "shelf")
    assert result.status == 3
    assert Path("shelf/Anvil 3.machine.json").read_text() == "mine"
    assert Path("shelf/Grey hank.feedstock.json").exists()
    assert "shelf/Anvil 3.machine.json: not written" in result.err


def test_links_are_not_followed(shop: Path) -> None:
    Path("real.json").write_text("mine")
    Path("link.json").symlink_to("real.json")
    result = run("convert", *BOTH, "everyday.marl", "--to", "loess", "--out", "link.json", "--replace")
    assert result.status == 3
    assert "is a link" in result.err
    assert Path("real.json").read_text() == "mine"


def test_dry_run_writes_nothing(shop: Path) -> None:
    before = sorted(os.listdir())
    result = run(
        "convert", *BOTH, "everyday.marl", "--to", "loess", "--dry-run", "--out", "a/b.json", "--ledger", "l.json"
    )
    assert result.status == 0
    assert "a/b.json: would be written" in result.err
    result = run("convert", *BOTH, "everyday.marl", "--to", "loess", "--dry-run")
    assert (result.status, result.data) == (0, b"")
    assert "would go to standard output" in result.err
    result = run("convert", *BOTH, "everyday.marl", "--to", "loess", "--dry-run", "--out", "hank.marl")
    assert result.status == 3
    assert sorted(os.listdir()) == before


def test_ledger_file_and_json(shop: Path) -> None:
    result = run("convert", *BOTH, *SETUP, "--to", "loess", "--out", "o.json", "--ledger", "l.json", "--format", "json")
    assert (result.status, result.err) == (0, "")
    ledger = result.document
    assert ledger == json.loads(Path("l.json").read_bytes())
    assert ledger["beadwise"] == "ledger/1"
    for side in ("source", "target"):
        entries = [entry for entry in ledger["entries"] if entry["side"] == side]
        assert len(entries) == ledger[f"{side}_keys"] == sum(ledger["counts"][side].values())
    assert ledger["read_back"] == {"equal": 8, "differs": 0}


def test_ledger_needs_a_name_of_its_own(shop: Path) -> None:
    call = ("convert", *BOTH, "everyday.marl", "--to", "loess")
    assert run(*call, "--ledger", "-").status == 2
    assert run(*call, "--out", "x.json", "--ledger", "./x.json").status == 2
    result = run(*call, "--ledger", "hank.marl")
    assert result.status == 3
    assert "hank.marl: exists already" in result.err
    assert Path("hank.marl").read_bytes().startswith(b"concerns")


def test_no_part_of_a_result_when_a_file_fails(shop: Path) -> None:
    result = run("convert", *BOTH, "anvil.marl", "missing.marl", "--to", "loess")
    assert result.status == 3
    assert result.data == b""
    assert "nothing was written" in result.err


def test_quiet_says_only_what_went_wrong(shop: Path) -> None:
    result = run("convert", *BOTH, "everyday.marl", "missing.marl", "--to", "loess", "--quiet", "--out", "o.json")
    assert result.err.splitlines() == [
        "beadwise: missing.marl: cannot be read: no such file or directory; check the path and its permissions"
    ]
    assert Path("o.json").exists()


def test_profiles_are_picked_by_name(shop: Path) -> None:
    result = run("convert", *MARL, ".", "--profile", "Grey*", "--to", "canonical", "--from", "marl", "--quiet")
    assert result.data == b""  # the name tables in the folder are no marl files: they are told, and nothing is printed
    assert result.status == 3
    result = run("convert", *MARL, *SETUP, "--profile", "Grey*", "--to", "canonical", "--quiet")
    assert result.document["name"] == "Grey hank"
    result = run("convert", *MARL, *SETUP, "--profile", "Nobody", "--to", "canonical")
    assert result.status == 2
    assert "there are Anvil 3" in result.err


def test_names_from_files_stay_in_the_folder(shop: Path) -> None:
    document = {
        "beadwise": "profile/1",
        "name": "x",
        "scopes": ["feedstock"],
        "settings": {"heat.nozzle": {"value": 200, "unit": "Cel"}, "heat.nozzle_first": {"value": 200, "unit": "Cel"}},
        "layouts": {
            "marl": {"file": "../../evil.marl", "encoding": "utf-8", "text": "concerns = hank\nwarmth = 200\n"}
        },
    }
    Path("doc.json").write_text(json.dumps(document))
    Path("deep/er").mkdir(parents=True)
    result = run("convert", *MARL, "doc.json", "--to", "marl", "--out", "deep/er/")
    outside = [path for path in Path().rglob("evil.marl") if path.parent != Path("deep/er")]
    assert outside == []
    assert result.status in (0, 3)


def test_long_lists_are_folded(shop: Path) -> None:
    lines = [f"odd{number} = {number}" for number in range(60)]
    Path("odd.marl").write_text("concerns = hank\nwarmth = 200\nfirst warmth = 200\n" + "\n".join(lines) + "\n")
    result = run("convert", *BOTH, "odd.marl", "--to", "loess", "--ledger", "l.json", "--from", "marl")
    assert result.status == 0
    assert result.err.count("odd") < 20
    assert "--ledger FILE lists every key" in result.err
    assert sum(entry["fate"] == "unknown" for entry in json.loads(Path("l.json").read_bytes())["entries"]) == 60
