"""What is remembered with a list of keys: a file reads alike whatever was read before it."""

from __future__ import annotations

import os
from random import Random
from typing import Any

import pytest

from convert.dialects import shape
from convert.dialects.detect import match, parse
from convert.dialects.reader import read_tree
from convert.dialects.registry import Registry
from convert.dialects.shape import shape_of
from convert.dialects.table import Table
from convert.errors import OutputError
from convert.text.source import Source
from convert.text.tree import New, Tree
from tests.zoo import WORKSHOP

WARM, COLD = Registry(), Registry()
NONSENSE = ("", "nonsense", "-1", "1e999", "40%", "yes", "1, 2")


def chill(table: Table) -> None:
    """Let a table forget what it remembers."""
    table.shapes.clear()
    for lens in table.all_keys.values():
        lens.memo.clear()


def facts(tree: Tree, table: Table) -> list[Any]:
    """All that is read from a tree."""
    file, found = read_tree(tree, table), match(tree, table)
    return [
        (found.known, found.keys, found.marked, file.stray),
        *(
            (r.name, r.scopes, r.own, r.records, r.cells, r.indices, r.parents, r.broken, r.root, r.start)
            for r in file.readings
        ),
        [str(problem) for problem in file.problems()],
    ]


def variants(tree: Tree, random: Random) -> list[Tree]:
    """The tree, and others with the same keys and some odd values."""
    made = [tree]
    for _ in range(6):
        chosen = random.sample(range(len(tree.rows)), min(3, len(tree.rows)))
        try:
            made.append(tree.replace({at: New(tree.rows[at][1], random.choice(NONSENSE)) for at in chosen}))
        except OutputError:
            continue  # this syntax cannot hold such a value there
    return made


@pytest.mark.parametrize("dialect", WARM.names())
def test_a_file_reads_alike_whatever_was_read_before(dialect: str) -> None:
    warm, cold, random = WARM.table(dialect), COLD.table(dialect), Random(5)
    place = os.path.join(WORKSHOP, dialect)
    read = 0
    for name in sorted(os.listdir(place))[:8]:
        with open(os.path.join(place, name), "rb") as file:
            source = Source.from_bytes(file.read(), name)
        for tree in variants(parse(source, warm), random):
            chill(cold)
            alone = facts(tree, cold)
            assert facts(tree, warm) == alone
            assert facts(tree, warm) == alone
            read += 1
    assert read > 8
    assert warm.shapes


def test_what_is_remembered_has_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    table = COLD.table("quern")
    chill(table)
    monkeypatch.setattr(shape, "MOST_KEYS", 100)
    for number in range(50):
        rows = [((), f"key{number}.{at}", "1", at) for at in range(30)]
        assert shape_of(table, rows) is shape_of(table, rows)
        assert sum(len(names) for _, names in table.shapes) <= 100
    rows = [((), f"key.{at}", "1", at) for at in range(200)]
    assert shape_of(table, rows).keys == 200
    assert sum(len(names) for _, names in table.shapes) <= 100
    chill(table)


def test_paths_tell_shapes_apart() -> None:
    table = COLD.table("trug")
    one = [(("a",), "x", "1", 0), (("a",), "y", "1", 1)]
    other = [(("a",), "x", "1", 0), (("b",), "y", "1", 1)]
    assert shape_of(table, one) is not shape_of(table, other)
