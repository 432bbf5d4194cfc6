"""Three-way merge of the keys that no table names, and of those that say name, kind and parent: word for word."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from convert.changes.merge import TextDecision, merge_texts
from convert.dialects.reader import FileReading, Reading
from convert.report.merge import KeyMerge
from convert.text.tree import New, Tree

Key = tuple[tuple[str, ...], str]
"""Path and key of an entry."""
Words = tuple[tuple[str | tuple, str, str | None], ...]
"""What stands there: value, kind and unit, of each entry of that name in order."""

LOOSE = ("unknown", "invalid", "book")
"""Roles of entries that are compared by their text."""


def loose_settings(*readings: Reading | None) -> set[str]:
    """Settings whose keys cannot be read in one of the versions: their texts are compared, not their values."""
    return {
        name
        for reading in readings
        if reading is not None
        for record in reading.records
        if record.role == "invalid"
        for name in record.settings
    }


def merge_keys(
    was: FileReading | None, ours: FileReading, theirs: FileReading
) -> tuple[list[KeyMerge], list[TextDecision[Key, Words]]]:
    """What became of the keys without a row, in words, and those that THEIRS changed (to be put into OURS).

    Profiles that only THEIRS has count as such keys, whole.
    """
    known = {reading.root for file in (was, ours) if file is not None for reading in file.readings}
    keys: set[Key] = set()
    for file in (was, ours, theirs):
        if file is None:
            continue
        for reading in file.readings:
            new = file is theirs and reading.root not in known
            keys.update(_key(file.tree, r.entry) for r in reading.records if new or r.role in LOOSE)
        keys.update(_key(file.tree, record.entry) for record in file.stray)
    if not keys:
        return [], []
    texts = [_texts(file, keys) if file is not None else {} for file in (was, ours, theirs)]
    told, changes = [], []
    for one in merge_texts(*texts):
        take = one.take
        if take == "theirs" and max(len(one.ours or ()), len(one.theirs or ())) > 1 and one.ours is not None:
            take = "conflict"  # several keys of one name: nobody can say which is which
        told.append(KeyMerge(*one.key, take, _said(one.base), _said(one.ours), _said(one.theirs)))
        if take == "theirs":
            changes.append(one)
    return told, changes


def put_keys(tree: Tree, changes: Sequence[TextDecision[Key, Words]], theirs: Tree) -> Tree:
    """OURS with the keys that THEIRS changed; groups that are not there are made as in THEIRS."""
    places = {(row[0], row[1]): index for index, row in enumerate(tree.rows)}
    edits: dict[int, New | None] = {}
    added: dict[tuple[str, ...], list[New]] = {}
    for one in changes:
        path, key = one.key
        news = [New(key, value, kind, unit) for value, kind, unit in one.theirs or ()]
        index = places.get(one.key)
        if index is None:
            added.setdefault(path, []).extend(news)
        else:
            edits[index] = news[0] if news else None
    if edits:
        tree = tree.replace(edits)
    attributes: Mapping[tuple[str, ...], Mapping[str, str]] = {group.path: group.attributes for group in theirs.groups}
    for path, news in added.items():
        present = any(group.path == path for group in tree.groups)
        tree = tree.extend(path, news, {} if present else attributes.get(path, {}))
    return tree


def _key(tree: Tree, index: int) -> Key:
    row = tree.rows[index]
    return row[0], row[1]


def _texts(file: FileReading, keys: set[Key]) -> dict[Key, Words]:
    found: dict[Key, Words] = {}
    for index, row in enumerate(file.tree.rows):
        key = row[0], row[1]
        if key in keys:
            entry = file.tree.entry(index)
            found[key] = (*found.get(key, ()), (entry.value, entry.kind, entry.unit))
    return found


def _said(words: Words | None) -> str | None:
    if words is None:
        return None
    return " / ".join(
        (value if isinstance(value, str) else repr(value)) + (f" {unit}" if unit else "") for value, _, unit in words
    )
