"""`beadwise kin`: copies, families and strangers in a catalogue."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.cli.screen import Screen


@click.command("kin", short_help="Show copies, families of near-copies, and values that stand alone.")
@click.option("--in", "folder", required=True, metavar="DIR", help="The catalogue, as 'normalise --into' made it.")
@options.printing
def command(folder: str, screen: Screen) -> int:
    """Show how the profiles of an archive are related.

    Exact copies are the same bytes; profiles of one meaning say the same in different words. The family tree joins
    near-copies by the fewest changed settings, rooted at the oldest file. Values that no relative has are listed with
    the likely slip of unit, and so are numbers that speak another unit than the rest of the archive.
    """
    from convert.archive.catalogue import Catalogue
    from convert.archive.kin import kin
    from convert.report.archive import kin_document, kin_table

    with screen.working("comparing"), Catalogue(folder) as catalogue:
        found = kin(catalogue)
    if screen.json:
        screen.document(kin_document(found))
    else:
        screen.result(kin_table(found, width=screen.width, paint=screen.paint))
    return screen.status()
