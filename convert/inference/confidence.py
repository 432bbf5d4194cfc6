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
)

WITHOUT = (-1.58, 0.48, 1.19, 2.37, -1.30, 2.11, 0.13, 1.52, 0.00, -0.20, -0.08, -0.28, 0.76)
"""Weights of the features, without a known profile."""
WITH = (-0.79, 0.98, 0.77, 1.38, -0.53, 0.77, -0.11, 0.65, 0.04, -0.55, 0.00, 0.25, 0.48)
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
    )


def probability(found: Sequence[float], known: bool) -> float:
    """The chance that a pair is right."""
    weights = WITH if known else WITHOUT
    total = sum(weight * one for weight, one in zip(weights, found, strict=True))
    return 1 / (1 + exp(-max(-30.0, min(30.0, total))))


def _within(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))
