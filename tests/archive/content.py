"""What a catalogue says, without what may differ between two runs over the same archive (ids, the journal)."""

from __future__ import annotations

import os
from typing import Any

from convert.archive.catalogue import Catalogue
from convert.archive.meaning import LABELS
from convert.archive.run import PATH
from convert.archive.steps import quoted


def content(folder: str) -> dict[str, list[Any]]:
    """All rows of the catalogue, keyed by paths and hashes."""
    labels = ", ".join(f"p.{quoted(name)}" for name in LABELS)
    with Catalogue(folder) as catalogue:
        return {
            "files": catalogue.rows(
                f"SELECT {PATH}, f.size, f.made, f.sha, f.status, f.why, f.dialect FROM files f"
                " JOIN folders d ON d.id = f.folder ORDER BY 1"
            ).fetchall(),
            "profiles": catalogue.rows(
                f"SELECT {PATH}, p.ordinal, p.dialect, p.name, p.scopes, m.digest, p.own, p.added, p.parents, p.broken,"
                f" p.line, p.outside, p.error, {labels} FROM profiles p JOIN files f ON f.id = p.file"
                " JOIN folders d ON d.id = f.folder LEFT JOIN meanings m ON m.id = p.meaning ORDER BY 1, 2"
            ).fetchall(),
            "meanings": catalogue.rows(
                "SELECT m.digest, m.scopes, m.size, m.body, n.* FROM meanings m"
                " JOIN numbers n ON n.id = m.id ORDER BY 1"
            ).fetchall(),
            "facts": catalogue.rows("SELECT name, value FROM facts ORDER BY 1").fetchall(),
        }


def comparable(folder: str) -> dict[str, list[Any]]:
    """The content without ids."""
    found = content(folder)
    found["meanings"] = [row[:4] + row[5:] for row in found["meanings"]]
    return found


def snapshot(root: str) -> dict[str, tuple[bytes, int, int]]:
    """Bytes, times and modes of everything in a folder."""
    found = {}
    for folder, _, names in os.walk(root):
        for path in [folder, *(os.path.join(folder, name) for name in names)]:
            status = os.stat(path)
            data = b""
            if os.path.isfile(path):
                with open(path, "rb") as file:
                    data = file.read()
            found[path] = (data, status.st_mtime_ns, status.st_mode)
    return found
