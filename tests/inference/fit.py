"""Fits the constants of convert/inference/confidence.py on the tune half: `python -m tests.inference.fit`.

The shipped dialects, learned as if they had no table, are fitted to as well: their words are odd on purpose; so are the
practice dialects, for other languages and shapes. All are learned with parts of the vocabulary taken away, too, for the
words of the next dialect are not all in it.
Each dialect is judged by a model that did not see it; the constants that are printed are those of all tune dialects.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from convert.inference.confidence import NAMES
from tests.inference.measure import SETS, SHIPPED, run, shipped, split, thinned
from tests.inference.practice import PRACTICE, run_practice

RIDGE = 1.5
ROUNDS = 60

Row = tuple[tuple[float, ...], bool]


THINNED = (0.0, 0.15, 0.3)
"""Shares of the vocabulary that are taken away: the next dialect has words that nobody thought of."""


def rows(dialect: str, same_as: bool) -> list[Row]:
    """Features and truth of all pairs that were taken, with the whole vocabulary and with parts of it."""
    found: list[Row] = []
    for share in THINNED:
        with thinned(share, seed=len(dialect)):
            if dialect in SHIPPED:
                found += [(record.pair.features, right) for record, right in shipped(dialect)[0]]
                continue
            for sample in ("a", "b") if not same_as else ("a",):
                score = (run_practice if dialect in PRACTICE else run)(dialect, sample, same_as)
                for one in score.judged:
                    pair = getattr(one.record, "pair", None)
                    if pair is not None:
                        found.append((pair.features, pair.setting == one.row["setting"]))
    return found


def fit(data: Sequence[Row]) -> list[float]:
    """Ridge logistic regression by Newton's method (numpy does the algebra)."""
    import numpy

    x = numpy.array([features for features, _ in data])
    y = numpy.array([float(right) for _, right in data])
    weights = numpy.zeros(x.shape[1])
    ridge = RIDGE * numpy.eye(x.shape[1])
    ridge[0, 0] = 1e-3
    for _ in range(ROUNDS):
        chance = 1 / (1 + numpy.exp(-x @ weights))
        gradient = x.T @ (chance - y) + ridge @ weights
        hessian = (x.T * (chance * (1 - chance))) @ x + ridge
        weights -= numpy.linalg.solve(hessian, gradient)
    return [float(weight) for weight in weights]


def chances(data: Sequence[Row], weights: Sequence[float]) -> list[float]:
    from math import exp

    return [1 / (1 + exp(-sum(w * f for w, f in zip(weights, features, strict=True)))) for features, _ in data]


def reliability(pairs: Sequence[tuple[float, bool]]) -> str:
    """How often the model is right where it says so."""
    lines = []
    bounds = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0001)
    for low, high in pairwise(bounds):
        inside = [(chance, right) for chance, right in pairs if low <= chance < high]
        if inside:
            said = sum(chance for chance, _ in inside) / len(inside)
            true = sum(right for _, right in inside) / len(inside)
            lines.append(f"  {low:.2f}-{min(high, 1):.2f}  {len(inside):4} pairs  said {said:.3f}  right {true:.3f}")
    return "\n".join(lines)


def main() -> None:
    for same_as in (False, True):
        dialects = (
            *(name for which in SETS for name in split(which)["tune"]),
            *PRACTICE,
            *(() if same_as else SHIPPED),
        )
        data = {dialect: rows(dialect, same_as) for dialect in dialects}
        judged: list[tuple[float, bool]] = []
        for left, own in data.items():
            weights = fit([row for dialect, other in data.items() if dialect != left for row in other])
            judged += zip(chances(own, weights), [right for _, right in own], strict=True)
        print("with a known profile" if same_as else "without", "(each dialect by the others)")
        print(reliability(judged))
        weights = fit([row for other in data.values() for row in other])
        print("   ", "(" + ", ".join(f"{weight:.2f}" for weight in weights) + ")", len(NAMES))


if __name__ == "__main__":
    main()
