"""`beadwise explain`: what a rule, a setting or a quantity is about, and with --for, this file's own numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.command("explain", short_help="Explain a rule, a setting or a quantity, with a file's own numbers.")
@click.argument("name", required=False, metavar="RULE|SETTING|QUANTITY")
@click.option("--for", "sources", multiple=True, metavar="SRC", help="Fill in the numbers of these files (repeatable).")
@click.option("--list", "listing", is_flag=True, help="List all rules and quantities.")
@click.option("--policy", metavar="FILE", help="Judge by the limits of this policy.")
@options.reading
@options.printing
def command(
    name: str | None,
    sources: Sequence[str],
    listing: bool,
    policy: str | None,
    dialect: str | None,
    profiles: Sequence[str],
    tables: Sequence[str],
    screen: Screen,
) -> int:
    """Explain what a rule asks, what a setting means, or how a quantity is computed; formula and source with it.

    With --for, the numbers are those of the files: inputs with where they come from, the result, and how far a rule is
    from passing or from speaking.
    """
    from convert.errors import UsageError
    from convert.report import explain as report

    if listing or name is None:
        if not listing:
            raise UsageError("name a rule, a setting or a quantity, or list them with --list")
        if screen.json:
            screen.document(report.listing())
        else:
            screen.result(report.list_table(width=screen.width, paint=screen.paint))
        return screen.status()
    subject = report.subject(name)
    cases: list[report.Case] = []
    if sources:
        from convert.api import Session, check_number, judged
        from convert.rules import policy as policies
        from convert.rules.bundle import combinations

        session = Session(tables)
        inputs = session.read(sources, dialect, profiles)
        screen.fail_inputs(inputs)
        rules_of = None
        if policy is not None:
            from convert import files

            rules_of = policies.load(files.read_bytes(policy, 4_000_000), policy)
        origins = {key: found for profile in inputs.profiles for key, found in profile.origins.items()}
        check_number(judged(inputs))
        cases = [report.case(subject, one, origins, rules_of) for one in combinations(judged(inputs))]
    if screen.json:
        screen.document(report.document(subject, cases))
    else:
        screen.result(report.table(subject, cases, width=screen.width, paint=screen.paint))
    return screen.status()
