"""`beadwise find`: questions to a catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.errors import EXIT_FOUND, UsageError

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.command("find", short_help="Ask a catalogue which profiles meet a condition.")
@click.option("--in", "folder", required=True, metavar="DIR", help="The catalogue, as 'normalise --into' made it.")
@click.option("--where", multiple=True, metavar="EXPR", help="A condition; of several, all must hold.")
@click.option(
    "--findings",
    type=click.Choice(["note", "differs", "spoils", "fails", "hurts"]),
    help="Only profiles with a finding as grave as this. Profiles not yet judged are judged first.",
)
@click.option("--show", multiple=True, metavar="SETTING", help="Show this setting too (repeatable).")
@click.option("--jobs", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes that judge.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["table", "json", "csv", "paths"]),
    default="table",
    help="For people, JSON, CSV, or one path a line.",
)
@click.option("--quiet", is_flag=True, help="Leave out what only accompanies the result.")
@click.option("--no-color", is_flag=True, help="No colours (the variable NO_COLOR does the same).")
def command(
    folder: str,
    where: Sequence[str],
    findings: str | None,
    show: Sequence[str],
    jobs: int,
    form: str,
    quiet: bool,
    no_color: bool,
) -> int:
    """Find profiles by what they mean, whatever dialect they are written in.

    \b
    speed.travel >= 18000 mm/min and feedstock.family in (PLA, PETG)
    not present heat.chamber or layer.height < 0.1 mm
    code.start contains "G29"

    Comparisons are = != < <= > >=, 'in (A, B)', 'contains TEXT', 'present SETTING' and 'absent SETTING', joined by and,
    or, not and parentheses. Percents of other settings are followed. Of a setting with one value a tool, any may match.
    A setting that is absent matches no comparison. With --findings, the exit status is 1 if there are any.
    """
    from convert.archive.catalogue import Catalogue
    from convert.archive.judge import worst
    from convert.archive.query import find
    from convert.archive.where import parse, settings_of, together
    from convert.cli.screen import Screen
    from convert.model.setting import setting
    from convert.report import archive as report

    screen = Screen(form == "json", quiet, not no_color)
    if not where and findings is None and not show:
        raise UsageError("nothing is asked", hint="give --where, --findings or --show")
    condition = together([parse(text) for text in where])
    shown = list(dict.fromkeys([*(settings_of(condition) if condition else ()), *(setting(name).id for name in show)]))
    severity = None
    if findings is not None:
        from convert.rules.finding import RANK

        severity = RANK[findings]
        _judge(folder, jobs, screen)
    with screen.working("looking"), Catalogue(folder) as catalogue:
        hits = find(catalogue, condition, severity, shown)
        found = worst(catalogue, {hit.meaning for hit in hits}, severity) if severity is not None else None
    if form == "json":
        screen.document(report.hits_document(hits, found))
    elif form == "csv":
        screen.data(report.hits_csv(hits, shown).encode("utf-8", "backslashreplace"))
    elif form == "paths":
        screen.data(report.hits_paths(hits).encode("utf-8", "backslashreplace"))
    else:
        screen.result(report.hits_table(hits, found, width=screen.width, paint=screen.paint))
    if findings is not None and hits:
        screen.statuses.add(EXIT_FOUND)
    return screen.status()


def _judge(folder: str, jobs: int, screen: Screen) -> None:
    """Judge what these rules have not judged yet."""
    from convert import __version__
    from convert.archive.catalogue import Catalogue
    from convert.archive.judge import judge, unjudged

    with Catalogue(folder) as catalogue:
        left = unjudged(catalogue, __version__)
    if left:
        with screen.working(f"judging {left} profiles"), Catalogue(folder, write=True) as catalogue:
            judge(catalogue, __version__, jobs)
