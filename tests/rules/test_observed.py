"""The rules on command code, by the interpreter's own examples: the bad one is found, the good one is not."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.program import CODES
from convert.rules.engine import audit
from convert.rules.finding import Finding
from convert.rules.observed import PRECAUTIONS, RULES
from tests.program.examples import END, EXAMPLES, FACTS, START


def value(found: object) -> Value:
    if isinstance(found, bool | str):
        return found
    if isinstance(found, list | tuple):
        return tuple(value(item) for item in found)
    return Fraction(str(found))


def findings(code: str, sections: object, facts: Mapping[str, object]) -> list[Finding]:
    texts = sections if isinstance(sections, Mapping) else {"code.start": f"{START}{sections}", "code.end": END}
    stated = {**FACTS, **facts, **texts}
    values = {name: value(found) for name, found in stated.items() if name in SETTINGS and found is not None}
    rule = next(rule for rule in RULES if rule.code == code)
    return audit(values, [rule]).findings


def test_every_remark_is_a_rule() -> None:
    assert {rule.code for rule in RULES} == set(CODES)
    assert set(PRECAUTIONS) == {code for code, (severity, _) in CODES.items() if severity == "hurts"}


@pytest.mark.parametrize("code", sorted(CODES))
def test_examples(code: str) -> None:
    met = 0
    for example in EXAMPLES[code]:
        bad, good, *rest = example
        facts = rest[0] if rest else {}
        found = findings(code, bad, facts)
        if not _whole_settings(bad):
            continue
        met += 1
        assert found, bad
        assert findings(code, good, facts) == []
        for finding in found:
            assert finding.where.startswith("code.")
            assert (finding.signal is not None) == (finding.severity == "hurts")
    assert met or not any(_whole_settings(example[0]) for example in EXAMPLES[code])


def _whole_settings(sections: object) -> bool:
    """Whether an example stands in settings (some are whole programs, which no setting holds)."""
    return isinstance(sections, str) or (isinstance(sections, Mapping) and all(name in SETTINGS for name in sections))
