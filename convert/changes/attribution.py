"""How much of a total change each single change causes: Shapley values.

A change that acts together with another (a faster infill under a higher flow cap) has no effect of its own that could
be measured alone. The Shapley value is its mean effect over all orders in which the changes can be made; the values add
up to the total whatever the interactions (Shapley, A value for n-person games, 1953). Exact up to EXACT changes; beyond
that the mean over random orders, each taken forwards and backwards, with its standard error.

>>> together = lambda mask: (10.0 if mask == 3 else 0.0,)       # only both changes at once have an effect
>>> attribute(2, together).values
((5.0,), (5.0,))
"""

from __future__ import annotations

from collections.abc import Callable
from math import comb, sqrt
from typing import NamedTuple

EXACT = 10
"""Most changes for which all 2^n combinations are tried."""
ORDERS = 50
"""Pairs of random orders beyond that."""
SEED = 20260

Total = Callable[[int], tuple[float, ...]]
"""Bit mask of the changes made -> the totals."""


class Attribution(NamedTuple):
    """Contribution of each change to each total, and the standard error of each (all 0 where exact)."""

    values: tuple[tuple[float, ...], ...]
    errors: tuple[tuple[float, ...], ...]
    exact: bool


def attribute(players: int, total: Total, orders: int = ORDERS, seed: int = SEED) -> Attribution:
    """Shapley values of `players` changes."""
    if players <= EXACT:
        return _exact(players, total)
    return _sampled(players, total, orders, seed)


def _exact(players: int, total: Total) -> Attribution:
    """Every combination, weighted by |S|! (n - |S| - 1)! / n!."""
    parts = len(total(0))
    weights = [1 / (players * comb(players - 1, size)) for size in range(players)]
    values = [[0.0] * parts for _ in range(players)]
    for mask in range(1 << players):
        here = total(mask)
        size = mask.bit_count()
        for player in range(players):
            joined = mask >> player & 1
            weight = weights[size - 1] if joined else -weights[size]
            own = values[player]
            for part in range(parts):
                own[part] += weight * here[part]
    zero = (0.0,) * parts
    return Attribution(tuple(map(tuple, values)), (zero,) * players, True)


def _sampled(players: int, total: Total, orders: int, seed: int) -> Attribution:
    """The mean over random orders and their reverses."""
    from random import Random

    chance = Random(seed)
    parts = len(total(0))
    sums = [[0.0] * parts for _ in range(players)]
    squares = [[0.0] * parts for _ in range(players)]
    order = list(range(players))
    for _ in range(orders):
        chance.shuffle(order)
        found = [[0.0] * parts for _ in range(players)]
        for way in (order, order[::-1]):
            mask, before = 0, total(0)
            for player in way:
                mask |= 1 << player
                after = total(mask)
                for part in range(parts):
                    found[player][part] += (after[part] - before[part]) / 2
                before = after
        for player in range(players):
            for part in range(parts):
                sums[player][part] += found[player][part]
                squares[player][part] += found[player][part] ** 2
    values = tuple(tuple(value / orders for value in row) for row in sums)
    errors = tuple(
        tuple(
            sqrt(max(0.0, square / orders - value**2) / max(1, orders - 1))
            for square, value in zip(squares[player], values[player], strict=True)
        )
        for player in range(players)
    )
    return Attribution(values, errors, False)


def first_and_last(player: int, players: int, total: Total) -> tuple[float, ...]:
    """The mean of a change's effect when it is made first and when it is made last: its Shapley value for up to two
    changes, close to it for more, and like it turned about when the sides are swapped.

    >>> first_and_last(0, 2, lambda mask: (10.0 if mask == 3 else 0.0,))
    (5.0,)
    """
    everything, bit = (1 << players) - 1, 1 << player
    first, none, last, without = total(bit), total(0), total(everything), total(everything ^ bit)
    return tuple(
        ((alone - zero) + (full - rest)) / 2 for alone, zero, full, rest in zip(first, none, last, without, strict=True)
    )
