"""`beadwise set`: change settings in files, each in its own dialect, and leave every other byte alone."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import EXIT_UNREADABLE, BeadwiseError, Location, NothingDone, OutputError, UsageError

if TYPE_CHECKING:
    from convert.cli.assignments import Assignments
    from convert.cli.screen import Screen
    from convert.report.edits import Edit


@click.command("set", short_help="Change settings in files, and leave every other byte alone.")
@click.argument("words", nargs=-1, required=True, metavar="SETTING=VALUE... FILE...")
@options.reading
@click.option("--out", metavar="FOLDER", help="Write the files into this folder, and leave the originals alone.")
@options.dry_run
@options.replace
@options.printing
def command(
    words: Sequence[str],
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    out: str | None,
    dry_run: bool,
    replace: bool,
    screen: Screen,
) -> int:
    """Change settings in files of any dialect, in place.

    Values are written with their unit: speed.outer_wall=140mm/s, "speed.first_layer=40 % of speed.default",
    infill.pattern=gyroid. Each file gets them in its own unit and spelling; comments, order and all other bytes stay.
    An empty value, speed.gap=, takes the setting away. With "-" the file comes from standard input and goes to
    standard output.

    A file whose dialect cannot say a value is left as it is, and the others are done.
    """
    from convert.cli.assignments import parse

    assigned, files = parse(words)
    if "-" in files and (len(files) > 1 or out is not None or screen.json):
        raise UsageError("standard input is one file, and the result goes to standard output", hint="give '-' alone")
    if out is not None and os.path.lexists(out) and not os.path.isdir(out):
        raise UsageError("is no folder", Location(out), "give --out another name")
    from convert.api import Session
    from convert.cli.editing import edit_files

    session = Session(tables)
    with screen.working("changing"):
        inputs = session.read(files, dialect, profiles)
        screen.fail_inputs(inputs)
        if inputs.unknown and not inputs.readings:
            raise NothingDone("nothing was changed", hint="a file can be changed once its dialect is known")
        made = edit_files(session, inputs, assigned)
    for edit, data in made:
        if edit.refused is not None:
            screen.fail(OutputError(edit.refused, Location(edit.file), "this file is left as it is"))
        elif edit.file == "-":
            if not dry_run:
                screen.data(data)
        elif edit.changes or out is not None:
            _write(screen, edit, data, out, replace, dry_run)
    edits = [edit for edit, _ in made]
    _check_used(screen, edits, assigned)
    from convert.report import edits as report

    if screen.json:
        screen.document(report.document(edits))
    elif files == ["-"]:
        screen.say(report.table(edits, dry_run, width=screen.width, paint=screen.paint_aside))
    elif edits:
        screen.result(report.table(edits, dry_run, width=screen.width, paint=screen.paint))
    return screen.status()


def _write(screen: Screen, edit: Edit, data: bytes, out: str | None, replace: bool, dry_run: bool) -> None:
    from convert.files import write_bytes

    path = edit.file if out is None else os.path.join(out, os.path.basename(edit.file))
    try:
        if dry_run:
            if out is not None and os.path.lexists(path) and not replace:
                raise OutputError("exists already", Location(path), "give --replace to overwrite it, or another --out")
        else:
            write_bytes(path, data, replace or out is None)
            edit.written = path
    except BeadwiseError as error:
        screen.fail(error)
        edit.refused = error.says


def _check_used(screen: Screen, edits: Sequence[Edit], assigned: Assignments) -> None:
    """Say so if no file holds the scope of a setting: nothing was done about it."""
    from convert.model.setting import SETTINGS

    held = {scope for edit in edits for scope in edit.scopes}
    for name in assigned:
        scope = SETTINGS[name].scope
        if edits and scope not in held:
            says = f"{name} belongs to the {scope}, and no file here holds {scope} settings"
            screen.fail(OutputError(says, None, "name the file that does"), EXIT_UNREADABLE)
