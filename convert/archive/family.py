"""Who descends from whom: the tree that joins profiles by the fewest changed settings, rooted at the oldest.

A profile's nearest relatives are looked for among those that agree with it in some part: the settings are dealt into
BANDS bands, and profiles are sorted by their bands from each of them on; neighbours in these orders are compared. A
near-copy with fewer changes than there are bands agrees in at least one whole band, so it stands near. Small archives
are compared pair by pair. Of equally near relatives, those known to be older come first.

The number of comparisons grows as n log n; a comparison looks at every setting.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import ne

BANDS = 16
WINDOW = 6
ALL_PAIRS = 400
"""Up to so many profiles, every pair is compared."""
MOST_SHARE = 0.25
"""Profiles that differ in more than a quarter of the settings that either has are no relatives."""


@dataclass(frozen=True, slots=True)
class Member:
    """One meaning: its tokens, one number a setting (0: absent; equal numbers are equal values), its age and size.

    `born` is the time of its oldest file; `path` breaks ties.
    """

    key: int
    tokens: tuple[int, ...]
    born: int
    size: int
    path: str


@dataclass(frozen=True, slots=True)
class Edge:
    """A child and its parent (None for a root), by the members' keys, and the columns they differ in."""

    child: int
    parent: int | None
    changed: tuple[int, ...]


def tree(members: Sequence[Member]) -> list[Edge]:
    """One edge a member; parents come before their children.

    >>> old = Member(1, (5, 5, 5, 5, 5, 5, 5, 5), 100, 8, "a")
    >>> new = Member(2, (5, 5, 5, 5, 5, 5, 5, 6), 200, 8, "b")
    >>> [(edge.child, edge.parent, edge.changed) for edge in tree([new, old])]
    [(1, None, ()), (2, 1, (7,))]
    """
    order = sorted(members, key=lambda one: (one.born, one.size, one.path))
    links = sorted(_candidates(order))
    roots = list(range(len(order)))
    near: list[list[int]] = [[] for _ in order]
    for _, older, newer in links:
        a, b = _root(roots, older), _root(roots, newer)
        if a != b:
            roots[max(a, b)] = min(a, b)
            near[older].append(newer)
            near[newer].append(older)
    edges: list[Edge] = []
    seen = [False] * len(order)
    for start, member in enumerate(order):  # in this order, the first one met of each tree is its oldest
        if seen[start]:
            continue
        seen[start] = True
        edges.append(Edge(member.key, None, ()))
        waiting = [start]
        while waiting:
            here = waiting.pop()
            for other in near[here]:
                if not seen[other]:
                    seen[other] = True
                    changed = differing(order[here].tokens, order[other].tokens)
                    edges.append(Edge(order[other].key, order[here].key, changed))
                    waiting.append(other)
    return edges


def differing(a: Sequence[int], b: Sequence[int]) -> tuple[int, ...]:
    """The columns in which two members differ."""
    return tuple(at for at, (one, other) in enumerate(zip(a, b, strict=True)) if one != other)


def _root(roots: list[int], at: int) -> int:
    while roots[at] != at:
        roots[at] = roots[roots[at]]
        at = roots[at]
    return at


def _candidates(order: Sequence[Member]) -> list[tuple[int, int, int]]:
    """(changed, older, newer) for pairs near enough; older and newer are places in `order`."""
    pairs: set[tuple[int, int]] = set()
    count = len(order)
    if count <= ALL_PAIRS:
        pairs = {(a, b) for b in range(count) for a in range(b)}
    else:
        bands = [tuple(hash(one.tokens[band::BANDS]) for band in range(BANDS)) for one in order]
        for first in range(BANDS):
            places = sorted(range(count), key=lambda at: (bands[at][first:] + bands[at][:first], at))
            for at, place in enumerate(places):
                for other in places[at + 1 : at + 1 + WINDOW]:
                    if bands[place][first] != bands[other][first]:
                        break
                    pairs.add((place, other) if place < other else (other, place))
    found = []
    for older, newer in pairs:
        a, b = order[older], order[newer]
        changed = sum(map(ne, a.tokens, b.tokens))
        if changed <= MOST_SHARE * max(a.size, b.size):
            found.append((changed, older, newer))
    return found
