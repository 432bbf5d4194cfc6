"""`beadwise git`: let git show and merge settings files by what they mean; and hooks for pre-commit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import OutputError, UsageError

if TYPE_CHECKING:
    from convert.cli.screen import Screen
    from convert.dialects.registry import Registry

HOOKS = """\
# For .pre-commit-config.yaml. The list under "hooks" is a hook manifest (.pre-commit-hooks.yaml) as it stands.
repos:
  - repo: local
    hooks:
      - id: beadwise-audit
        name: settings that cannot work or may hurt someone
        description: Judges each commit's settings files; fails on findings of the severities fails and hurts.
        entry: {program} audit --quiet --fail-on fails
        language: system
        files: '{files}'
        require_serial: true
      - id: beadwise-read
        name: settings files that cannot be read
        description: Converts to the canonical description without writing; fails on keys that cannot be read.
        entry: {program} convert --to canonical --dry-run --quiet --max-loss unknown
        language: system
        files: '{files}'
        require_serial: true
"""


@click.command("git", short_help="Let git show and merge settings files by what they mean.")
@click.argument("action", type=click.Choice(["install", "uninstall"]), required=False)
@click.option("--print", "only_print", is_flag=True, help="Print what would be set, and set nothing.")
@click.option("--global", "everywhere", is_flag=True, help="For all repositories of this user, not only this one.")
@click.option("--pre-commit", "hooks", is_flag=True, help="Print hooks for the program pre-commit instead.")
@options.tables
def command(action: str | None, only_print: bool, everywhere: bool, hooks: bool, tables: Sequence[str]) -> int:
    """Set up git for settings files: 'install' sets three values in git's configuration, 'uninstall' takes them away.

    After that, 'git diff' shows canonical values in the place of raw lines, so a file that was only reordered or
    written in other units shows no change, and 'git merge' joins changes setting by setting. Both hold for the files
    that .gitattributes names; the lines for it are printed. What git shows is for eyes: gates use exit statuses.
    """
    if hooks == (action is not None):
        raise UsageError(
            "give 'install', 'uninstall' or --pre-commit", hint="'beadwise git install --print' only shows"
        )
    from convert.cli.screen import Screen
    from convert.dialects.registry import Registry

    screen, registry = Screen(), Registry(tables)
    if hooks:
        screen.result(HOOKS.format(program=_program(()), files=_pattern(registry)))
        return 0
    settings = _settings(_program(()), tables)
    where = ["--global"] if everywhere else []
    if action == "install":
        for name, value in settings:
            _told(screen, only_print, ["git", "config", *where, name, value])
        screen.result("\nin .gitattributes, for the files that you keep:")
        screen.result("\n".join(f"{pattern} diff=beadwise merge=beadwise" for pattern in patterns(registry)))
        return 0
    for section in ("diff.beadwise", "merge.beadwise"):
        _told(screen, only_print, ["git", "config", *where, "--remove-section", section], missing_is_fine=True)
    screen.result("\nwhat .gitattributes says about beadwise means nothing now, and does no harm")
    return 0


def _settings(program: str, tables: Sequence[str]) -> list[tuple[str, str]]:
    """Name and value of what git is told."""
    import os
    from shlex import quote

    more = "".join(f" --table {quote(os.path.abspath(table))}" for table in tables)
    return [
        ("diff.beadwise.textconv", f"{program} show --for-git{more}"),
        ("merge.beadwise.name", "settings merged one by one"),
        ("merge.beadwise.driver", f"{program} merge{more} %O %A %B %P %L"),
    ]


def _program(path: Sequence[str]) -> str:
    """How a shell calls beadwise: by name where it is found, else through this interpreter."""
    import shutil
    import sys
    from shlex import quote

    return "beadwise" if shutil.which("beadwise") else f"{quote(sys.executable)} -m convert"


def _told(screen: Screen, only_print: bool, call: Sequence[str], missing_is_fine: bool = False) -> None:
    """Say a call of git, and make it."""
    from shlex import join
    from subprocess import run

    screen.result(join(call))
    if only_print:
        return
    try:
        done = run(call, capture_output=True, text=True, check=False)
    except FileNotFoundError:
        raise OutputError("there is no program called git", None, "install git, or give --print") from None
    if done.returncode == 0:
        return
    says = " ".join(done.stderr.split()) or f"git ended with status {done.returncode}"
    if missing_is_fine and done.returncode == 128 and "no such section" in says.lower():
        screen.result("  was not set")
        return
    raise OutputError(f"git refused: {says}", None, "call it inside a repository, or give --global")


def patterns(registry: Registry) -> list[str]:
    """The file names of all known dialects, as .gitattributes has them."""
    found: list[str] = []
    for name in registry.names():
        table = registry.table(name)
        words = [table.layout.scope_words.get(scope, scope) for scope in ("machine", "feedstock", "process")]
        shape = table.file.replace("{name}", "*")
        found += [shape.replace("{scope}", word) for word in words] if "{scope}" in shape else [shape]
    return list(dict.fromkeys(found))


def _pattern(registry: Registry) -> str:
    """The same as one regular expression for the ends of names."""
    ends = [pattern.removeprefix("*").replace(".", r"\.") for pattern in patterns(registry)]
    return f"({'|'.join(ends)})$"
