"""`beadwise diff`: what the changes between two files, or two bundles of files, do to the print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.api import Inputs
    from convert.cli.screen import Screen

ABOUT = ("stringing", "warping", "adhesion", "surface", "strength", "size", "time", "risk")


@click.command("diff", short_help="Say what changed between two sides, and what it does to the print.")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@click.option(
    "--with",
    "beside",
    multiple=True,
    metavar="FILE",
    help="A file that belongs to both sides, such as the machine of two processes (repeatable).",
)
@click.option("--all", "everything", is_flag=True, help="List what means nothing, with why, and all figures.")
@click.option(
    "--about", type=click.Choice(ABOUT), help="Only the changes that may be behind a symptom, likeliest first."
)
@click.option(
    "--fail-on",
    default="differs",
    show_default=True,
    type=click.Choice(["note", "differs", "spoils", "fails", "hurts"]),
    help="Exit with 1 if a change is as grave as this.",
)
@options.reading
@options.printing_also(
    "For people, JSON, a page to send (HTML), or a JSON Patch (RFC 6902) of the canonical document.", "html", "patch"
)
def command(
    old: str,
    new: str,
    beside: Sequence[str],
    everything: bool,
    about: str | None,
    fail_on: str,
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    screen: Screen,
    form: str,
) -> int:
    """Say what changed from OLD to NEW: files or folders, each in any dialect.

    Compared are canonical values, after inheritance and relations: other units, order, spellings, copies of inherited
    values and settings of features that are off mean nothing and are only counted. Each change says first what the
    print does, with figures for a reference block of 60 x 40 x 30 mm.

    Severities: note, differs (prints other than before), spoils (the part is likely bad), fails (the print fails, the
    machine is worn or damaged), hurts (may hurt a person or start a fire).

    --format patch prints what leads from the one canonical document to the other, a test before each change; OLD and
    NEW are one profile each.
    """
    from convert.api import Session
    from convert.errors import NothingDone
    from convert.rules.finding import RANK

    session = Session(tables)
    with screen.working("reading"):
        sides = [session.read([path], dialect, profiles) for path in (old, new)]
        shared = session.read(list(beside), dialect) if beside else None
    for inputs in (*sides, *([shared] if shared is not None else [])):
        screen.fail_inputs(inputs)
    with screen.working("comparing"):
        result = session.diff(sides[0], sides[1], shared, everything=everything, brief=not screen.json)
    suspects = []
    if about is not None:
        from convert.changes.symptoms import suspects as find

        suspects = find(about, [change for change, _ in result.changes])
    if form == "patch":
        screen.document(_patch(sides[0], sides[1]))
    elif screen.json:
        from convert.report.diff_document import document

        screen.document(document(result, about, suspects))
    elif form == "html" and result.results:
        from convert.report import diff_page

        screen.data(diff_page.document(result, everything=everything, about=about, suspects=suspects))
    elif result.results:
        from convert.report.diff import table

        screen.result(
            table(
                result,
                width=screen.width,
                paint=screen.paint,
                everything=everything,
                quiet=screen.quiet,
                about=about,
                suspects=suspects,
            )
        )
    if not result.compared:
        why = "; ".join(f"{one.what}: {one.why}" for one in result.not_compared[:3])
        hint = "give two sides that state the same scope, in known dialects ('beadwise tables')"
        screen.fail(NothingDone(f"nothing could be compared{': ' + why if why else ''}", hint=hint))
    worst = result.worst()
    if worst is not None and RANK[worst] >= RANK[fail_on]:
        screen.statuses.add(1)
    return screen.status()


def _patch(old: Inputs, new: Inputs) -> list[dict]:
    """The JSON Patch between two profiles."""
    from convert.changes.patch import patch_profiles
    from convert.dialects.inherit import carry
    from convert.errors import UsageError

    for side, inputs in (("OLD", old), ("NEW", new)):
        if len(inputs.profiles) != 1:
            hint = "pick one with --profile, or give the file that holds it alone"
            raise UsageError(f"{side} has {len(inputs.profiles)} profiles, and a patch is of one document", None, hint)
        carry(inputs.readings[0])
    return patch_profiles(old.profiles[0], new.profiles[0])
