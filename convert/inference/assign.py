"""The best one-to-one assignment in a sparse table, and what each row would lose by having to look elsewhere.

Successive shortest augmenting paths with potentials (Jonker and Volgenant 1987, here on sparse rows with Dijkstra's
algorithm). Each row also has a column of its own that stands for "no setting", so a full assignment always exists.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heappop, heappush

Row = Mapping[str, float]
TOP = 50.0
"""Above every score, so that costs are positive."""


class Assignment:
    """Rows of scores by column name; `none` is each row's score for no column at all."""

    def __init__(self, rows: Sequence[Row], none: Sequence[float]) -> None:
        self.costs: list[dict[str, float]] = []
        for index, row in enumerate(rows):
            costs = {name: TOP - score for name, score in row.items()}
            costs[f"\0{index}"] = TOP - none[index]
            self.costs.append(costs)
        self.column_of: list[str] = [""] * len(rows)
        self.row_of: dict[str, int] = {}
        self.potential: dict[str, float] = {}
        for index in range(len(rows)):
            self._augment(index)

    def chosen(self) -> list[str]:
        """The column of each row, "" for none.

        >>> Assignment([{"a": 2.0, "b": 1.9}, {"a": 1.5}], [0.0, 0.0]).chosen()
        ['b', 'a']
        """
        return ["" if name.startswith("\0") else name for name in self.column_of]

    def losses(self) -> list[float]:
        """What each row would lose if its column were forbidden to it; other rows move to make way, not to gain.

        >>> [round(loss, 3) for loss in Assignment([{"a": 2.0, "b": 1.9}, {"a": 1.5}], [0.0, 0.0]).losses()]
        [1.4, 1.5]
        """
        return [self._loss(index) for index in range(len(self.costs))]

    def _augment(self, start: int) -> None:
        distance, before, end = self._search(start, "")
        final = distance[end]
        for name, reached in distance.items():
            if reached < final:
                self.potential[name] = self.potential.get(name, 0.0) + reached - final
        name = end
        while True:
            row = before[name]
            name, self.column_of[row] = self.column_of[row], name
            self.row_of[self.column_of[row]] = row
            if row == start:
                return

    def _search(self, start: int, forbidden: str) -> tuple[dict[str, float], dict[str, int], str]:
        """Shortest way from a row to a free column: settled distances, the row before each column, the column.

        The start may not take the forbidden column. That column is free, and its potential (0 or less; 0 for all other
        free columns) still counts, so it can be better than a free column that is reached first.
        """
        found, least = "", 1e18
        bonus = self.potential.get(forbidden, 0.0) if forbidden else 0.0
        potential, row_of = self.potential, self.row_of
        best: dict[str, float] = {}
        settled: dict[str, float] = {}
        before: dict[str, int] = {}
        heap: list[tuple[float, str]] = []
        row, base = start, 0.0
        while True:
            costs = self.costs[row]
            own = self.column_of[row]
            # A matched row is entered over its own column, whose reduced cost is its dual.
            dual = (
                costs[own] - potential.get(own, 0.0)
                if own and row != start
                else min(cost - potential.get(name, 0.0) for name, cost in costs.items())
            )
            for name, cost in costs.items():
                if name in settled or (row == start and name == forbidden):
                    continue
                reached = base + cost - potential.get(name, 0.0) - dual
                if reached < best.get(name, 1e18) - 1e-12:
                    best[name] = reached
                    before[name] = row
                    heappush(heap, (reached, name))
            row = -1
            while row < 0:
                if not heap:
                    return settled, before, found
                base, name = heappop(heap)
                if base + bonus >= least:
                    return settled, before, found
                if name in settled or base > best[name] + 1e-12:
                    continue
                settled[name] = base
                if name in row_of:
                    row = row_of[name]
                    continue
                value = base + potential.get(name, 0.0)
                if value < least:
                    found, least = name, value
                if not bonus:
                    return settled, before, found

    def _loss(self, row: int) -> float:
        own = self.column_of[row]
        costs = self.costs[row]
        if own.startswith("\0"):
            return 0.0
        # Without its pair the row looks for another column; its old one is free for the rows that it pushes out.
        del self.row_of[own]
        self.column_of[row] = ""
        dual = min(cost - self.potential.get(name, 0.0) for name, cost in costs.items())
        settled, _, end = self._search(row, own)
        self.row_of[own] = row
        self.column_of[row] = own
        loss = settled[end] + self.potential.get(end, 0.0) + dual - costs[own]
        return max(0.0, loss)
