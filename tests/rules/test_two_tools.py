"""Setups with two tools: a tool kept for support is judged by what it lays."""

from __future__ import annotations

import os

import pytest

from convert.api import Session
from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.rules.engine import audit
from convert.rules.finding import RANK
from convert.rules.rulesets import rules
from tests.zoo import ROOT

WORKSHOP = os.path.join(ROOT, "corpus", "workshop")
DUO = {
    "tool.count": "2",
    "nozzle.diameter": "0.4, 0.6 mm",
    "width.inner_wall": "0.44 mm",
    "width.infill": "0.44 mm",
    "support.enabled": "true",
    "width.support": "0.6 mm",
}


def thin(**more: str) -> list[str]:
    values = {name: parse_phrase(text, SETTINGS[name]) for name, text in {**DUO, **more}.items()}
    found = audit(values, rules()).findings
    return [one.rule for finding in found for one in (finding, *finding.consequences) if one.rule == "bead-thin"]


def test_a_tool_kept_for_support_lays_no_walls() -> None:
    assert thin(**{"support.tool": "2"}) == []
    assert thin(**{"support.tool": "2", "width.support": "0.5 mm"}) == ["bead-thin"]
    assert thin() == ["bead-thin"]  # any tool may lay the walls


@pytest.mark.parametrize("dialect", ["quern"])  # it holds whole setups; withy, which does too, cannot name the tool
def test_no_setup_of_the_workshop_has_more_than_notes(dialect: str) -> None:
    session = Session()
    result = session.audit(session.read([os.path.join(WORKSHOP, dialect)]))
    assert len(result.setups) == 16
    assert [one.finding.rule for one in result.findings if RANK[one.finding.severity] > RANK["note"]] == []
