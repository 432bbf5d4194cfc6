"""`beadwise compute`: any physics model as a calculator, with units."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.command("compute", short_help="Compute with a physics model, units in and out.")
@click.argument("name", required=False, metavar="QUANTITY")
@click.argument("inputs", nargs=-1, metavar="NAME=VALUE...")
@click.option("--list", "listing", is_flag=True, help="List the models with their inputs, units and sources.")
@options.printing
def command(name: str | None, inputs: Sequence[str], listing: bool, screen: Screen) -> int:
    """Compute one model: beadwise compute volume_flow width=0.45mm height=0.2mm speed=9m/min

    Inputs carry their units, in any unit of the right kind. The result comes with formula, range and source. Without
    inputs, the model is explained.
    """
    from convert.errors import UsageError
    from convert.physics.models import model, models
    from convert.report import compute as report

    if listing or name is None:
        if not listing:
            raise UsageError("name a model, or list them with --list")
        chosen = [row for row in models().values() if name is None or row.name.startswith(name)]
        if screen.json:
            screen.document(report.listing(chosen))
        else:
            screen.result(report.list_table(chosen, width=screen.width, paint=screen.paint))
        return screen.status()
    row = model(name)
    if not inputs:
        if screen.json:
            screen.document(report.listing([row]))
        else:
            screen.result(report.explained(row, width=screen.width, paint=screen.paint))
        return screen.status()
    given = report.quantities(row, inputs)
    results = report.evaluated(row, given)
    if screen.json:
        screen.document(report.document(row, given, results))
    else:
        screen.result(report.table(row, given, results, width=screen.width, paint=screen.paint))
    return screen.status()
