"""`beadwise normalise`: a whole archive into one catalogue."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import EXIT_UNREADABLE, UsageError

if TYPE_CHECKING:
    from convert.archive.cluster import Cluster
    from convert.archive.export import Exported
    from convert.cli.progress import Progress
    from convert.cli.screen import Screen


@click.command("normalise", short_help="Read a whole archive into a catalogue that answers questions.")
@click.argument("archive", metavar="ARCHIVE")
@click.option("--into", required=True, metavar="DIR", help="The folder of the catalogue; made if it is not there.")
@click.option("--jobs", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes that read files.")
@click.option("--engine", metavar="dask://HOST:PORT", help="Have the files read by a Dask cluster that runs there.")
@click.option(
    "--export", metavar="FOLDER", help="Also write all profiles as files: canonical, or of the dialect of --to."
)
@click.option("--to", metavar="DIALECT", help="With --export: convert the archive to this dialect, with one ledger.")
@click.option("--findings", is_flag=True, help="Also judge every profile, which takes longer than reading it.")
@options.tables
@options.replace
@options.printing
def command(
    archive: str,
    into: str,
    jobs: int,
    engine: str | None,
    export: str | None,
    to: str | None,
    findings: bool,
    tables: Sequence[str],
    replace: bool,
    screen: Screen,
) -> int:
    """Read folders and zips of settings files in all dialects into a catalogue.

    Every file is accounted for: read, refused with a reason, or skipped because it is no settings file. The archive is
    never written to. A further run reads only what has changed; one that was ended in any way is taken up again.
    Then ask with 'beadwise find' and 'beadwise kin'.
    """
    from convert import __version__
    from convert.archive.run import normalise
    from convert.report.archive import summary_document, summary_table

    if engine is not None and jobs != 1:
        raise UsageError("--jobs and --engine exclude each other", hint="a cluster has the workers that it has")
    if to is not None and export is None:
        raise UsageError("--to needs --export", hint="name the folder that the converted files go to")
    if export is not None:
        from convert.archive.export import check_folder

        check_folder(export, archive)
    if to is not None:
        from convert.dialects.registry import Registry

        Registry(tables).table(to)
    with _cluster(engine) as cluster, _progress(screen, archive) as progress:
        found = normalise(archive, into, jobs, tables, __version__, progress.tell, cluster)
        if findings:
            _judge(into, jobs, progress, cluster)
        made = _export(archive, into, export, to, tables, replace, progress) if export is not None else None
    if screen.json:
        document = summary_document(found)
        if made is not None:
            document["exported"] = made.files
        screen.document(document)
    else:
        screen.result(summary_table(found, width=screen.width, paint=screen.paint))
        if made is not None:
            screen.say(f"{export}: {made.files} files written")
    for problem in made.problems if made is not None else ():
        screen.fail(problem)
    if found.refused or any(True for _ in found.unresolved):
        screen.statuses.add(EXIT_UNREADABLE)
    return screen.status()


@contextmanager
def _cluster(engine: str | None) -> Iterator[Cluster | None]:
    """The cluster of an engine, whose workers have the beadwise that runs here."""
    if engine is None:
        yield None
        return
    from convert.archive.cluster import Cluster
    from convert.archive.remote import check

    cluster = Cluster(engine)
    try:
        check(cluster)
        yield cluster
    except BaseException:
        cluster.close(at_once=True)
        raise
    cluster.close()


def _judge(into: str, jobs: int, progress: Progress, cluster: Cluster | None) -> None:
    from convert import __version__
    from convert.archive.catalogue import Catalogue
    from convert.archive.judge import judge, unjudged

    with Catalogue(into, write=True) as catalogue:
        progress.start("judging", unjudged(catalogue, __version__))
        judge(catalogue, __version__, jobs, progress.tell, cluster)


def _export(
    archive: str, into: str, folder: str, to: str | None, tables: Sequence[str], replace: bool, progress: Progress
) -> Exported:
    from convert.archive.catalogue import Catalogue
    from convert.archive.digest import Tables
    from convert.archive.export import canonical, convert_all
    from convert.dialects.registry import Registry

    progress.start("writing", 0)
    with Catalogue(into) as catalogue:
        if to is None:
            return canonical(catalogue, folder, replace, progress.tell)
        return convert_all(catalogue, archive, folder, to, Tables(Registry(tables)), replace, progress.tell)


@contextmanager
def _progress(screen: Screen, archive: str) -> Iterator[Progress]:
    from convert.archive.walk import count
    from convert.cli.progress import Progress

    shown = not screen.quiet and sys.stderr is not None and sys.stderr.isatty()
    progress = Progress(shown, lambda: count(archive) if os.path.isdir(archive) else 0)
    try:
        yield progress
    finally:
        progress.clear()
