"""Which dialect a file is written in, with the evidence; two that fit equally are both named, none is guessed."""

from __future__ import annotations

from typing import NamedTuple

from convert.dialects.registry import Registry
from convert.dialects.shape import Shape, shape_of
from convert.dialects.table import Table
from convert.errors import AmbiguousInput, BeadwiseError, InputError, Location
from convert.text import registry as syntaxes
from convert.text.source import Source
from convert.text.tree import Tree

LEAST_KEYS = 2
"""A single known key may be chance."""
LEAST_SHARE = 0.3
"""Below this share of known keys a file is somebody else's."""
CLOSE = 0.8
"""A second dialect that knows this much of what the first knows makes the file ambiguous."""


class Match(NamedTuple):
    """How well a table fits a file."""

    table: Table
    tree: Tree
    shape: Shape
    marked: bool

    @property
    def keys(self) -> int:
        return self.shape.keys

    @property
    def known(self) -> int:
        """How many keys the table knows; none where its mark is missing."""
        return self.shape.known if self.marked or not self.table.layout.mark else 0

    @property
    def share(self) -> float:
        return self.known / self.keys if self.keys else 0.0

    def evidence(self) -> str:
        """In words."""
        if self.marked:
            return f"{self.table.dialect} (its mark stands in the file)"
        return f"{self.table.dialect} ({self.known} of {self.keys} keys are known)"


class Unknown(NamedTuple):
    """A well-formed file that no table fits: its tree, and the tables that came closest."""

    tree: Tree
    closest: tuple[Match, ...]

    def says(self) -> str:
        if not self.closest:
            return "is well-formed, but no known dialect has any of its keys"
        return f"is well-formed, but of no known dialect; closest is {self.closest[0].evidence()}"


HINT = "name the dialect with --from, or write a table for it (README, 'How to write a table') and give it with --table"


def detect(source: Source, registry: Registry) -> Match | Unknown:
    """The one dialect that fits, or Unknown. AmbiguousInput if two fit; InputError if no syntax can read the file."""
    candidates = syntaxes.sniff(source)
    matches: list[Match] = []
    trees: dict[str, Tree] = {}
    error: BeadwiseError | None = None
    plain: Tree | None = None
    for syntax in candidates:
        for name, head in registry.heads.items():
            if head.syntax != syntax:
                continue
            try:
                table = registry.table(name)
                tree = parse(source, table, trees)
                matches.append(match(tree, table))
            except BeadwiseError as found:
                error = error or found
        if plain is None:
            try:
                plain = syntaxes.load(syntax).parse(source)
            except BeadwiseError as found:
                error = error or found
        if any(found.marked or found.share >= LEAST_SHARE for found in matches):
            break
    return choose(source, matches, plain, error)


def choose(source: Source, matches: list[Match], plain: Tree | None, error: BeadwiseError | None) -> Match | Unknown:
    """Pick the clear winner."""
    marked = [found for found in matches if found.marked]
    ranked = sorted(marked or matches, key=lambda found: (found.known, found.share), reverse=True)
    fitting = [found for found in ranked if found.marked or (found.known >= LEAST_KEYS and found.share >= LEAST_SHARE)]
    if fitting:
        best = fitting[0]
        rivals = [found for found in fitting[1:] if found.known >= CLOSE * best.known]
        if rivals:
            both = " and ".join(found.evidence() for found in [best, *rivals])
            raise AmbiguousInput(f"fits {both}", Location(source.path), "say which with --from")
        return best
    if plain is not None and plain.rows:
        return Unknown(plain, tuple(found for found in ranked[:3] if found.known))
    if error is not None:
        raise error
    if not source.data:
        raise InputError("is empty", Location(source.path), "is it the right file?")
    if "\0" in source.text:
        raise InputError("holds binary data, no settings", Location(source.path), "is it the right file?")
    raise InputError("holds no settings that any known syntax can read", Location(source.path), "is it the right file?")


def parse(source: Source, table: Table, trees: dict[str, Tree] | None = None) -> Tree:
    """The tree of a file as a dialect reads it; trees are shared between tables with equal options."""
    key = f"{table.syntax} {sorted(table.text.items())!r}"
    if trees is not None and key in trees:
        return trees[key]
    tree: Tree = syntaxes.load(table.syntax).parse(source, table.text)
    if trees is not None:
        trees[key] = tree
    return tree


def match(tree: Tree, table: Table) -> Match:
    """Count the keys of a tree that a table knows, and look for the dialect's mark."""
    shape = shape_of(table, tree.rows)
    mark = table.layout.mark.get("value")
    return Match(table, tree, shape, any(tree.rows[at][2] == mark for at in shape.marks))
