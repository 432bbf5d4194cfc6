"""`beadwise show`: canonical values and where they come from."""

from __future__ import annotations

from pathlib import Path

from tests.cli.run import MARL, golden, run

SETUP = ("anvil.marl", "hank.marl", "fine.marl")


def test_table(shop: Path) -> None:
    result = run("show", *MARL, *SETUP)
    assert (result.status, result.err) == (0, "")
    golden("show.txt", result.out)


def test_json(shop: Path) -> None:
    result = run("show", *MARL, *SETUP, "--format", "json")
    assert (result.status, result.err) == (0, "")
    golden("show.json", result.out)
    fine = result.document["profiles"][2]
    assert fine["settings"]["speed.outer_wall"]["resolved"] == {"value": 20, "unit": "mm/s"}
    assert fine["settings"]["speed.travel"]["origin"]["how"] == "default"
    assert fine["carried"]["marl"] == [{"path": [], "key": "lustre", "text": "high"}]


def test_relations_across_files(shop: Path) -> None:
    Path("wide.toml").write_text('beadwise = "master/1"\nname = "Wide"\nwidth.default = "150 % of nozzle.diameter"\n')
    alone = run("show", "wide.toml")
    assert "150 % of nozzle.diameter (not known here)" in alone.out
    together = run("show", *MARL, "wide.toml", "anvil.marl")
    assert "150 % of nozzle.diameter = 0.6 mm" in together.out


def test_problems(shop: Path) -> None:
    Path("bad.marl").write_text("concerns = hank\nwarmth = 2100\nfirst warmth = hot\nfirst warmth = nan\n")
    result = run("show", *MARL, "bad.marl")
    assert result.status == 0
    assert "note: bad.marl:4:16: first warmth: nan is no number" in result.err
    assert "heat.nozzle is 2100 Cel, allowed" in result.err
    document = run("show", *MARL, "bad.marl", "--format", "json").document
    assert {(one["file"], one["line"]) for one in document["problems"]} >= {("bad.marl", 4), ("bad.marl", 2)}
    assert run("show", *MARL, "bad.marl", "--quiet").err == ""


def test_unknown_dialect(shop: Path) -> None:
    Path("tea.ini").write_text("[tea]\nleaf = green\nminutes = 3\n")
    result = run("show", "tea.ini")
    assert result.status == 0
    assert "tea/leaf     green" in result.out
    assert "note: tea.ini: is well-formed, but no known dialect has any of its keys; name the dialect" in result.err
    document = run("show", "tea.ini", "--format", "json").document
    assert document["profiles"][0]["dialect"] is None
    assert document["profiles"][0]["carried"]["unknown"][0] == {"path": ["tea"], "key": "leaf", "text": "green"}
    assert document["problems"][0]["hint"]


def test_folder_and_stdin(shop: Path) -> None:
    Path("sub").mkdir()
    Path("sub/a.marl").write_bytes(Path("everyday.marl").read_bytes())
    assert "Everyday" in run("show", *MARL, "sub").out
    assert "Everyday" in run("show", *MARL, "-", stdin=Path("everyday.marl").read_bytes()).out


def test_width(shop: Path, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    monkeypatch.setenv("COLUMNS", "60")
    narrow = run("show", *MARL, *SETUP).out
    assert max(map(len, narrow.splitlines())) <= 60
    monkeypatch.setenv("COLUMNS", "300")
    assert max(map(len, run("show", *MARL, *SETUP).out.splitlines())) <= 100
