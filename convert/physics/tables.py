"""Reads the data tables of the physics: rows of text between tabs, a head line that names the columns."""

from __future__ import annotations

from convert.errors import InputError, Location
from convert.resources import path, read_bytes


def rows(name: str, columns: str) -> list[list[str]]:
    """The rows of `schemas/<name>`, each with as many cells as there are column names (parted by blanks).

    >>> rows("models.inputs.tsv", "name unit meaning")[0][:2]
    ['acceleration', 'mm/s2']
    """
    head, *lines = read_bytes("schemas", name).decode().splitlines()
    wanted = columns.split()
    if head.split("\t") != wanted:
        raise InputError(f"its columns are not {', '.join(wanted)}", Location(path("schemas", name), 1))
    found = []
    for number, line in enumerate(lines, 2):
        cells = line.split("\t")
        if len(cells) != len(wanted):
            raise InputError(f"{len(cells)} cells for {len(wanted)} columns", Location(path("schemas", name), number))
        found.append(cells)
    return found
