"""`diff` from the outside: exit statuses, JSON, the screen."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import convert
from convert.errors import NothingDone
from convert.resources import read_bytes
from tests.changes.cases import MASTER, PAIRS, compared
from tests.cli.run import Result, golden, run
from tests.zoo import CORPUS, WORKSHOP

WITH = ("--with", os.path.join(MASTER, "kestavo-c3.toml"), "--with", os.path.join(MASTER, "meadow.toml"))
EVERYDAY, QUICK = (os.path.join(MASTER, f"kestavo-{name}.toml") for name in ("everyday", "quick"))
SCHEMA = Draft202012Validator(json.loads(read_bytes("schemas", "diff.schema.json")))


def judged(result: Result) -> dict[str, Any]:
    document: dict[str, Any] = result.document
    errors = [f"{list(error.absolute_path)}: {error.message}" for error in SCHEMA.iter_errors(document)]
    assert errors == []
    return document


def file(folder: Path, name: str, **values: str) -> str:
    path = folder / f"{name}.toml"
    lines = [f'{key.replace("__", ".")} = "{value}"' for key, value in values.items()]
    path.write_text("\n".join(['beadwise = "master/1"', f'name = "{name}"', *lines, ""]), encoding="utf-8")
    return str(path)


def test_the_screen() -> None:
    """One golden screen of a whole review."""
    result = run("diff", EVERYDAY, QUICK, *WITH)
    assert result.status == 1
    assert result.err == ""
    golden("diff.txt", result.out)
    lines = result.out.rstrip("\n").split("\n")
    assert max(map(len, lines)) <= 100
    verdict = lines[:2]
    assert lines[-2:] == verdict


def test_a_file_against_itself_is_0() -> None:
    result = run("diff", EVERYDAY, EVERYDAY)
    assert result.status == 0
    assert result.out.startswith("Nothing that prints differs. ")


@pytest.mark.parametrize(
    ("threshold", "status"), [("note", 1), ("differs", 1), ("spoils", 0), ("fails", 0), ("hurts", 0)]
)
def test_the_threshold(tmp_path: Path, threshold: str, status: int) -> None:
    old = file(tmp_path, "a", layer__height="0.2 mm")
    new = file(tmp_path, "b", layer__height="0.25 mm")
    assert run("diff", old, new, "--fail-on", threshold).status == status


def test_what_a_limit_cancels_is_only_a_note(tmp_path: Path) -> None:
    same = {"layer__height": "0.2 mm", "width__default": "0.45 mm", "speed__flow_cap": "10 mm3/s"}
    old = file(tmp_path, "a", speed__infill="350 mm/s", **same)
    new = file(tmp_path, "b", speed__infill="300 mm/s", **same)
    assert run("diff", old, new).status == 0
    assert run("diff", old, new, "--fail-on", "note").status == 1


def test_nothing_to_compare_is_4() -> None:
    result = run("diff", EVERYDAY, os.path.join(MASTER, "meadow.toml"))
    assert result.status == 4
    assert "nothing could be compared" in result.err
    with pytest.raises(NothingDone):
        convert.diff(EVERYDAY, os.path.join(MASTER, "meadow.toml"))


def test_an_unknown_dialect_is_4() -> None:
    assert run("diff", EVERYDAY, os.path.join(CORPUS, "awkward", "nobody-knows.ini")).status == 4


def test_a_file_that_is_not_there_is_no_pass(tmp_path: Path) -> None:
    result = run("diff", EVERYDAY, str(tmp_path / "gone.toml"))
    assert result.status == 4
    assert "gone.toml" in result.err


def test_a_bad_call_is_2() -> None:
    assert run("diff", EVERYDAY).status == 2
    assert run("diff", EVERYDAY, QUICK, "--about", "luck").status == 2


def test_json() -> None:
    result = run("diff", EVERYDAY, QUICK, *WITH, "--format", "json")
    document = judged(result)
    assert run("diff", EVERYDAY, QUICK, *WITH, "--format", "json").data == result.data
    changes = {one["setting"]: one for one in document["changes"]}
    assert changes["layer.height"]["before"] == {"value": 0.2, "unit": "mm"}
    assert changes["layer.height"]["after"] == {"value": 0.28, "unit": "mm"}
    assert changes["wall.count"]["before"] == {"value": 3, "unit": None}
    assert changes["speed.infill"]["derived_from"] == "speed.default"
    assert changes["speed.infill"]["before"] == {"value": 170, "unit": "mm/s"}
    assert changes["infill.solid_interval"]["before"] is None
    assert changes["layer.height"]["origin"]["after"]["line"] == 7
    assert changes["layer.height"]["origin"]["before"]["how"] == "inherited"
    assert {one["setting"]: one["why"] for one in document["same"]}["process.name"] == "label"
    assert document["overall"] == {"time": -1, "material": -1}
    figures = {(one["quantity"], one["feature"]): one for one in document["figures"]}
    assert figures["wall_stack", None]["before"] == pytest.approx(0.42 + 2 * (0.45 - 0.2 * (1 - 3.14159265 / 4)))
    assert ("volume_flow", "infill") in figures
    (shares,) = document["attribution"]
    for part in ("time", "material", "flow"):
        total = shares["after"][part] - shares["before"][part]
        assert sum(one[part] for one in shares["shares"]) == pytest.approx(total)


def test_all_figures_only_when_asked(tmp_path: Path) -> None:
    some = judged(run("diff", EVERYDAY, QUICK, *WITH, "--format", "json"))["figures"]
    every = judged(run("diff", EVERYDAY, QUICK, *WITH, "--format", "json", "--all"))["figures"]
    assert all(one["before"] != one["after"] for one in some)
    assert any(one["before"] == one["after"] for one in every)
    assert len(every) > len(some) > 20


@pytest.mark.parametrize(
    "name", ["the bed heater's last line is gone", "a minus before the retraction", "brim for skirt"]
)
def test_other_documents_keep_to_the_schema(name: str, tmp_path: Path) -> None:
    from convert.changes.symptoms import ABOUT, suspects
    from convert.report.diff import table
    from convert.report.diff_document import document

    pair = next(pair for pair in PAIRS if pair["name"] == name)
    found = compared(pair, tmp_path)
    for about in ABOUT:
        chosen = suspects(about, [change for change, _ in found.changes])
        made = json.loads(json.dumps(document(found, about, chosen), default=float))
        assert [error.message for error in SCHEMA.iter_errors(made)] == []
        assert table(found, about=about, suspects=chosen)


def test_harm_comes_first_on_the_screen(tmp_path: Path) -> None:
    from convert.report.diff import table

    pair = next(pair for pair in PAIRS if pair["name"] == "the bed heater's last line is gone")
    lines = table(compared(pair, tmp_path)).split("\n")
    at = lines.index("WARNING")
    assert lines[at + 1].startswith("hurts    The bed heater stays on at 56 °C")
    assert any("The machine maker's manual and local rules come first" in line for line in lines)


def test_a_symptom_ranks_its_suspects(tmp_path: Path) -> None:
    shutil.copytree(MASTER, tmp_path / "m")
    old = str(tmp_path / "m" / "meadow.toml")
    new = tmp_path / "m" / "other.toml"
    text = Path(old).read_text(encoding="utf-8")
    for before, after in (
        ('retract.speed = "40 mm/s"', 'retract.speed = "40 mm/min"'),
        ('heat.nozzle = "212 °C"', 'heat.nozzle = "222 °C"'),
        ('fan.max = "100 %"', 'fan.max = "39 %"'),
        ('feedstock.colour = "#6f9a4b"', 'feedstock.colour = "#000000"'),
    ):
        assert before in text
        text = text.replace(before, after)
    new.write_text(text, encoding="utf-8")
    machine, process = (str(tmp_path / "m" / name) for name in ("kestavo-c3.toml", "kestavo-everyday.toml"))
    result = run("diff", old, str(new), "--with", machine, "--with", process, "--about", "stringing")
    assert result.status == 1
    lines = result.out.split("\n")
    head = next(at for at, line in enumerate(lines) if line.startswith("may be behind it: stringing"))
    ranks = [line for line in lines[head + 1 :] if line[:3].strip().isdigit() and line[3:5] == "  "]
    assert "retract.speed 40 -> 0.666667" in " ".join(lines)
    assert ["pull-back is slower" in ranks[0], "hotter melt" in ranks[1], "threads stay soft" in ranks[2]] == [True] * 3
    assert len(ranks) == 3
    document = judged(
        run("diff", old, str(new), "--with", machine, "--with", process, "--about", "time", "--format", "json")
    )
    assert document["about"]["suspects"][0]["settings"][0] == "retract.speed"


def test_a_symptom_without_suspects(tmp_path: Path) -> None:
    old, new = file(tmp_path, "a", infill__angle="45 °"), file(tmp_path, "b", infill__angle="30 °")
    assert "No change here is known to cause this: stringing." in run("diff", old, new, "--about", "stringing").out


def test_keys_that_nobody_knows(tmp_path: Path) -> None:
    name = next(name for name in sorted(os.listdir(os.path.join(WORKSHOP, "quern"))) if "Kestavo everyday" in name)
    text = Path(WORKSHOP, "quern", name).read_text(encoding="utf-8")
    old, new = tmp_path / "old.quern.ini", tmp_path / "new.quern.ini"
    old.write_text(text + "spare.lamp = on\nspare.same = 1\n", encoding="utf-8")
    new.write_text(text + "spare.lamp = off\nspare.same = 1\n", encoding="utf-8")
    result = run("diff", str(old), str(new))
    assert result.status == 0  # not understood is no difference that anybody knows to print
    assert "1 not understood and changed" in result.out
    assert "not understood, changed: spare.lamp on -> off" in result.out
    assert run("diff", str(old), str(new), "--fail-on", "note").status == 1
    document = judged(run("diff", str(old), str(new), "--format", "json"))
    assert [one["key"] for one in document["not_understood"]] == ["spare.lamp"]


def test_folders_and_bundles(tmp_path: Path) -> None:
    shutil.copytree(MASTER, tmp_path / "old")
    shutil.copytree(MASTER, tmp_path / "new")
    (tmp_path / "new" / "kestavo-fine.toml").unlink()
    path = tmp_path / "new" / "kestavo-base.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('layer.height = "0.2 mm"', 'layer.height = "0.22 mm"'))
    result = run("diff", str(tmp_path / "old"), str(tmp_path / "new"), "--format", "json")
    assert result.status == 1
    document = judged(result)
    assert {"scopes": ["process"], "old": "Kestavo fine", "new": None} in document["pairs"]
    assert {one["setting"] for one in document["changes"]} == {"layer.height"}
    assert "1 profile on one side only" in document["verdict"]
    screen = run("diff", str(tmp_path / "old"), str(tmp_path / "new")).out
    assert "only in OLD: Kestavo fine (process)" in screen


def test_hostile_names_do_not_reach_the_terminal(tmp_path: Path) -> None:
    old = file(tmp_path, "a", layer__height="0.2 mm", process__name="a\\u001b[31m")
    new = file(tmp_path, "b", layer__height="0.3 mm", process__name="b\\u202e")
    out = run("diff", old, new, "--all").out
    assert all(char.isprintable() or char == "\n" for char in out)


def test_every_awkward_file_against_every_sound_one() -> None:
    """No input file causes a traceback."""
    folder = os.path.join(CORPUS, "awkward")
    for name in sorted(os.listdir(folder)):
        path = os.path.join(folder, name)
        for one, two in ((path, EVERYDAY), (EVERYDAY, path), (path, path)):
            assert run("diff", one, two).status in (0, 1, 3, 4), name


def test_the_library_says_the_same() -> None:
    found = convert.diff(EVERYDAY, QUICK, WITH[1::2])
    assert found.verdict() in run("diff", EVERYDAY, QUICK, *WITH, "--format", "json").document["verdict"]
