"""Faults planted in sound setups: each must be found, by a finding that names what was touched."""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from convert.model.setting import SETTINGS
from convert.rules.finding import RANK, Finding
from tests.rules import faults
from tests.rules.code_faults import CODE_FAULTS
from tests.rules.fault_kinds import Fault, planted
from tests.rules.sound_setups import NAMES, judge, judged, values

FAULTS = faults.FAULTS + CODE_FAULTS
LEAST_FAULTS = 40
LEAST = RANK["differs"]


@cache
def found(name: str, fault: Fault) -> list[Finding] | None:
    """New findings at or above `differs` that name a touched setting; None where the fault does not apply."""
    changed = planted(values(name), fault)
    if changed is None:
        return None
    known = {(old.rule, old.settings, old.says) for old in judged(name).findings}
    return [
        one
        for one in judge(changed).findings
        if RANK[one.severity] >= LEAST
        and set(one.settings) & set(fault.names)
        and (one.rule, one.settings, one.says) not in known
    ]


@pytest.mark.parametrize("name", NAMES)
def test_every_planted_fault_is_found(name: str) -> None:
    tried = {fault.name: seen for fault in FAULTS if (seen := found(name, fault)) is not None}
    missed = [fault for fault, seen in tried.items() if not seen]
    print(f"{name}: {len(tried)} faults planted, {len(tried) - len(missed)} found")
    for fault, seen in tried.items():
        print(f"    {fault}: {seen[0].severity} {seen[0].rule}" if seen else f"    {fault}: MISSED")
    assert len(tried) >= LEAST_FAULTS
    assert missed == []


def test_the_table_of_setups_and_faults() -> None:
    """Every fault can be planted somewhere; the table is printed: x found, . does not apply, M missed."""
    column = max(len(name) for name in NAMES)
    planted_in: Counter[str] = Counter()
    rows = []
    for name in NAMES:
        marks = []
        for fault in FAULTS:
            seen = found(name, fault)
            planted_in[fault.name] += seen is not None
            marks.append("." if seen is None else "x" if seen else "M")
        rows.append(f"{name:{column}}  {''.join(marks)}")
    print("\n".join(rows))
    for at, fault in enumerate(FAULTS):
        print(f"{at + 1:2}  {fault.name}: {planted_in[fault.name]} setups")
    assert all(planted_in[fault.name] for fault in FAULTS), [f.name for f in FAULTS if not planted_in[f.name]]


def test_faults_name_settings_and_differ() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS) >= 100
    for fault in FAULTS:
        assert fault.names
        assert all(name in SETTINGS for name in fault.names), fault.name
