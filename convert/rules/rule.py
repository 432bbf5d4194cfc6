"""What a rule is: one small file in `convert/rules/<group>/`, with its question, its check and its examples.

    RULE = Rule(
        code="bead-thin",                                   # also the file's name, with underscores
        question="Is a bead wide enough for the nozzle to draw it?",
        needs=("nozzle.diameter", "width.*"),
        source="common practice",
        check=check,
        good={"nozzle.diameter": "0.4 mm", "width.default": "0.45 mm"},
        bad={"nozzle.diameter": "0.4 mm", "width.default": "0.3 mm"},
        severity="spoils",                                  # what the bad example must come to
    )

The examples are the tests: the good one gives no finding of this rule, the bad one gives one of the stated severity,
and where the rule offers a repair, applying it makes the finding go away.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from convert.rules.finding import Finding
from convert.rules.setup import Setup

Check = Callable[[Setup], Iterator[Finding]]


class Rule(NamedTuple):
    """One question to a setup. `explains` lists rules (or "*") whose findings about the same settings follow from
    this one.
    """

    code: str
    question: str
    needs: tuple[str, ...]
    source: str
    check: Check
    good: Mapping[str, str]
    bad: Mapping[str, str]
    severity: str
    explains: tuple[str, ...] = ()
    formula: str = ""
