"""Options that several commands share, and the screen they lead to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]

from_dialect: Decorator = click.option(
    "--from", "dialect", metavar="DIALECT", help="The dialect of the files; without it, each file is recognised."
)
profiles: Decorator = click.option(
    "--profile",
    "profiles",
    multiple=True,
    metavar="NAME",
    help="Take only the profiles of this name (* and ? may stand in it; repeatable).",
)
tables: Decorator = click.option(
    "--table", "tables", multiple=True, metavar="FILE", help="Add a name table to the known ones (repeatable)."
)
replace: Decorator = click.option("--replace", is_flag=True, help="Overwrite files that exist.")
dry_run: Decorator = click.option("--dry-run", is_flag=True, help="Say what would be done, and write nothing.")


def reading(command: Callable[..., Any]) -> Callable[..., Any]:
    """--from, --profile and --table."""
    return from_dialect(profiles(tables(command)))


def printing(command: Callable[..., Any]) -> Callable[..., Any]:
    """--format, --quiet and --no-color, handed on as one `screen`."""
    return _printing(command, ["table", "json"], "For people, or JSON.", False)


def printing_patches(command: Callable[..., Any]) -> Callable[..., Any]:
    """The same with --format patch; the form is handed on too."""
    says = "For people, JSON, or a JSON Patch (RFC 6902) of the canonical document."
    return _printing(command, ["table", "json", "patch"], says, True)


def printing_gates(command: Callable[..., Any]) -> Callable[..., Any]:
    """The same with the forms that code hosts and build servers read; the form is handed on too."""
    says = "For people, JSON, for code hosts (SARIF 2.1.0), or for build servers (JUnit's XML)."
    return _printing(command, ["table", "json", "sarif", "junit"], says, True)


def _printing(command: Callable[..., Any], forms: list[str], says: str, hands_on: bool) -> Callable[..., Any]:
    from functools import wraps

    @click.option("--format", "form", type=click.Choice(forms), default="table", help=says)
    @click.option("--quiet", is_flag=True, help="Leave out what only accompanies the result.")
    @click.option("--no-color", is_flag=True, help="No colours (the variable NO_COLOR does the same).")
    @wraps(command)
    def wrapped(*args: Any, form: str, quiet: bool, no_color: bool, **kwargs: Any) -> int:
        from convert.cli.screen import Screen

        screen = Screen(form == "json", quiet, not no_color)
        if hands_on:
            kwargs["form"] = form
        status: int = command(*args, screen=screen, **kwargs)
        return status

    return wrapped
