"""The table of what rules read holds what they are seen to read."""

from __future__ import annotations

from convert.changes.relevant import reads, relevant
from convert.rules.rulesets import LATEST, RULESETS, rules
from tests.changes import reads as finder


def test_the_table_is_true() -> None:
    table = reads()
    known = {code for codes in RULESETS[LATEST].values() for code in codes}
    assert set(table) <= known, "make the table anew: python -m tests.changes.reads"
    for rule in rules():
        if rule.code in table:
            seen = finder.reads(rule, finder.setups())
            assert seen <= table[rule.code], f"{rule.code} reads more: python -m tests.changes.reads"


def test_a_rule_that_is_not_in_the_table_is_asked() -> None:
    asked = {rule.code for rule in relevant(["travel.hop_path"], ())}
    unknown = {code for codes in RULESETS[LATEST].values() for code in codes} - set(reads())
    assert unknown <= asked
    assert len(asked) < len(rules()) / 2
