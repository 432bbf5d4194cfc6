"""`beadwise tables`: the known dialects; `beadwise tables check`: all mistakes of a name table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import EXIT_FOUND

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.group(
    "tables",
    short_help="List the known dialects, or check a name table.",
    invoke_without_command=True,
    subcommand_metavar="[check FILE...]",
)
@options.tables
@options.printing
@click.pass_context
def command(context: click.Context, tables: Sequence[str], screen: Screen) -> int | None:
    """List the dialects that are known: those that come with beadwise, the user's own, and those given with --table.

    A dialect is described by a name table, one TOML file; 'beadwise tables check FILE' explains its mistakes.
    """
    if context.invoked_subcommand is not None:
        return None
    from convert.api import tables_document
    from convert.dialects.registry import Registry
    from convert.report import tables as report

    document = tables_document(Registry(tables))
    if screen.json:
        screen.document(document)
    else:
        screen.result(report.table(document, width=screen.width, paint=screen.paint))
    return screen.status()


@command.command("check", short_help="Explain all mistakes of a name table.")
@click.argument("paths", nargs=-1, required=True, metavar="FILE...")
@options.printing
def check_command(paths: Sequence[str], screen: Screen) -> int:
    """Check name tables: every mistake with its place, what is wrong and what to do.

    Besides mistakes, notes tell what a table leaves unsaid, such as choices without a word. The exit status is 1 if a
    table has mistakes.
    """
    from convert import files
    from convert.dialects.checking import check
    from convert.dialects.registry import MOST_BYTES
    from convert.errors import BeadwiseError
    from convert.report.document import problem
    from convert.report.grid import count
    from convert.report.tables import verdict

    checked = []
    for path in paths:
        try:
            found = check(files.read_bytes(path, MOST_BYTES), path)
        except BeadwiseError as error:
            screen.fail(error)
            continue
        if found.mistakes:
            screen.statuses.add(EXIT_FOUND)
        notes = [] if screen.quiet else found.notes
        checked.append(
            {
                "table": path,
                "dialect": found.table.dialect if found.table is not None else None,
                "mistakes": [problem(one) for one in found.mistakes],
                "notes": [problem(one) for one in found.notes],
            }
        )
        if not screen.json:
            table = found.table
            good = f"{table.dialect} says {count(table.settings, 'setting')}" if table is not None else ""
            screen.result(verdict(path, found.mistakes, notes, good, width=screen.width, paint=screen.paint))
    if screen.json:
        screen.document({"beadwise": "check/1", "tables": checked})
    return screen.status()
