"""Soft filament through a long guide."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.feedstock._soft import is_soft
from convert.rules.finding import Finding, margin_above
from convert.rules.laid import support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice; derived: a soft column of filament buckles early (Euler)"


def check(setup: Setup) -> Iterator[Finding]:
    if not is_soft(setup) or support_tool(setup) or setup.word("feed.drive") != "remote":
        return
    length, most = setup.get("feed.path_length"), setup.limit("soft.path.max")
    says = "Soft filament bends in its guide, so that starts lag and strings follow: the drive is remote"
    if length is None or not most < length < inf:
        yield Finding("soft-remote", "note", ("feed.drive", "feedstock.family"), says + ".", source=SOURCE)
        return
    yield Finding(
        rule="soft-remote",
        severity="differs",
        settings=("feed.drive", "feedstock.family", "feed.path_length"),
        says=f"{says}, and its guide is {num(length)} mm long.",
        value=length,
        limit=most,
        unit="mm",
        margin=margin_above(length, most),
        source=SOURCE,
    )


RULE = Rule(
    code="soft-remote",
    question="Is soft filament fed by a drive close to the nozzle?",
    needs=("feedstock.family", "feed.drive", "feed.path_length"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "TPU", "feed.drive": "direct"},
    bad={"feedstock.family": "TPU", "feed.drive": "remote", "feed.path_length": "540 mm"},
    severity="differs",
)
