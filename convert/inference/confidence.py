"""How sure a pair is: a logistic model over what its score is made of.

The constants are fitted by tests/inference/fit.py on invented dialects, each judged by a model that did not see it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

NAMES = (
    "one",
    "row",
    "column",
    "loss",
    "words",
    "said",
    "value",
    "context",
    "known",
    "unknown",
    "part",
    "word",
    "plain",
    "agreement",
    "ease",
    "ratio",
    "letters",
    "second",
    "stray",
    "vague",
)

WITHOUT = (
    -1.00, 0.62, 0.64, 0.03, -0.80, 2.23, 0.75, 0.43, 0.00, -0.41, -0.13, 0.50, 0.59, -0.76, 2.63, 0.42, -0.89,
    -0.40, -0.52, -0.70,
)  # fmt: skip
"""Weights of the features, without a known profile."""
WITH = (
    -0.09, 0.95, 0.45, 1.71, 0.02, 0.14, -0.17, 0.78, 0.24, -0.27, 0.52, 0.83, 0.73, -0.61, 0.65, 0.69, -1.22,
    -0.00, -1.29, 1.12,
)  # fmt: skip
"""Weights with a known profile."""


def features(
    *,
    row_margin: float,
    column_margin: float,
    loss: float,
    words: float,
    said: float,
    value: float,
    context: float,
    known: float,
    unknown: float,
    part: bool,
    plain: float,
    agreement: float,
    ratio: float,
    letters: bool,
    unit_margin: float,
    kind: str,
    strays: int,
    general: bool,
) -> tuple[float, ...]:
    """The features of a pair, each within a small range."""
    return (
        1.0,
        _within(row_margin, -2, 2),
        _within(column_margin, -2, 2),
        _within(loss, 0, 2),
        _within(words, -1.5, 3),
        said,
        _within(value, -2, 1.5),
        context,
        _within(known, -1, 3),
        unknown,
        float(part),
        float(kind in ("text", "choice", "flag", "code")),
        _within(plain, -1.5, 3),
        _within(agreement, -1, 1),
        _within(loss, 0, 2) ** 0.5,
        _within(ratio, -1, 1),
        float(letters),
        _within(unit_margin, 0, 2),
        _within(strays, 0, 2),
        # What goes without saying is guessed where a word is not understood.
        float(general and strays > 0),
    )


def probability(found: Sequence[float], known: bool) -> float:
    """The chance that a pair is right."""
    weights = WITH if known else WITHOUT
    total = sum(weight * one for weight, one in zip(weights, found, strict=True))
    return 1 / (1 + exp(-max(-30.0, min(30.0, total))))


def _within(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))
