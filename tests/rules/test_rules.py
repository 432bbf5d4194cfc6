"""Every rule by its own examples: the good one is quiet, the bad one speaks at the stated severity, the repair
repairs.
"""

from __future__ import annotations

import os
from collections.abc import Mapping

import pytest

from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.rules.engine import audit
from convert.rules.finding import DEFERENCE, RANK, Finding
from convert.rules.rule import Rule
from convert.rules.rulesets import VERSION_1, group_of, rules
from tests.zoo import ROOT

RULES = tuple(rule for rule in rules(1) if group_of(rule.code) != "code")  # those have tests/rules/test_observed.py
BY_CODE = [pytest.param(rule, id=rule.code) for rule in RULES]


def values(example: Mapping[str, str]) -> dict[str, Value]:
    return {name: parse_phrase(phrase, SETTINGS[name]) for name, phrase in example.items()}


def findings(rule: Rule, example: Mapping[str, Value]) -> list[Finding]:
    """What the rule alone says, consequences unfolded."""
    result = audit(example, [rule])
    assert not result.not_checked, f"{rule.code} cannot tell: {result.not_checked[0].needs}"
    return result.findings


@pytest.mark.parametrize("rule", BY_CODE)
def test_the_good_example_is_quiet(rule: Rule) -> None:
    assert findings(rule, values(rule.good)) == []


@pytest.mark.parametrize("rule", BY_CODE)
def test_the_bad_example_speaks(rule: Rule) -> None:
    found = findings(rule, values(rule.bad))
    assert found, f"{rule.code} finds nothing in its bad example"
    assert max((f.severity for f in found), key=lambda word: RANK[word]) == rule.severity
    for finding in found:
        assert finding.rule == rule.code
        assert finding.says[:1].isupper() or finding.says[:1].isdigit()
        assert finding.settings
        assert all(name in SETTINGS for name in finding.settings)
        assert (finding.value is None) == (finding.limit is None) == (finding.margin is None)
        assert finding.source


@pytest.mark.parametrize("rule", BY_CODE)
def test_the_repair_repairs(rule: Rule) -> None:
    example = values(rule.bad)
    for finding in findings(rule, example):
        if finding.repair:
            mended = {**example, **{r.setting: parse_phrase(r.to, SETTINGS[r.setting]) for r in finding.repair}}
            after = [f for f in findings(rule, mended) if f.settings == finding.settings and f.severity != "note"]
            assert not after, f"{rule.code}: {finding.repair} does not help: {after[0].says}"


@pytest.mark.parametrize("rule", BY_CODE)
def test_a_rule_that_lacks_its_inputs_cannot_tell_or_is_not_concerned(rule: Rule) -> None:
    assert audit({}, [rule]).findings == []


def test_rules_are_files_and_files_are_rules() -> None:
    folder = os.path.join(ROOT, "convert", "rules")
    listed = {
        os.path.join(group, code.replace("-", "_") + ".py") for group, codes in VERSION_1.items() for code in codes
    }
    present = {
        os.path.join(group, name)
        for group in VERSION_1
        for name in (os.listdir(os.path.join(folder, group)) if os.path.isdir(os.path.join(folder, group)) else ())
        if name.endswith(".py") and not name.startswith("_")
    }
    assert listed == present
    assert len({rule.code for rule in RULES}) == len(RULES)


def test_rules_speak_of_harm_only_where_there_is_harm() -> None:
    harmful = 0
    for rule in RULES:
        for finding in findings(rule, values(rule.bad)):
            assert (finding.severity == "hurts") == (finding.signal is not None)
            if finding.severity == "hurts":
                harmful += 1
                assert finding.signal in ("CAUTION", "WARNING", "DANGER")
                assert finding.precaution
    assert harmful >= 3
    assert "maker's manual" in DEFERENCE
    assert "qualified person" in DEFERENCE


def test_every_rule_says_what_it_needs_and_where_it_comes_from() -> None:
    for rule in RULES:
        assert rule.question.endswith("?")
        assert rule.needs, rule.code
        assert rule.source
        assert group_of(rule.code)
        for name in rule.needs:
            assert name in SETTINGS or name.endswith(".*"), f"{rule.code} needs {name!r}, which is no setting"
