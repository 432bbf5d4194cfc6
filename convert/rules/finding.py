"""Severity, findings, and how a finding speaks of harm.

Severity says what happens, and is computed from the margin to a limit wherever there is one:

    note      worth knowing
    differs   the print comes out other than the words say
    spoils    the part is likely to be bad
    fails     the print fails, or the machine is worn or damaged
    hurts     may hurt a person or start a fire

Only `hurts` carries a signal word of ANSI Z535.6 / ISO 3864-2 and a precaution, and always the sentence that the
machine maker's manual, local rules and a qualified person come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

SEVERITIES = ("note", "differs", "spoils", "fails", "hurts")
RANK = {word: rank for rank, word in enumerate(SEVERITIES)}
SIGNALS = ("CAUTION", "WARNING", "DANGER")
DEFERENCE = (
    "The machine maker's manual and local rules come first; "
    "leave work on heaters, mains and guards to a qualified person."
)


class Repair(NamedTuple):
    """A change that makes a finding go away: a setting and the phrase to set it to."""

    setting: str
    to: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of an audit. `margin` is (limit - value)/|limit|, sign turned for lower limits: negative is beyond
    it.
    """

    rule: str
    severity: str
    settings: tuple[str, ...]
    says: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    margin: float | None = None
    source: str = ""
    repair: tuple[Repair, ...] = ()
    signal: str | None = None
    precaution: str = ""
    consequences: tuple[Finding, ...] = ()
    where: str = ""

    def __post_init__(self) -> None:
        if self.severity not in RANK:
            raise ValueError(f"severity {self.severity!r} is none of {', '.join(SEVERITIES)}")
        if (self.severity == "hurts") != (self.signal is not None):
            raise ValueError("a signal word belongs to 'hurts' and to nothing else")
        if self.severity == "hurts" and (self.signal not in SIGNALS or not self.precaution):
            raise ValueError("'hurts' needs CAUTION, WARNING or DANGER, and a precaution")


def margin_above(value: float, limit: float) -> float:
    """Margin to an upper limit.

    >>> margin_above(12, 10), margin_above(8, 10)
    (-0.2, 0.2)
    """
    return (limit - value) / abs(limit) if limit else -value


def margin_below(value: float, limit: float) -> float:
    """Margin to a lower limit.

    >>> margin_below(8, 10), margin_below(12, 10)
    (-0.2, 0.2)
    """
    return (value - limit) / abs(limit) if limit else value


def graded(margin: float, *steps: tuple[float, str]) -> str | None:
    """The severity that a margin has reached; steps are (margin at or below which it holds, severity), mildest first.

    >>> graded(-0.3, (0.0, "differs"), (-0.25, "spoils"), (-1.0, "fails")), graded(0.1, (0.0, "differs"))
    ('spoils', None)
    """
    reached = None
    for at, severity in steps:
        if margin < at:
            reached = severity
    return reached
