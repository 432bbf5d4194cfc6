"""The help texts, word for word."""

from __future__ import annotations

import pytest

from convert.cli.main import COMMANDS, group
from tests.cli.run import golden, run

CALLS = {name: (name,) for name in COMMANDS} | {"tables check": ("tables", "check")}


def test_overview() -> None:
    result = run("--help")
    assert (result.status, result.err) == (0, "")
    golden("help.txt", result.out)


@pytest.mark.parametrize("name", CALLS)
def test_command(name: str) -> None:
    result = run(*CALLS[name], "--help")
    assert (result.status, result.err) == (0, "")
    assert max(map(len, result.out.splitlines())) <= 100
    golden(f"help-{name.replace(' ', '-')}.txt", result.out)


@pytest.mark.parametrize("name", COMMANDS)
def test_short_and_long_help_are_there(name: str) -> None:
    import click

    command = group.get_command(click.Context(group), name)
    assert command is not None
    assert command.name == name
    assert command.short_help
    assert command.help


def test_no_command_shows_the_help() -> None:
    result = run()
    assert result.status == 2
    assert "Usage: beadwise" in result.err
    assert result.data == b""


def test_version() -> None:
    import convert

    assert run("--version").out == f"beadwise {convert.__version__}\n"
