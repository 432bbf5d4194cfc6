"""`beadwise settings`: the canonical settings, and how each dialect calls them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from convert.cli import options

if TYPE_CHECKING:
    from convert.cli.screen import Screen
    from convert.dialects.registry import Registry


@click.command("settings", short_help="List the canonical settings, or explain one.")
@click.argument("name", required=False, metavar="[ID]")
@options.tables
@options.printing
def command(name: str | None, tables: Sequence[str], screen: Screen) -> int:
    """List the canonical settings with kind, unit and range.

    With the id of a setting, explain it: its meaning, its choices, and the key it has in each dialect. With the
    beginning of ids, such as "speed", list those.
    """
    from convert.model.setting import SETTINGS
    from convert.model.setting import setting as find

    if name is None:
        chosen = list(SETTINGS.values())
    elif name in SETTINGS:
        chosen = [SETTINGS[name]]
    else:
        chosen = [one for one in SETTINGS.values() if one.id.startswith(name.removesuffix(".*").rstrip("*"))]
        if not chosen:
            find(name)  # raises, with the closest names
    keys: dict[str, dict[str, list[str]]] = {}
    if name in SETTINGS or tables:
        from convert.dialects.registry import Registry

        keys = _keys(Registry(tables), [one.id for one in chosen])
    from convert.report import settings as report

    if screen.json:
        screen.document(report.document(chosen, keys))
    elif name in SETTINGS:
        said = list(keys[chosen[0].id].items())
        screen.result(report.one(chosen[0], said, width=screen.width, paint=screen.paint))
    else:
        screen.result(report.table(chosen, width=screen.width, paint=screen.paint))
    return screen.status()


def _keys(registry: Registry, names: Sequence[str]) -> dict[str, dict[str, list[str]]]:
    """Setting -> dialect -> the keys that say it there."""
    found: dict[str, dict[str, list[str]]] = {name: {} for name in names}
    for dialect in registry.names():
        table = registry.table(dialect)
        for name in names:
            lenses = [lens for scope in table.lenses.values() for lens in scope if name in lens.settings]
            found[name][dialect] = list(dict.fromkeys(key for lens in lenses for key in lens.keys))
    return found
