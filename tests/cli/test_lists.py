"""`beadwise tables` and `beadwise settings`."""

from __future__ import annotations

from pathlib import Path

import pytest

from convert.model.setting import SETTINGS
from tests.cli.run import BOTH, MARL, golden, run


def test_tables() -> None:
    result = run("tables", *BOTH)
    assert (result.status, result.err) == (0, "")
    rows = [line.split() for line in result.out.splitlines()]
    assert rows[0] == ["dialect", "syntax", "settings", "source", "title"]
    assert ["marl", "ini", "13", "given", "Marl", "notes"] in rows
    assert {row[0] for row in rows} >= {"canonical", "master", "loess", "marl"}
    document = run("tables", *BOTH, "--format", "json").document
    assert [row["dialect"] for row in document["tables"]] == sorted(row[0] for row in rows[1:])
    assert all(row["source"] in ("shipped", "user", "given") for row in document["tables"])


def test_the_users_own_tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "marl.toml").write_bytes(Path(MARL[1]).read_bytes())
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path))
    assert any(line.split()[:4] == ["marl", "ini", "13", "user"] for line in run("tables").out.splitlines())


def test_settings_list() -> None:
    result = run("settings")
    assert (result.status, result.err) == (0, "")
    listed = {line.split()[0] for line in result.out.splitlines() if "." in line.split(" ")[0]}
    assert set(SETTINGS) <= listed
    assert max(map(len, result.out.splitlines())) <= 100
    golden("settings-layer.txt", run("settings", "layer").out)


def test_one_setting() -> None:
    result = run("settings", "infill.pattern", *BOTH)
    assert result.status == 0
    assert "gyroid" in result.out
    rows = [line.split() for line in result.out.splitlines()]
    assert ["marl", "weave"] in rows
    assert ["loess", "filling"] in rows
    assert ["master", "infill.pattern"] in rows
    document = run("settings", "infill.pattern", *BOTH, "--format", "json").document
    assert document["settings"][0]["keys"]["marl"] == ["weave"]
    assert document["settings"][0]["choices"] == list(SETTINGS["infill.pattern"].choices)


def test_settings_json() -> None:
    document = run("settings", "--format", "json").document
    assert document["beadwise"] == "settings/1"
    assert [row["id"] for row in document["settings"]] == list(SETTINGS)
    height = next(row for row in document["settings"] if row["id"] == "layer.height")
    assert (height["unit"], height["kind"], height["scope"]) == ("mm", "length", "process")
    assert {row["id"] for row in run("settings", "speed.", "--format", "json").document["settings"]} == {
        name for name in SETTINGS if name.startswith("speed.")
    }


BAD = """beadwise = "table/1"
dialect = "Not so"
syntax = "ini"
colour = "red"

[text]
seperators = ["="]

[flags]
true = ["yes"]
false = ["no", "YES"]

[words.weaves]
"Round" = "gyroid"
"round" = "concentric"

[rows.process]
"rise" = "layer.hight"
"bore" = "nozzle.diameter"
"pace" = {to = "speed.default", unit = "furlong"}
"walls" = {to = "wall.count", unti = "mm"}
"both" = {to = ["speed.top", "speed.gap"]}
"slits" = "wall.slit_fill"
"fill" = {to = "infill.pattern", words = "weaves"}
"lost" = {to = "infill.density", decimals = "few"}
"deep" = {to = "cover.upper_pattern", words = "nowhere"}
"share" = {to = "speed.top", percent_as = "bare"}
"""


def test_check_explains_every_mistake_with_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bad.toml").write_text(BAD)
    result = run("tables", "check", "bad.toml")
    assert result.status == 1
    golden("tables-check.txt", result.out)
    lines = BAD.splitlines()
    mistakes = run("tables", "check", "bad.toml", "--format", "json").document["tables"][0]["mistakes"]
    told = {lines[one["line"] - 1].partition("=")[0].strip().strip('"') for one in mistakes}
    assert told == {
        "dialect", "colour", "seperators", "rise", "bore", "pace", "walls", "both", "slits", "lost", "deep", "share",
        "fill",
    }  # fmt: skip
    assert all(one["says"] and one["hint"] for one in mistakes)


def test_check_meaning(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    head = 'beadwise = "table/1"\ndialect = "x"\nsyntax = "ini"\n[layout]\nholds = "setup"\nname = {key = "n"}\n'
    Path("x.toml").write_text(
        head + '[rows.machine]\n"n" = "machine.name"\n"same" = "envelope.z"\n[rows.process]\n"same" = "layer.height"\n'
        '"old" = "layer.height"\n'
        '"fill" = {to = "infill.pattern", words = {"A" = "gyroid", "a" = "concentric"}}\n'
        '"top" = {to = "cover.upper_pattern", words = {"a" = "concentric"}, special = {"a" = "automatic"}}\n'
        '"pair" = {to = ["speed.top", "speed.gap"], split = "."}\n'
    )
    document = run("tables", "check", "x.toml", "--format", "json").document["tables"][0]
    says = "\n".join(one["says"] for one in document["mistakes"])
    assert "rows.machine.n: the key is also the name of the profile" in says
    assert "rows.process.same: the key stands in [rows.machine] too" in says
    assert "'A' and 'a' are apart only in case, but mean gyroid and concentric" in says
    assert "'a' is special and a word as well" in says
    assert "the separator '.' can be part of a number" in says
    notes = "\n".join(one["says"] for one in document["notes"])
    assert "rows.process.old: is read, but not written" in notes
    assert "rows.process.fill: has no word for cells-cube" in notes


def test_check_of_no_toml_and_of_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("x.toml").write_text("beadwise = table\n")
    Path("y.toml").write_bytes(b"\xff\xfe\x00\xd8")
    for name in ("x.toml", "y.toml"):
        result = run("tables", "check", name)
        assert result.status == 1
        assert result.out.startswith(f"{name}:1")
    assert run("tables", "check", "x.toml", "missing.toml").status == 3


def test_shipped_and_test_tables_are_in_order() -> None:
    from convert.resources import folder

    paths = sorted(str(path) for path in Path(folder("mappings")).glob("*.toml"))
    result = run("tables", "check", "--quiet", *paths, MARL[1], BOTH[3])
    assert result.status == 0, result.out
    assert len(result.out.splitlines()) == len(paths) + 2
