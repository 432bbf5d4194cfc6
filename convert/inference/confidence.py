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
)

WITHOUT = (-2.39, 0.24, 1.04, 2.43, -1.13, 3.06, 0.37, 1.21, 0.00, 0.01, -0.68, -0.11, 0.64, 0.0)
"""Weights of the features, without a known profile."""
WITH = (-1.36, 0.89, 0.80, 2.27, -0.92, 1.12, -0.05, 0.85, -0.05, -0.62, 0.00, 0.48, 0.37, 0.0)
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
    kind: str,
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
    )


def probability(found: Sequence[float], known: bool) -> float:
    """The chance that a pair is right."""
    weights = WITH if known else WITHOUT
    total = sum(weight * one for weight, one in zip(weights, found, strict=True))
    return 1 / (1 + exp(-max(-30.0, min(30.0, total))))


def _within(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))
