"""How the profiles of a catalogue are related: exact copies, one meaning in several spellings, families, strangers.

The `scopes` of a profile say what it may be compared with: a process is no relative of a filament.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from convert.archive.catalogue import Catalogue
from convert.archive.family import Edge, Member, tree
from convert.archive.meaning import columns
from convert.archive.outliers import LEAST, consensus, strange
from convert.archive.run import PATH
from convert.archive.steps import quoted
from convert.model.setting import SETTINGS

COLUMNS_AT_ONCE = 24
"""Settings whose numbers are held in memory together."""


@dataclass(frozen=True, slots=True)
class Relation:
    """An edge of the family tree, by paths; `label` and `parent_label` name the profiles."""

    child: str
    label: str
    parent: str | None
    parent_label: str
    changed: tuple[str, ...]
    copies: int = 1
    depth: int = 0


@dataclass(frozen=True, slots=True)
class Outlier:
    """A value that no relative has (`family` tells how many there are), or that dissents from the archive."""

    path: str
    label: str
    setting: str
    value: float
    median: float
    factor: float
    says: str
    family: int


@dataclass(frozen=True, slots=True)
class Unit:
    """The consensus on a setting's bare numbers in one dialect, and who dissents."""

    setting: str
    dialect: str
    unit: str
    count: int
    median: float
    low: float
    high: float
    dissenters: tuple[Outlier, ...]


@dataclass(slots=True)
class Kin:
    """All relations of an archive."""

    exact: list[list[str]] = field(default_factory=list)
    same_meaning: list[list[str]] = field(default_factory=list)
    family: list[Relation] = field(default_factory=list)
    outliers: list[Outlier] = field(default_factory=list)
    units: list[Unit] = field(default_factory=list)


@dataclass(slots=True)
class _Node:
    """One meaning of the catalogue."""

    scopes: int
    size: int
    path: str
    label: str
    born: int
    copies: int


def kin(catalogue: Catalogue) -> Kin:
    """Everything at once; it is all made from the catalogue."""
    found = Kin(exact=exact(catalogue), same_meaning=same_meaning(catalogue))
    nodes = _nodes(catalogue)
    edges, tokens = families(catalogue, nodes)
    found.family = _relations(nodes, edges)
    found.outliers = outliers(catalogue, nodes, edges, tokens)
    found.units = units(catalogue)
    return found


def _where() -> str:
    return "JOIN files f ON f.id = p.file JOIN folders d ON d.id = f.folder"


def exact(catalogue: Catalogue) -> list[list[str]]:
    """Paths of files that are the same byte for byte, readable ones only."""
    rows = catalogue.rows(
        f"SELECT f.sha, {PATH} FROM files f JOIN folders d ON d.id = f.folder WHERE f.status = 'read' AND f.sha IN"
        " (SELECT sha FROM files WHERE status = 'read' GROUP BY sha HAVING count(*) > 1)"
    )
    return _groups(rows)


def same_meaning(catalogue: Catalogue) -> list[list[str]]:
    """Paths of files that hold one meaning and are not all the same bytes."""
    rows = catalogue.rows(
        f"SELECT p.meaning, {PATH} FROM profiles p {_where()} WHERE p.meaning IN (SELECT p2.meaning FROM profiles p2"
        " JOIN files f2 ON f2.id = p2.file JOIN meanings m ON m.id = p2.meaning WHERE m.size > 0"
        " GROUP BY p2.meaning HAVING count(DISTINCT f2.sha) > 1)"
    )
    return _groups(rows)


def _groups(rows: Iterable[tuple[Any, str]]) -> list[list[str]]:
    groups: dict[Any, set[str]] = {}
    for key, path in rows:
        groups.setdefault(key, set()).add(path)
    return sorted(sorted(paths) for paths in groups.values() if len(paths) > 1)


def _nodes(catalogue: Catalogue) -> dict[int, _Node]:
    nodes: dict[int, _Node] = {}
    for meaning, scopes, size, path, name, mtime in catalogue.rows(
        f"SELECT p.meaning, m.scopes, m.size, {PATH}, p.name, f.made"
        f" FROM profiles p {_where()} JOIN meanings m ON m.id = p.meaning ORDER BY 4, p.ordinal"
    ):
        node = nodes.get(meaning)
        if node is None:
            nodes[meaning] = _Node(scopes, size, path, name, mtime, 1)
        else:
            node.copies += 1
            if mtime < node.born:
                node.born, node.path, node.label = mtime, path, name
    return nodes


def families(catalogue: Catalogue, nodes: dict[int, _Node]) -> tuple[list[Edge], dict[int, tuple[int, ...]]]:
    """The trees of all scopes, and the tokens they were made from."""
    place = {name: at for at, name in enumerate(columns())}
    known: dict[str, int] = {}
    by_scopes: dict[int, list[Member]] = {}
    tokens: dict[int, tuple[int, ...]] = {}
    for meaning, body in catalogue.rows("SELECT id, body FROM meanings"):
        node = nodes.get(meaning)
        if node is None or not node.size:
            continue
        row = [0] * len(place)
        for name, value in json.loads(body).items():
            if name in place:
                text = f"{place[name]} {value if isinstance(value, (int, str)) else json.dumps(value)}"
                row[place[name]] = known.setdefault(text, len(known) + 1)
        tokens[meaning] = tuple(row)
        member = Member(meaning, tokens[meaning], node.born, node.size, node.path)
        by_scopes.setdefault(node.scopes, []).append(member)
    edges = [edge for scopes in sorted(by_scopes) for edge in tree(by_scopes[scopes])]
    return edges, tokens


