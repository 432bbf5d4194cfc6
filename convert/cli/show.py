"""`beadwise show`: what the files say, as canonical values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.api import Inputs, UnknownFile
    from convert.cli.screen import Screen
    from convert.model.profile import Profile


@click.command("show", short_help="Show what files say: canonical values, and where they come from.")
@click.argument("sources", nargs=-1, required=True, metavar="SRC...")
@options.reading
@click.option("--for-git", is_flag=True, help="One file as sorted lines, for 'git diff' ('beadwise git install').")
@options.printing
def command(
    sources: Sequence[str],
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    for_git: bool,
    screen: Screen,
) -> int:
    """Show the settings of files as canonical values with their units.

    Each value comes with the line that says it, the parent it is inherited from, or the default that its dialect
    assumes. A percent of another setting is shown with what it comes to; several files are taken together for that,
    so a process file finds the nozzle of the machine file beside it. "-" is standard input.

    A file of an unknown dialect is shown with its keys as they stand.
    """
    if for_git:
        from convert.cli.textconv import textconv

        screen.data(textconv(sources, dialect, tables))
        return 0
    from convert.api import Session

    session = Session(tables)
    with screen.working("reading"):
        inputs = session.read(sources, dialect, profiles)
    for error in inputs.errors:
        screen.fail(error)
    problems = inputs.doubts()
    if screen.json:
        from convert.report.document import problem

        documents = _documents(inputs)
        listed = [problem(error) for error in inputs.errors] + [problem(found) for found in problems]
        screen.document({"beadwise": "show/1", "profiles": documents, "problems": listed})
        return screen.status()
    shown = _tables(inputs, screen)
    if shown:
        screen.result("\n\n".join(shown))
    screen.notes(problems, "--format json lists all")
    return screen.status()


def _documents(inputs: Inputs) -> list[dict]:
    from convert.dialects.inherit import around, carry
    from convert.report.profile import document

    everything = inputs.profiles
    made = []
    for reading in inputs.readings:
        assert reading.profile is not None
        carry(reading)
        made.append(document(reading.profile, reading.table.dialect, around(reading.profile, everything)))
    return made + [document(_as_carried(unknown), None, {}) for unknown in inputs.unknown]


def _tables(inputs: Inputs, screen: Screen) -> list[str]:
    from convert.dialects.inherit import around, carry
    from convert.report.profile import table

    everything = inputs.profiles
    made = []
    for reading in inputs.readings:
        profile = reading.profile
        assert profile is not None
        carry(reading)
        context = around(profile, everything)
        dialect = reading.table.dialect
        made.append(table(profile, dialect, reading.file.path, context, width=screen.width, paint=screen.paint))
    for unknown in inputs.unknown:
        profile = _as_carried(unknown)
        made.append(table(profile, "unknown dialect", unknown.path, {}, width=screen.width, paint=screen.paint))
    return made


def _as_carried(unknown: UnknownFile) -> Profile:
    from convert.model.profile import Carried, Profile

    tree = unknown.found.tree
    keys = tuple(Carried(path, key, tree.raw(index)) for index, (path, key, _, _) in enumerate(tree.rows))
    return Profile(unknown.path, (), {}, {}, {"unknown": keys} if keys else {}, {})
