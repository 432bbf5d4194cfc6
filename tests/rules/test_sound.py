"""Sound setups of very different machines: nothing above a note is said about any of them.

The setups are written from common practice, without regard to any rule's threshold. Whoever changes a rule so that one
of them is accused has to say which of the two is wrong.
"""

from __future__ import annotations

import pytest

from convert.model.setting import SETTINGS
from convert.model.value import State
from convert.rules.rulesets import group_of
from tests.rules.sound_setups import NAMES, judged, values

UNMEASURED = "fast-direct-pla-unmeasured"


@pytest.mark.parametrize("name", NAMES)
def test_a_sound_setup_gives_nothing_above_a_note(name: str) -> None:
    result = judged(name)
    notes = [finding for finding in result.findings if finding.severity == "note"]
    print(f"{name}: {result.checked} rules checked, {len(notes)} notes, {len(result.not_checked)} cannot tell")
    assert [(f.rule, f.severity, f.says) for f in result.findings if f.severity != "note"] == []
    assert len(notes) <= 6, [f.says for f in notes]
    assert len(result.not_checked) <= 12, [(gap.rule, gap.needs) for gap in result.not_checked]


def test_without_a_melt_rate_the_rules_on_flow_cannot_tell() -> None:
    assert "hotend.melt_rate" not in values(UNMEASURED)
    assert "feedstock.melt_rate" not in values(UNMEASURED)
    gaps = {gap.rule: gap.needs for gap in judged(UNMEASURED).not_checked if "hotend.melt_rate" in gap.needs}
    assert any(group_of(code) == "flow" for code in gaps), gaps
    measured = {gap.rule for gap in judged("fast-direct-pla").not_checked}
    assert not measured & set(gaps)


@pytest.mark.parametrize("name", NAMES)
def test_a_setup_is_complete(name: str) -> None:
    settings = values(name)
    assert 90 <= len(settings) <= 150
    for scope in ("machine", "feedstock", "process"):
        assert sum(1 for ident in settings if SETTINGS[ident].scope == scope) >= 20
    assert {"code.start", "code.end"} <= settings.keys()


def test_the_setups_are_very_different() -> None:
    seen: dict[str, set[object]] = {
        name: {found for setup in NAMES if (found := values(setup).get(name)) is not None}
        for name in (
            "machine.kinematics", "feedstock.family", "nozzle.diameter", "nozzle.material", "code.commands",
            "feed.drive", "bed.surface", "feedstock.diameter", "base.kind", "infill.pattern",
        )
    }  # fmt: skip
    counts = {name: len(found) for name, found in seen.items()}
    print(counts)
    assert len(NAMES) >= 22
    assert counts["machine.kinematics"] >= 6
    assert counts["feedstock.family"] >= 13
    assert counts["nozzle.diameter"] >= 8
    assert seen["code.commands"] >= {
        "word-basic", "word-extended", "word-binary-offsets", "named-macros", "numeric-control",
    }  # fmt: skip
    assert seen["feed.drive"] >= {"direct", "remote"}
    assert any(values(setup).get("order.spiral") is True for setup in NAMES)
    assert not any(isinstance(found, State) for found in seen["nozzle.diameter"])
