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
)

WITHOUT = (
    -3.37, 0.40, 0.79, 0.00, -0.77, 2.18, 0.72, -0.43, 0.00, -0.33, -0.58, 0.41, 0.56, -0.60, 3.21, 0.76, -0.58, 0.53,
)  # fmt: skip
"""Weights of the features, without a known profile."""
WITH = (
    -1.04, -0.35, 1.11, 1.49, 0.40, -0.02, 0.30, 0.07, 0.19, 0.17, 0.36, 1.00, 1.21, -0.87, 0.73, 0.81, -0.72, 0.00,
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
    )


def probability(found: Sequence[float], known: bool) -> float:
    """The chance that a pair is right."""
    weights = WITH if known else WITHOUT
    total = sum(weight * one for weight, one in zip(weights, found, strict=True))
    return 1 / (1 + exp(-max(-30.0, min(30.0, total))))


def _within(value: float, low: float, high: float) -> float:
    return max(low, min(high, value))
