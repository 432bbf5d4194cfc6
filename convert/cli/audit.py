"""`beadwise audit`: what cannot work, what comes out other than written, what may hurt someone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

MANY = 12
"""Setups beyond which it is worth saying how many they are."""

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.command("audit", short_help="Check setups against physics, limits and their command code.")
@click.argument("sources", nargs=-1, required=True, metavar="SRC...")
@click.option("--policy", metavar="FILE", help="Limits, filament cards and suppressions of your own (TOML).")
@click.option(
    "--fail-on",
    default="spoils",
    show_default=True,
    type=click.Choice(["note", "differs", "spoils", "fails", "hurts"]),
    help="Exit with 1 if a finding is as grave as this.",
)
@click.option("--steps", is_flag=True, help="Show the command code step by step, the first violation marked.")
@options.reading
@options.printing_gates
def command(
    sources: Sequence[str],
    policy: str | None,
    fail_on: str,
    steps: bool,
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    form: str,
    screen: Screen,
) -> int:
    """Judge the setup that the files form, with the computation behind each statement.

    Files of a machine, a filament and a process together form one setup; several of a kind are judged in every
    combination, and each finding says which. What cannot be told for want of a value is listed with what would settle
    it, and nothing is assumed silently.

    Severities: note, differs (prints other than written), spoils (the part is likely bad), fails (the print fails, the
    machine is worn or damaged), hurts (may hurt a person or start a fire).
    """
    from convert.api import Session
    from convert.report import audit as report
    from convert.rules.finding import RANK

    session = Session(tables)
    with screen.working("reading"):
        inputs = session.read(sources, dialect, profiles)
    screen.fail_inputs(inputs)
    with screen.working("judging"):
        result = session.audit(inputs, policy)
    doubts = inputs.doubts()
    screen.warn(doubts)
    if len(result.setups) > MANY:
        number = len(result.setups)
        screen.say(f"{number} setups, every machine with every filament and process; fewer files make fewer")
    if screen.json:
        screen.document(report.document(result, doubts))
    elif form == "sarif":
        from convert import __version__
        from convert.report import sarif

        screen.document(sarif.document(__version__, result, inputs.profiles, inputs.unusable(), doubts))
    elif form == "junit":
        from convert.report import junit

        screen.data(junit.document(result, fail_on, inputs.unusable()))
    else:
        if steps:
            from convert.report import program

            screen.result(program.tables(inputs.profiles, width=screen.width, paint=screen.paint) + "\n")
        screen.result(report.table(result, width=screen.width, paint=screen.paint, notes=not screen.quiet))
    worst = result.worst()
    if worst is not None and RANK[worst] >= RANK[fail_on]:
        screen.statuses.add(1)
    return screen.status()
