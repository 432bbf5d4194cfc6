"""Name tables that somebody got wrong, or made to do harm: said with the place, never a fault, never for ever."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.run import run

HEAD = 'beadwise = "table/1"\ndialect = "furrow"\ntitle = "F"\nsyntax = "ini"\nfile = "{name}.furrow"\n'
FLAT = HEAD + '[layout]\nprofile = "file"\nholds = "setup"\n'
ROWS = '[rows.process]\n"rise" = "layer.height"\n'
BAD = {
    "empty": "",
    "deep": HEAD + "a = " + "[" * 3000,
    "layout is a number": HEAD + "layout = 3\nrows = []\ntext = 5\n",
    "row is a number": FLAT + '[rows.process]\n"rise" = 5\n"fall" = [1]\n',
    "rows is a list": FLAT + "rows = []\n",
    "scope is a number": FLAT + "[rows]\nprocess = 3\n",
    "from endless": FLAT + '[rows.process]\n"a" = {to = "speed.infill", from = inf}\n',
    "full not a number": FLAT + '[rows.feedstock]\n"a" = {to = "fan.max", full = nan}\n',
    "many decimals": FLAT + '[rows.process]\n"a" = {to = "speed.infill", decimals = 999999999}\n',
    "a date": FLAT + '[rows.process]\n"a" = {to = "speed.infill", default = 1979-01-01}\n',
    "group without name": HEAD + '[layout]\nprofile = "group"\ngroup = "{scope}"\nholds = "scope"\n' + ROWS,
    "name at a number": FLAT + "name = {key = 3}\n" + ROWS,
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_table_is_refused_with_its_place(name: str) -> None:
    Path("t.toml").write_text(BAD[name])
    Path("x.furrow").write_text("rise = 0.2\n")
    checked = run("tables", "check", "t.toml", "--format", "json")
    assert checked.status == 1
    assert checked.document["tables"][0]["mistakes"][0]["file"] == "t.toml"
    for call in (("show", "x.furrow"), ("tables",), ("convert", "x.furrow", "--to", "trug")):
        result = run(*call, "--table", "t.toml")
        assert result.status == 2
        assert result.err.startswith("beadwise: t.toml")


def test_a_bad_table_of_the_user_is_refused_when_it_is_wanted(tmp_path: Path) -> None:
    (tmp_path / "home" / "tables").mkdir()
    (tmp_path / "home" / "tables" / "furrow.toml").write_text(BAD["row is a number"])
    Path("x.furrow").write_text("rise = 0.2\n")
    assert run("show", "x.furrow", "--from", "furrow").status == 2


def test_a_table_of_very_many_rows_is_checked_in_time() -> None:
    rows = "".join(f'"k{number}" = "layer.height"\n' for number in range(3000))
    Path("t.toml").write_text(FLAT + "[rows.process]\n" + rows)
    assert run("tables", "check", "t.toml").status in (0, 1)
