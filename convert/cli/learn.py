"""`beadwise learn`: a name table for a dialect that nobody wrote one for, worked out from samples."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options
from convert.errors import EXIT_NOTHING, Location, UsageError

if TYPE_CHECKING:
    from convert.api import Lesson, Session
    from convert.cli.screen import Screen


@click.command("learn", short_help="Work out the name table of an unknown dialect from sample files.")
@click.argument("samples", nargs=-1, required=True, metavar="SAMPLE...")
@click.option(
    "--same-as",
    "same_as",
    multiple=True,
    metavar="PROFILE",
    help="A file of a known dialect whose values the samples should say (repeatable).",
)
@click.option(
    "--changed",
    metavar="SETTING=VALUE",
    help="Two samples are the same export before and after this one change; the key that moved is the setting.",
)
@click.option("--out", metavar="TABLE", help="File to write; a plain NAME goes to your own tables, for all commands.")
@click.option(
    "--accept",
    type=click.FloatRange(0.5, 1.0),
    default=0.9,
    show_default=True,
    metavar="P",
    help="How sure a key must be to be accepted.",
)
@click.option("--ask", is_flag=True, help="Ask about the doubtful keys, one by one; answers are kept beside --out.")
@click.option("--report", "detailed", is_flag=True, help="Show all keys with their evidence instead of the table.")
@options.tables
@options.replace
@options.printing
def command(
    samples: Sequence[str],
    same_as: Sequence[str],
    changed: str | None,
    out: str | None,
    accept: float,
    ask: bool,
    detailed: bool,
    tables: Sequence[str],
    replace: bool,
    screen: Screen,
) -> int:
    """Read samples of an unknown dialect and propose its name table.

    What is clear becomes a row. What is likely but not sure is offered behind a comment mark, with the alternatives,
    and is never used silently; a unit that could be read two ways is always offered. All other keys are left alone.

    A second export with one value changed (--changed), or a profile with the same values (--same-as), settles most
    doubts.
    """
    from convert.api import Session
    from convert.report import learn as report

    session = Session(tables)
    path = _path(out)
    answers = _load_answers(path) if path else {}
    if changed is not None and len(samples) != 2:
        raise UsageError("--changed needs two samples", hint="give the export before the change, then the one after it")
    name = _name(path, samples)
    with screen.working("learning"):
        lesson = session.learn(samples, name, same_as, changed, accept, answers)
    if ask:
        lesson = _ask(screen, session, lesson, (samples, name, same_as, changed, accept), answers, path)
    document = lesson.document()
    if screen.json:
        screen.document(document)
    elif detailed:
        screen.result(report.report(document, lesson.advice(), width=screen.width, paint=screen.paint))
    elif path is None:
        screen.result(lesson.table)
    if path is not None:
        _write(screen, path, lesson.table, replace or bool(answers))
    if not screen.json and not detailed:
        screen.say(report.summary(document, paint=screen.paint_aside))
        screen.say(lesson.advice())
    if not any(key["decision"] != "ignored" for key in document["keys"]):
        screen.statuses.add(EXIT_NOTHING)
        screen.say("no key could be given a meaning")
    return screen.status()


def _path(out: str | None) -> str | None:
    """The file to write: a plain name is a table of the user's own."""
    import os

    if out is None or out.endswith(".toml") or os.sep in out or "/" in out:
        return out
    from convert.dialects.registry import user_folder

    if not out.replace("-", "").replace("_", "").isalnum() or not out[0].isalpha() or out != out.lower():
        raise UsageError(f"{out!r} is no name of a dialect", hint="lower case letters, digits, - and _; a letter first")
    return os.path.join(user_folder(), f"{out}.toml")


def _name(path: str | None, samples: Sequence[str]) -> str:
    """The dialect's name: that of the table's file, else one made of the first sample's."""
    import os

    stem = os.path.basename(path or samples[0]).partition(".")[0].lower()
    name = "".join(char if char.isascii() and (char.isalnum() or char in "-_") else "-" for char in stem).strip("-_")
    return name if name and name[0].isalpha() else f"learned-{name}".strip("-")


