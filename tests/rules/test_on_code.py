"""Findings about command code: each thing for itself, with its own numbers, and nothing answered that was not asked."""

from __future__ import annotations

from collections.abc import Mapping

from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.rules.engine import Audit, audit
from convert.rules.policy import Suppression
from convert.rules.rulesets import rules

START = "G21\nG90\nM83\nM140 S60\nM104 S210\nG28\nM190 S60\nM109 S210\nG92 E0\nG1 Z0.3 F600\nG1 X100 E9 F1200\n"
MACHINE = {
    "code.commands": "word-extended",
    "envelope.x": "250 mm",
    "envelope.y": "250 mm",
    "envelope.z": "290 mm",
    "heat.nozzle": "210 Cel",
    "heat.bed": "60 Cel",
}


def judged(code: Mapping[str, str]) -> Audit:
    return audit({name: parse_phrase(text, SETTINGS[name]) for name, text in {**MACHINE, **code}.items()}, rules())


def test_each_heater_left_on_is_a_finding_the_hottest_first() -> None:
    found = [
        one for one in judged({"code.start": START, "code.end": "G28 X Y\nM84\n"}).findings if one.rule == "left-hot"
    ]
    assert [one.value for one in found] == [210.0, 60.0]
    assert "nozzle" in found[0].says
    assert "bed" in found[1].says
    assert all("The same" not in one.says for one in found)
    granted = Suppression("left-hot", "warm bed on purpose", setting="code.end", value=60.0)
    assert [granted.still_holds(one) for one in found] == [False, True]


def test_a_lift_of_more_than_the_build_volume_fails() -> None:
    code = {"code.start": START, "code.pause": "G91\nG1 Z10\nG90\n"}
    hot = "M104 S0\nM140 S0\nG91\nG1 Z{lift}\nG90\nG28 X Y\nM84\n"
    for lift, severities in (("20", ["note"]), ("500", ["fails", "note"])):
        found = judged({**code, "code.end": hot.replace("{lift}", lift)}).findings
        lifts = [one for one in found if one.rule == "blind-lift"]
        assert [one.severity for one in lifts] == severities
        assert lift in lifts[0].says
    assert "290" in lifts[0].says
    assert "-" not in lifts[0].says
    assert "500" not in lifts[1].says


def test_places_with_other_numbers_are_not_called_the_same() -> None:
    code = {"code.start": START, "code.pause": "G91\nG1 Z10\nG90\n", "code.next_part": "G91\nG1 Z10\nG90\n"}
    end = "M104 S0\nM140 S0\nG91\nG1 Z40\nG90\nG28 X Y\nM84\n"
    (one,) = [one for one in judged({**code, "code.end": end}).findings if one.rule == "blind-lift"]
    assert one.says.startswith("Rises by 40 mm")
    assert one.says.count("rises by 10 mm") == 2
    assert "The same at" not in one.says


def test_without_code_no_question_about_it_is_answered() -> None:
    about = {rule.code for rule in rules() if rule.needs == ("code.*",)}
    none = judged({})
    assert about <= {gap.rule for gap in none.not_checked}
    assert not about & {one.rule for one in none.findings}
    both = judged({"code.start": START, "code.end": "M104 S0\nM140 S0\nG28 X Y\nM84\n"})
    assert not about & {gap.rule for gap in both.not_checked}
    assert both.checked >= none.checked + len(about)


def test_what_only_the_missing_code_could_tell_stays_open() -> None:
    needs = {gap.rule: gap.needs for gap in judged({"code.start": START}).not_checked}
    assert needs.get("motors-left-on") == needs.get("fan-left-on", "code.end") == "code.end"
    assert "unhomed-move" not in needs
    needs = {gap.rule: gap.needs for gap in judged({"code.end": "M104 S0\nM140 S0\nM84\n"}).not_checked}
    assert needs.get("unwaited-heat") == "code.start"
    assert "left-hot" not in needs
