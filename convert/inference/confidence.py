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
    -3.44, 0.46, 0.98, 0.81, -1.03, 2.65, 0.57, 0.09, 0.00, -0.26, -0.74, 0.11, 0.67, -0.33, 1.91, 0.51, -0.21, 0.52,
)  # fmt: skip
"""Weights of the features, without a known profile."""
WITH = (
    -0.92, -0.18, 1.06, 1.71, 0.07, -0.48, -0.05, -0.58, 0.20, -0.36, 0.18, 0.70, 1.60, -0.63, 1.07, 0.57, -0.54, 0.00,
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
