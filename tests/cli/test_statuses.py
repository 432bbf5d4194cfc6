"""The exit status of every case in the README's table, and what stands on stderr then."""

from __future__ import annotations

from pathlib import Path

import pytest

from convert.cli import main as entry
from convert.cli.main import COMMANDS, gravest, main
from convert.dialects.fates import MEANINGS
from tests.cli.run import BOTH, LOESS, MARL, run


def test_success(shop: Path) -> None:
    assert run("show", *MARL, "fine.marl").status == 0


@pytest.mark.parametrize("fate", MEANINGS)
def test_loss_matters_only_when_asked(shop: Path, fate: str) -> None:
    call = ("convert", *BOTH, "everyday.marl", "--to", "loess")
    assert run(*call).status == 0
    result = run(*call, "--max-loss", fate)
    assert result.status == (1 if fate not in ("dropped", "invalid") else 0)
    assert (f"a fate worse than {fate}" in result.err) == (result.status == 1)
    assert result.data == run(*call).data


@pytest.mark.parametrize(
    "call",
    [
        ("cnvert",),
        ("convert",),
        ("convert", "a.ini"),
        ("convert", "a.ini", "--to"),
        ("convert", "a.ini", "--to", "quern", "--max-loss", "much"),
        ("convert", "a.ini", "--to", "nobody"),
        ("convert", "everyday.marl", "--from", "nobody", "--to", "quern"),
        ("convert", "everyday.marl", "--to", "quern", "--format", "json"),
        ("convert", "everyday.marl", "--to", "quern", "--format", "xml"),
        ("convert", "everyday.marl", "--to", "quern", "--table", "hank.marl"),
        ("show",),
        ("show", "a.ini", "--nonsense"),
        ("set", "layer.height=0.2mm"),
        ("set", "everyday.marl"),
        ("set", "layer.hight=0.2mm", "everyday.marl"),
        ("set", "layer.height=0.2", "everyday.marl"),
        ("set", "layer.height=200mm", "everyday.marl"),
        ("set", "layer.height=1mm", "layer.height=2mm", "everyday.marl"),
        ("settings", "layer.hight"),
        ("tables", "chek"),
        ("tables", "check"),
        ("--nonsense",),
    ],
)
def test_usage(shop: Path, call: tuple[str, ...]) -> None:
    result = run(*call)
    assert result.status == 2
    assert result.data == b""
    assert result.err.startswith("beadwise: ")
    assert result.err.count("\n") == 1


def test_unknown_names_are_met_with_the_closest(shop: Path) -> None:
    assert "did you mean convert?" in run("cnvert").err
    assert "the commands are convert, show" in run("zzz").err
    assert "did you mean layer.height" in run("settings", "layer.hight").err
    assert "did you mean quern" in run("convert", "a", "--to", "qern").err
    assert "'beadwise convert --help' tells more" in run("convert", "a", "--tp", "x").err


def test_unreadable_file(shop: Path) -> None:
    result = run("show", *MARL, "missing.marl", "hank.marl")
    assert result.status == 3
    assert result.err.startswith("beadwise: missing.marl: cannot be read: no such file")
    assert "Grey hank" in result.out
    assert run("show", "missing.marl").data == b""


def test_two_dialects_fit(shop: Path) -> None:
    twin = Path("marl.toml").read_text().replace('"marl"', '"marl-two"')
    Path("twin.toml").write_text(twin)
    result = run("show", *MARL, "--table", "twin.toml", "everyday.marl")
    assert result.status == 3
    assert "fits marl" in result.err
    assert "marl-two" in result.err
    assert run("show", *MARL, "--table", "twin.toml", "--from", "marl", "everyday.marl").status == 0


def test_target_exists(shop: Path) -> None:
    Path("out.json").write_text("mine")
    call = ("convert", *BOTH, "everyday.marl", "--to", "loess", "--out", "out.json")
    result = run(*call)
    assert result.status == 3
    assert "beadwise: out.json: exists already; give --replace" in result.err
    assert Path("out.json").read_text() == "mine"
    assert run(*call, "--replace").status == 0
    assert Path("out.json").read_text().startswith("{")


def test_nothing_to_convert(shop: Path) -> None:
    Path("tea.ini").write_text("[tea]\nleaf = green\n")
    result = run("convert", "tea.ini", "--to", "quern")
    assert result.status == 4
    assert "beadwise: tea.ini: is well-formed, but" in result.err
    assert "there is nothing to convert" in result.err
    assert run("show", "tea.ini").status == 0
    assert run("set", "layer.height=0.2mm", "tea.ini").status == 4
    both = run("convert", *BOTH, "tea.ini", "everyday.marl", "--to", "loess", "--out", "o/")
    assert both.status == 3
    assert list(Path("o").iterdir())


def test_only_unreadable_files(shop: Path) -> None:
    assert run("convert", "missing.marl", "--to", "quern").status == 3


def test_internal_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("half \x1b[31mred")

    monkeypatch.setattr("convert.report.settings.table", broken)
    result = run("settings")
    assert result.status == 70
    says = "beadwise: a fault of beadwise itself, ZeroDivisionError: half \\x1b[31mred; please report"
    assert result.err.startswith(says)
    assert result.err.count("\n") == 1
    monkeypatch.setenv("BEADWISE_DEBUG", "1")
    with pytest.raises(ZeroDivisionError):
        run("settings")


def test_interrupted(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("convert.report.settings.table", interrupted)
    result = run("settings")
    assert (result.status, result.err) == (130, "beadwise: interrupted\n")


def test_gravest() -> None:
    order = [130, 70, 2, 4, 3, 1]
    for place, status in enumerate(order):
        assert gravest(set(order[place:])) == status
    assert gravest(set()) == 0


def test_every_command_is_called_without_arguments_without_a_traceback() -> None:
    for name in COMMANDS:
        assert run(name).status in (0, 2)


def test_the_table_of_statuses_is_in_the_help() -> None:
    assert all(f"  {status} " in entry.STATUSES for status in (0, 1, 2, 3, 4, 70, 130))
    assert main(["--help"]) == 0


def test_options_stand_before_or_behind(shop: Path) -> None:
    before = run("convert", "--to", "loess", *BOTH, "everyday.marl")
    behind = run("convert", "everyday.marl", *BOTH, "--to", "loess")
    assert before.data == behind.data != b""
    assert LOESS[0] == "--table"