def _relations(nodes: dict[int, _Node], edges: list[Edge]) -> list[Relation]:
    names = columns()
    depths: dict[int, int] = {}
    found = []
    for edge in edges:
        child, parent = nodes[edge.child], nodes[edge.parent] if edge.parent is not None else None
        depths[edge.child] = depths[edge.parent] + 1 if edge.parent is not None else 0
        found.append(
            Relation(
                child.path,
                child.label,
                parent.path if parent else None,
                parent.label if parent else "",
                tuple(sorted(names[at] for at in edge.changed)),
                child.copies,
                depths[edge.child],
            )
        )
    return found


def outliers(
    catalogue: Catalogue, nodes: dict[int, _Node], edges: list[Edge], tokens: dict[int, tuple[int, ...]]
) -> list[Outlier]:
    """In each family, numbers that no relative has and that lie far from theirs."""
    roots: dict[int, int] = {}
    for edge in edges:
        roots[edge.child] = edge.child if edge.parent is None else roots[edge.parent]
    groups: dict[int, list[int]] = {}
    for member, root in roots.items():
        groups.setdefault(root, []).append(member)
    numeric = [(at, name) for at, name in enumerate(columns()) if SETTINGS[name].is_number]
    found = []
    for root in sorted(groups, key=lambda one: nodes[one].path):
        members = groups[root]
        if len(members) < LEAST:
            continue
        varying = [(at, name) for at, name in numeric if len({tokens[one][at] for one in members}) > 1]
        values = _values(catalogue, members, [name for _, name in varying])
        for at, name in varying:
            counted: dict[int, int] = {}
            for member in members:
                counted[tokens[member][at]] = counted.get(tokens[member][at], 0) + 1
            for one in strange(
                name, [(member, v) for member in members if (v := values[member].get(name)) is not None]
            ):
                if counted[tokens[one.at][at]] == 1:
                    node = nodes[one.at]
                    found.append(
                        Outlier(node.path, node.label, name, one.value, one.median, one.factor, one.says, len(members))
                    )
    return sorted(found, key=lambda one: (not one.says, one.path, one.setting))


def _values(catalogue: Catalogue, members: list[int], names: list[str]) -> dict[int, dict[str, float]]:
    """The plain numbers of some meanings."""
    if not names:
        return {member: {} for member in members}
    listed = ", ".join(f"n.{quoted(name)}" for name in names)
    found = {}
    for member in members:
        row = catalogue.one(f"SELECT {listed} FROM numbers n WHERE n.id = ?", member)
        pairs = zip(names, row, strict=True)
        found[member] = {name: float(cell) for name, cell in pairs if isinstance(cell, (int, float))}
    return found


def units(catalogue: Catalogue) -> list[Unit]:
    """For each dialect and setting: what its numbers are about, and the files whose numbers are in another unit."""
    found = []
    numeric = [name for name in columns() if SETTINGS[name].is_number and SETTINGS[name].kind != "count"]
    dialects = [row[0] for row in catalogue.rows("SELECT DISTINCT dialect FROM profiles WHERE meaning IS NOT NULL")]
    for dialect in sorted(dialects):
        for start in range(0, len(numeric), COLUMNS_AT_ONCE):
            names = numeric[start : start + COLUMNS_AT_ONCE]
            for name, values in _columns(catalogue, dialect, names).items():
                if len(values) >= LEAST:
                    found.append(_unit(catalogue, dialect, name, values))
    return sorted(found, key=lambda one: (not one.dissenters, one.setting, one.dialect))


def _columns(catalogue: Catalogue, dialect: str, names: list[str]) -> dict[str, list[tuple[int, float]]]:
    """The plain numbers of some settings, with their meanings."""
    listed = ", ".join(f"n.{quoted(name)}" for name in names)
    made: dict[str, list[tuple[int, float]]] = {name: [] for name in names}
    rows = catalogue.rows(
        f"SELECT n.id, {listed} FROM numbers n"
        " WHERE n.id IN (SELECT meaning FROM profiles WHERE dialect = ?) ORDER BY n.id",
        dialect,
    )
    for number, *cells in rows:
        for name, cell in zip(names, cells, strict=True):
            if isinstance(cell, (int, float)):
                made[name].append((number, float(cell)))
    return made


def _unit(catalogue: Catalogue, dialect: str, name: str, values: list[tuple[int, float]]) -> Unit:
    middle, low, high = consensus([value for _, value in values])
    dissenters = tuple(
        Outlier(path, label, name, one.value, one.median, one.factor, one.says, len(values))
        for one in strange(name, values)
        if one.says
        for path, label in catalogue.rows(
            f"SELECT {PATH}, p.name FROM profiles p {_where()} WHERE p.meaning = ? AND p.dialect = ? ORDER BY 1, 2",
            one.at,
            dialect,
        ).fetchall()
    )
    return Unit(name, dialect, SETTINGS[name].unit, len(values), middle, low, high, dissenters)
