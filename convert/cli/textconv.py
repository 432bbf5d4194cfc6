"""`beadwise show --for-git FILE`: what git compares in the place of a settings file's text."""

from __future__ import annotations

from collections.abc import Sequence

from convert import files
from convert.api import Session
from convert.dialects.reader import FileReading
from convert.errors import BeadwiseError, UsageError
from convert.report.lines import lines
from convert.text.limits import LIMITS
from convert.text.source import Source
from convert.text.tree import Tree


def textconv(sources: Sequence[str], dialect: str | None, tables: Sequence[str]) -> bytes:
    """The lines of one file. A file that cannot be understood comes out as it is: git is to show it all the same.

    Only what the file says itself: git hands over old versions without their neighbours, so parents are not at hand.
    """
    if len(sources) != 1:
        raise UsageError("--for-git takes one file", hint="git calls it with one; without --for-git, give several")
    data = files.read_bytes(sources[0], LIMITS["size"].most)
    try:
        found = Session(tables).file(Source.from_bytes(data, sources[0]), dialect)
    except UsageError:
        raise
    except BeadwiseError:
        return data
    if not isinstance(found, FileReading):
        return data
    tree = found.tree
    blocks = []
    for reading in found.readings:
        loose = [record for record in reading.records if record.role in ("unknown", "beaten", "invalid")]
        keys = [_pair(tree, record.entry, len(reading.root)) for record in loose]
        parents = [name for name, _ in reading.parents]
        blocks.append("\n".join(lines(reading.name, reading.scopes, parents, reading.own, keys)))
    blocks.sort()
    if found.stray:
        pairs = sorted(_pair(tree, record.entry, 0) for record in found.stray)
        blocks.append("\n".join(f"(outside) {key} = {text!r}" for key, text in pairs))
    return ("\n\n".join(blocks) + "\n").encode("utf-8", "backslashreplace")


def _pair(tree: Tree, index: int, depth: int) -> tuple[str, str]:
    entry = tree.entry(index)
    return "/".join((*entry.path[depth:], entry.key)), tree.source.text[entry.start : entry.end]
