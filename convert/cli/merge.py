"""`beadwise merge`: join what two people changed, in the shape of the first one's file; also git's merge driver."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import EXIT_FOUND, BeadwiseError, NothingDone, UsageError

if TYPE_CHECKING:
    from convert.api import Inputs, Session
    from convert.cli.screen import Screen
    from convert.report.merge import Merge


@click.command("merge", short_help="Join the changes of two people, in any dialects.")
@click.argument("base")
@click.argument("ours")
@click.argument("theirs")
@click.argument("path", required=False)
@click.argument("size", required=False, type=int)
@click.option("--out", metavar="PATH", help="File or folder to write; without it, the text goes to standard output.")
@click.option("--with", "beside", multiple=True, metavar="FILE", help="A file that all three use, such as the machine.")
@options.reading
@options.dry_run
@options.replace
@options.printing
def command(
    base: str,
    ours: str,
    theirs: str,
    path: str | None,
    size: int | None,
    out: str | None,
    beside: Sequence[str],
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    dry_run: bool,
    replace: bool,
    screen: Screen,
) -> int:
    """Join what OURS and THEIRS changed since BASE, in the shape of OURS: its dialect, comments and order stay.

    The three may be files of different dialects, or folders. A setting that both changed differently is a conflict: it
    keeps OURS' value, and both values are shown with what they do. Changes that are sound alone and break a limit
    together are told as well. Exit status 0: clean; 1: somebody has to look at it.

    With PATH this is git's merge driver ('beadwise git install'): the result overwrites OURS, and a file that is no
    settings file is merged line by line, with conflict marks of SIZE characters.
    """
    from convert.api import Session

    session = Session(tables)
    if path is not None:
        if out is not None or screen.json:
            raise UsageError("with PATH the result overwrites OURS", hint="leave PATH out, or --out and --format")
        return _drive(session, screen, (base, ours, theirs), path, size or 7, dialect, beside)
    if screen.json and out is None and not dry_run:
        raise UsageError(
            "--format json needs --out", hint="the account takes standard output, so the text needs a place"
        )
    with screen.working("merging"):
        read = [session.read([one], dialect, profiles) for one in (base, ours, theirs)]
        for inputs in read:
            screen.fail_inputs(inputs)
        if screen.statuses or not all(inputs.readings for inputs in read[1:]):
            raise NothingDone("nothing was merged", hint="all three must be files of known dialects")
        from convert.cli.merging import merge_inputs

        merge, made = merge_inputs(session, read[0], read[1], read[2], _beside(session, screen, beside))
    from convert.cli.output import deliver, targets

    paths = None if screen.json and out is None else targets(made, out)
    deliver(screen, made, paths, replace=replace, dry_run=dry_run)
    merge.written = list(paths or ()) if not dry_run and not screen.statuses else []
    if not merge.clean:
        screen.statuses.add(EXIT_FOUND)
    from convert.report import merge as report

    if screen.json:
        named = zip(("base", "ours", "theirs"), read, strict=True)
        files = {side: [file.path for file in one.family.files if file.requested] for side, one in named}
        screen.document(report.document(merge, files))
    elif out is None and not dry_run:
        screen.say(report.table(merge, ours, width=screen.width, paint=screen.paint_aside))
    else:
        shown = report.table(merge, out or ours, width=screen.width, paint=screen.paint, brief=screen.quiet)
        screen.result(shown)
    return screen.status()


def _beside(session: Session, screen: Screen, paths: Sequence[str]) -> list:
    if not paths:
        return []
    inputs = session.read(paths)
    screen.fail_inputs(inputs)
    if screen.statuses:
        raise NothingDone("nothing was merged", hint="the files of --with must be readable too")
    return inputs.profiles


def _drive(
    session: Session,
    screen: Screen,
    versions: tuple[str, str, str],
    path: str,
    size: int,
    dialect: str | None,
    beside: Sequence[str],
) -> int:
    """Merge for git: 0 clean, 1 conflict. Files that cannot be understood are merged line by line, as git does."""
    try:
        merge, data = _understood(session, screen, versions, path, dialect, beside)
    except BeadwiseError as error:
        from convert.report.visible import visible

        if isinstance(error, UsageError):
            raise
        screen.say(f"beadwise: {visible(str(error))}; merged line by line instead")
        return _by_lines(versions, path, size)
    from convert.files import write_bytes
    from convert.report import merge as report

    write_bytes(versions[1], data, replace=True)
    screen.say(
        f"{path}: " + report.table(merge, path, width=screen.width, paint=screen.paint_aside, brief=True).lstrip()
    )
    return 0 if merge.clean else EXIT_FOUND


def _understood(
    session: Session,
    screen: Screen,
    versions: tuple[str, str, str],
    path: str,
    dialect: str | None,
    beside: Sequence[str],
) -> tuple[Merge, bytes]:
    from convert.cli.merging import merge_inputs
    from convert.cli.versions import read_as

    ours = read_as(session, versions[1], path, dialect)
    fallback = ours.readings[0].table.dialect if ours.readings else None
    others: list[Inputs] = [read_as(session, one, path, dialect, fallback) for one in (versions[0], versions[2])]
    if not ours.readings or not others[1].readings:
        raise NothingDone("one side is empty")
    merge, made = merge_inputs(session, others[0], ours, others[1], _beside(session, screen, beside))
    return merge, made[0].data


def _by_lines(versions: tuple[str, str, str], path: str, size: int) -> int:
    from subprocess import run

    base, ours, theirs = versions
    labels = [part for label in (f"ours/{path}", f"base/{path}", f"theirs/{path}") for part in ("-L", label)]
    done = run(["git", "merge-file", f"--marker-size={size}", *labels, "--", ours, base, theirs], check=False)
    return min(done.returncode, 1)
