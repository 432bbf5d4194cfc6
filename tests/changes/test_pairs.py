"""The corpus of pairs: what the comparison must say of each, sentence, signs, severity and findings."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from convert.changes.difference import Difference
from convert.rules.finding import DEFERENCE, RANK
from tests.changes.cases import PAIRS, compared

NAMED = [pytest.param(pair, id=pair["name"]) for pair in PAIRS]


def settings(found: Difference) -> list[str]:
    return [fact.setting for change, _ in found.changes for fact in change.group.facts]


def test_there_are_enough() -> None:
    assert len(PAIRS) >= 60
    assert len({pair["name"] for pair in PAIRS}) == len(PAIRS)


@pytest.mark.parametrize("pair", NAMED)
def test_pair(pair: dict[str, Any], tmp_path: Path) -> None:
    if "unreadable" in pair:
        _unreadable(pair, tmp_path)
        return
    found = compared(pair, tmp_path)
    assert found.compared > 0
    if "changes" in pair:
        assert set(settings(found)) == set(pair["changes"]), found.verdict()
    assert set(pair.get("holds", ())) <= set(settings(found))
    whys = {one.setting: one.why for one in found.same}
    if "same" in pair:
        assert whys == pair["same"]
    if pair.get("changes"):
        lead = next(c for c, _ in found.changes if pair["changes"][0] in c.group.settings)
        for text in pair.get("says", ()):
            assert text in lead.says, lead.says
        assert lead.says[:1].isupper() or lead.says[:1].isdigit()
    if "severity" in pair:
        assert found.worst() == pair["severity"]
    marks = {name: signs for change, _ in found.changes for name, signs in change.effects.items()}
    for name, expected in pair.get("effects", {}).items():
        assert {key: marks[name][key] for key in expected} == expected, name
    come = {finding.rule for change, _ in found.changes for finding in change.come}
    assert set(pair.get("rules", ())) <= come
    gone = {finding.rule for change, _ in found.changes for finding in change.gone}
    assert set(pair.get("gone", ())) <= gone
    for text in pair.get("notes", ()):
        assert any(text in note for note in found.notes), found.notes
    if pair.get("changes") == []:
        assert found.worst() is None
        assert found.verdict().startswith("Nothing that prints differs.")


def _unreadable(pair: dict[str, Any], place: Path) -> None:
    """A slip that is no number is told when the file is read, and compared as absent."""
    from convert.api import Session
    from tests.changes.cases import files

    old, new = files(pair, place)
    assert any(pair["unreadable"] in problem.says for problem in new.problems())
    found = Session().diff(old, new)
    assert "layer.height" in settings(found)


@pytest.mark.parametrize("pair", NAMED)
def test_harm_is_told_with_its_precaution(pair: dict[str, Any], tmp_path: Path) -> None:
    if "unreadable" in pair:
        return
    for change, _ in compared(pair, tmp_path).changes:
        hurts = change.severity == "hurts"
        assert hurts == (change.signal is not None)
        assert hurts == (DEFERENCE in change.says)
        assert RANK[change.severity] >= max((RANK[one.severity] for one in change.come), default=0)