def _write(screen: Screen, path: str, text: str, replace: bool) -> None:
    import os

    from convert.cli.output import deliver
    from convert.dialects.conversion import OutputFile

    folder = os.path.dirname(path)
    if folder and not os.path.isdir(folder):
        from convert.dialects.registry import user_folder

        if os.path.abspath(folder) != os.path.abspath(user_folder()):
            raise UsageError("there is no such folder", Location(folder), "make it first, or give another --out")
        os.makedirs(folder, exist_ok=True)
    for line in deliver(screen, [OutputFile(path, text.encode())], [path], replace=replace, dry_run=False):
        screen.say(line)


# ---- asking


def _answers_path(path: str) -> str:
    return f"{path}.answers.json"


def _load_answers(path: str) -> dict[str, str]:
    """Answers of an earlier session: label of a key -> setting, "" for none."""
    import json
    import os

    from convert.files import read_bytes
    from convert.model.setting import SETTINGS

    name = _answers_path(path)
    if not os.path.lexists(name):
        return {}
    try:
        found = json.loads(read_bytes(name, 4_000_000))
    except ValueError:
        raise UsageError("holds no answers", Location(name), "delete it to begin anew") from None
    if not isinstance(found, dict) or not all(
        value == "" or str(value).partition(" ")[0] in SETTINGS for value in found.values()
    ):
        raise UsageError("holds no answers", Location(name), "delete it to begin anew")
    return found


def _ask(
    screen: Screen, session: Session, lesson: Lesson, call: tuple, answers: dict[str, str], path: str | None
) -> Lesson:
    """Go through the doubtful keys, the most informative first; each answer is kept at once."""
    import json

    from convert.files import write_bytes
    from convert.model.setting import SETTINGS
    from convert.report.visible import visible

    skipped: set[str] = set()
    while True:
        open_ones = [one for one in lesson.questions() if one.label not in skipped]
        if not open_ones:
            return lesson
        one = open_ones[0]
        click.echo(f"\n{len(open_ones)} open. {visible(one.label)} = {visible(' | '.join(one.values))}", err=True)
        for place, name in enumerate(one.choices, 1):
            click.echo(f"  {place}  {name}: {SETTINGS[name].meaning}", err=True)
        try:
            reply = click.prompt(
                "number, setting id, n (no setting), s (skip), q (stop)", default="s", err=True
            ).strip()
        except click.Abort:
            return lesson
        if reply == "q":
            return lesson
        if reply == "s":
            skipped.add(one.label)
            continue
        if reply.isdigit() and 1 <= int(reply) <= len(one.choices):
            answers[one.label] = one.choices[int(reply) - 1]
        elif reply == "n" or reply in SETTINGS:
            answers[one.label] = "" if reply == "n" else reply
        else:
            click.echo(f"{reply!r} is none of these", err=True)
            continue
        samples, name, same_as, changed, accept = call
        lesson = session.learn(samples, name, same_as, changed, accept, answers)
        unit = _ask_unit(lesson, one.label)
        if unit:
            answers[one.label] += f" {unit}"
            lesson = session.learn(samples, name, same_as, changed, accept, answers)
        if path is not None:
            write_bytes(_answers_path(path), (json.dumps(answers, indent=1, ensure_ascii=False) + "\n").encode(), True)


def _ask_unit(lesson: Lesson, label: str) -> str:
    """The code of the unit, where the setting is settled and its unit is not; "" if it need not be asked."""
    record = next((one for one in lesson.learned.records if one.item.key.label == label), None)
    if record is None or record.pair is None or not record.why.startswith("unit"):
        return ""
    codes = ["255" if dict(one.relation).get("scale") else one.unit for one in record.pair.readings]
    click.echo(f"  its unit: {', '.join(codes)} (1: from 0 to 1, 255: from 0 to 255)", err=True)
    try:
        reply = str(click.prompt("unit, or s (skip)", default="s", err=True)).strip()
    except click.Abort:
        return ""
    return reply if reply in codes else ""
