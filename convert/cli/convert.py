"""`beadwise convert`: files of one dialect into another, with an account of every key."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.dialects.fates import MEANINGS
from convert.errors import EXIT_FOUND, EXIT_UNREADABLE, UsageError

if TYPE_CHECKING:
    from convert.api import Inputs
    from convert.cli.screen import Screen
    from convert.dialects.conversion import Conversion
    from convert.dialects.ledger import Ledger
    from convert.inference.imitate import Imitation


@click.command("convert", short_help="Convert files to another dialect, and account for every key.")
@click.argument("sources", nargs=-1, required=True, metavar="SRC...")
@click.option("--to", metavar="DIALECT", help="The dialect to write; 'beadwise tables' lists them.")
@click.option(
    "--like",
    multiple=True,
    metavar="SAMPLE",
    help="Write into the shape of this file of any program, known or not (repeatable).",
)
@options.reading
@click.option("--out", metavar="PATH", help="File or folder to write; without it, the text goes to standard output.")
@click.option("--ledger", "ledger_path", metavar="FILE", help="Write what became of every key to this file, as JSON.")
@click.option(
    "--max-loss",
    metavar="FATE",
    type=click.Choice(list(MEANINGS)),
    help=f"Exit with 1 if the fate of a key is worse than this one of: {', '.join(MEANINGS)}.",
)
@options.dry_run
@options.replace
@options.printing
def command(
    sources: Sequence[str],
    to: str | None,
    like: Sequence[str],
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    out: str | None,
    ledger_path: str | None,
    max_loss: str | None,
    dry_run: bool,
    replace: bool,
    screen: Screen,
) -> int:
    """Convert settings files to another dialect.

    Every key of the source and of the result is accounted for, and the result is read back before it is written. One
    file goes to standard output, and the summary to standard error; several files need --out FOLDER. "-" is standard
    input, a folder stands for the files in it.

    The files are taken together: where the target holds a whole setup, machine, filament and process files become one.
    Converting to the files' own dialect leaves every byte as it is.

    With --like, the sample's own text is kept and only the values are replaced that the source states. A program that
    no table describes is learned from its files first, on both sides; what is not clear is left as in the sample.
    """
    if out is not None and out in ("", "-"):
        raise UsageError(
            "--out needs the name of a file or folder", hint="without --out, the text goes to standard output"
        )
    if screen.json and out is None and not dry_run:
        raise UsageError(
            "--format json needs --out", hint="the ledger takes standard output, so the text needs a place"
        )
    from convert.api import Session

    if (to is None) == (not like):
        raise UsageError("give either --to or --like", hint="--to names a dialect, --like a file to imitate")
    session = Session(tables)
    if to is not None:
        session.registry.table(to)
    imitation = None
    with screen.working("converting"):
        inputs = session.read(sources, dialect, profiles)
        if to is not None:
            screen.fail_inputs(inputs)
            conversion = session.convert(inputs, to)
        else:
            imitation = session.convert_like(inputs, like, profiles)
            conversion = imitation.conversion
            screen.fail_inputs(inputs)
    for problem in conversion.problems:
        screen.fail(problem)
    made = conversion.files
    if out is None and screen.statuses:
        made = []  # half a result on stdout would pass for a whole one
    from convert.cli.output import deliver, targets

    paths = None if screen.json and out is None else targets(made, out)
    if ledger_path is not None:
        _check_ledger(ledger_path, paths, conversion.ledger.source.files)
    told = deliver(screen, made, paths, replace=replace, dry_run=dry_run)
    if ledger_path is not None and conversion.ledger.entries:
        _write_ledger(screen, conversion.ledger, ledger_path, replace, dry_run)
    if max_loss is not None and conversion.ledger.entries:
        _judge(screen, conversion.ledger, max_loss)
    _report(screen, inputs, conversion, told)
    if imitation is not None and not screen.json:
        _tell_imitation(screen, imitation)
    return screen.status()


def _check_ledger(path: str, others: Sequence[str] | None, sources: Sequence[str]) -> None:
    if path in ("", "-"):
        raise UsageError("--ledger needs the name of a file", hint="--format json prints the ledger to standard output")
    if os.path.abspath(path) in [os.path.abspath(other) for other in others or ()]:
        raise UsageError("--ledger and --out name the same file", hint="give the ledger a name of its own")
    if os.path.realpath(path) in [os.path.realpath(source) for source in sources]:
        raise UsageError("--ledger names a file that is read", hint="give the ledger a name of its own")


def _write_ledger(screen: Screen, ledger: Ledger, path: str, replace: bool, dry_run: bool) -> None:
    from convert.cli.output import deliver
    from convert.dialects.conversion import OutputFile
    from convert.report.document import encode

    deliver(screen, [OutputFile(path, encode(ledger.document()))], [path], replace=replace, dry_run=dry_run)


def _judge(screen: Screen, ledger: Ledger, most: str) -> None:
    from convert.dialects.fates import ORDER

    worse = [entry for entry in ledger.entries if entry.side == "source" and ORDER[entry.fate] > ORDER[most]]
    if worse:
        screen.statuses.add(EXIT_FOUND)
        noun = "key has" if len(worse) == 1 else "keys have"
        screen.say(f"{len(worse)} {noun} a fate worse than {most}, the worst is {ledger.worst()}")


def _tell_imitation(screen: Screen, imitation: Imitation) -> None:
    """What stayed as in the sample, and what had no place in it."""
    from convert.report.grid import count, paragraph

    screen.say(f"left as in the sample: {count(imitation.left, 'key')}")
    if imitation.homeless:
        names = ", ".join(imitation.homeless)
        says = f"no place in the sample for {count(len(imitation.homeless), 'setting')}: {names}"
        screen.say(paragraph(says, width=screen.width, hang=2))


def _report(screen: Screen, inputs: Inputs, conversion: Conversion, told: Sequence[str]) -> None:
    if screen.json:
        screen.document(conversion.ledger.document())
        return
    if conversion.ledger.entries and not screen.quiet:
        from convert.report.ledger import summary

        screen.say(summary(conversion.ledger, told, width=screen.width, paint=screen.paint_aside))
    screen.notes(inputs.doubts())
    if EXIT_UNREADABLE in screen.statuses and not told:
        screen.say("nothing was written")
