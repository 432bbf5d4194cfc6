"""From two samples of two unknown dialects: convert A --like B, and learned tables in all commands."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from convert.api import Session
from convert.dialects.fates import CARRIED
from convert.inference.imitate import LEFT
from convert.model.profile import equal_values
from tests.cli.run import run
from tests.inference.measure import home as folder_of
from tests.inference.samples import TEN_LINES

FLAT = (("larkmere", "settings.ini"), ("tinnock", "job.cfg"), ("selvedge", "sheet.csv"))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of our own, so that learned tables go nowhere else."""
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path / "home"))
    return tmp_path


def sample(home: Path, dialect: str, which: str = "a") -> list[str]:
    folder = home / f"{dialect}-{which}"
    shutil.copytree(os.path.join(folder_of(dialect), which), folder)
    return sorted(str(path) for path in folder.iterdir())


@pytest.mark.parametrize("source", FLAT)
@pytest.mark.parametrize("target", FLAT)
def test_values_read_back_equal_and_other_bytes_stay(
    home: Path, source: tuple[str, str], target: tuple[str, str]
) -> None:
    if source == target:
        return
    sources, samples = sample(home, source[0], "b"), sample(home, target[0], "a")
    session = Session()
    inputs = session.read(sources)
    assert inputs.unknown
    made = session.convert_like(inputs, samples)
    assert made.conversion.problems == []
    assert made.conversion.ledger.differs == 0
    assert made.conversion.ledger.equal >= 30
    (file,) = made.conversion.files
    old = Path(samples[0]).read_bytes()
    # As many lines as before, and what stands in front of the values is as it was.
    before, after = old.decode().splitlines(), file.data.decode().splitlines()
    mark = ";" if target[0] == "selvedge" else "="
    assert [line.split(mark)[0] for line in after] == [line.split(mark)[0] for line in before]
    # The values that the ledger says came from the source are the source's.
    (source_profile,) = [reading.profile for reading in inputs.readings]
    (dialect,) = {name for name in session.registry.heads if name.endswith("-sample")}
    out = home / "out"
    out.write_bytes(file.data)
    back = session.read([str(out)], dialect).profiles[0]
    came = {
        entry.setting
        for entry in made.conversion.ledger.entries
        if entry.side == "target" and isinstance(entry.setting, str) and entry.fate in ("exact", "converted")
    }
    assert len(came) >= 20
    wrong = {
        name
        for name in came & source_profile.settings.keys()
        if not equal_values(source_profile.settings[name], back.settings.get(name))
    }
    assert wrong == set()
    left = [entry for entry in made.conversion.ledger.entries if entry.side == "target" and entry.says == LEFT]
    assert all(entry.fate == CARRIED for entry in left)
    assert made.left >= len(left) > 0


def test_like_over_several_files_of_scopes(home: Path) -> None:
    sources, samples = sample(home, "larkmere"), sample(home, "paxwell")
    like = [word for path in samples for word in ("--like", path)]
    result = run("convert", *sources, *like, "--out", str(home / "made") + "/")
    assert result.status == 0, result.err
    assert "left as in the sample: " in result.err
    made = {path.name: path.read_bytes() for path in (home / "made").iterdir()}
    assert made.keys() == {os.path.basename(path) for path in samples}
    # The recipe that others inherit from is not written, for the child speaks for both.
    assert made["recipe-base.json"] == Path(next(one for one in samples if "base" in one)).read_bytes()
    assert b'"sizeAcross": 300' in made["bench.json"]


def test_command_tells_what_was_left(home: Path) -> None:
    source, target = sample(home, "larkmere")[0], sample(home, "selvedge")[0]
    result = run("convert", source, "--like", target, "--out", str(home / "out.csv"))
    assert result.status == 0
    assert "left as in the sample: " in result.err
    assert "no place in the sample for " in result.err
    assert " settings read back equal" in result.err
    assert run("convert", source).status == 2
    assert run("convert", source, "--like", target, "--to", "trug").status == 2


def test_a_learned_table_works_with_every_command(home: Path) -> None:
    path = home / "plain.ini"
    path.write_text(TEN_LINES)
    assert run("show", str(path)).status == 0
    result = run("learn", str(path), "--out", "harl")
    assert result.status == 0, result.err
    assert (home / "home" / "tables" / "harl.toml").exists()
    assert run("learn", str(path), "--out", "harl").status == 3
    shown = run("show", str(path), "--format", "json").document
    assert shown["profiles"][0]["dialect"] == "harl"
    assert shown["profiles"][0]["settings"]["layer.height"]["value"] == 0.2
    assert run("audit", str(path)).status in (0, 1)
    converted = run("convert", str(path), "--to", "master", "--out", str(home / "m") + "/")
    assert converted.status == 0, converted.err
    changed = run("set", "layer.height=0.15mm", str(path))
    assert changed.status == 0, changed.err
    assert "layer_height = 0.15\n" in path.read_text()
    assert "harl" in run("tables").out
    assert run("tables", "check", str(home / "home" / "tables" / "harl.toml")).status == 0


def test_json_and_report(home: Path) -> None:
    path = home / "plain.ini"
    path.write_text(TEN_LINES)
    document = run("learn", str(path), "--format", "json").document
    assert document["beadwise"] == "learn/1"
    assert {key["decision"] for key in document["keys"]} == {"accepted"}
    assert document["structure"]["syntax"] == "ini"
    report = run("learn", str(path), "--report").out
    assert "Accepted: 10" in report
    assert "nothing is open" in report


def test_answers_are_kept_and_taken_up_again(home: Path) -> None:
    path = home / "odd.ini"
    path.write_text(TEN_LINES + "fan_min = 0\n")
    out = str(home / "odd.toml")
    result = run("learn", str(path), "--out", out, "--ask", stdin=b"fan.min\n%\nq\n")
    assert result.status == 0, result.err
    assert json.loads((home / "odd.toml.answers.json").read_text()) == {"fan_min": "fan.min %"}
    again = run("learn", str(path), "--out", out, "--replace")
    assert again.status == 0
    assert '"fan_min" = "fan.min"' in Path(out).read_text()


def test_refusals(home: Path) -> None:
    empty, picture = home / "empty.ini", home / "photo.ini"
    empty.write_bytes(b"")
    picture.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)))
    for path, says in ((empty, "is empty"), (picture, "binary")):
        result = run("learn", str(path))
        assert result.status == 3
        assert says in result.err
        assert result.out == ""
    assert run("learn", str(empty), "--changed", "layer.height=0.3mm").status == 2
    assert run("learn", str(home / "nowhere.ini")).status == 3


@pytest.mark.parametrize(
    "text",
    [
        "layer_height = 1e999\nwall_count = 99999999999999999999999\nspeed = nan\nbed_temperature = inf\n",
        "a" * 50_000 + " = 1\nb = " + "1x" * 20_000 + "\n",
        '{"a":' * 90 + "1" + "}" * 90,
        "x = \nx = \n= 3\n[\n[]\n",
    ],
)
def test_hostile_samples_are_answered(home: Path, text: str) -> None:
    path = home / "odd.txt"
    path.write_text(text)
    assert run("learn", str(path)).status in (0, 3, 4)
