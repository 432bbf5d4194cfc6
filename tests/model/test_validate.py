"""The two judges of a profile: they agree, and what they say helps."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.model.check import check, is_good
from convert.model.codec import decode, decode_parts, loads, profile_to_json
from convert.model.profile import Origin, Profile
from convert.model.setting import SETTINGS, setting
from convert.model.slips import in_range, likely_slip
from convert.model.validate import judge, validate
from convert.model.value import Share, State, Value
from tests.model.strategies import ALL, documents, settings_maps


def document(settings: dict[str, Any]) -> dict[str, Any]:
    return {"beadwise": "profile/1", "name": "a", "scopes": ["process"], "settings": settings}


def fast_verdict(doc: Any) -> set[str]:
    """The settings that are wrong in themselves, by reading and the fast check."""
    profile, _, wrong = decode_parts(doc)
    return set(wrong) | {name for name, value in profile.settings.items() if not is_good(SETTINGS[name], value)}


@given(documents)
def test_both_judges_agree(settings: dict[str, Any]) -> None:
    doc = document(settings)
    bad, frame = judge(doc)
    assert set(bad) == fast_verdict(doc)
    assert frame == []


@given(settings_maps())
def test_good_values_are_good_to_both(settings: dict[str, Value]) -> None:
    profile = Profile("a", ("process",), settings)
    doc = profile_to_json(profile)
    assert judge(doc) == ({}, [])
    assert fast_verdict(doc) == set()
    # What is left are relations: circles, and shares that come to a value out of range.
    for problem in check(profile):
        assert "circle" in problem.says or "comes to" in problem.says


@given(documents)
def test_every_bad_setting_is_named(settings: dict[str, Any]) -> None:
    doc = document(settings)
    problems = validate(doc, "a.json")
    for name in judge(doc)[0]:
        assert any(problem.says.startswith(name) for problem in problems), name
    for problem in problems:
        assert len(problem.says) < 600


@pytest.mark.parametrize("one", [row for row in ALL if row.is_number], ids=lambda row: row.id)
def test_bounds_belong_to_the_range(one: Any) -> None:
    low, high = one.minimum, one.maximum
    step = Fraction(1) if one.kind == "count" else Fraction(1, 10**6)
    for value, good in ((low, True), (high, True), (low - step, False), (high + step, False)):
        shown = value.numerator if value.denominator == 1 else float(value)
        item = {"value": shown} if one.kind == "count" else {"value": shown, "unit": one.unit}
        bad, _ = judge(document({one.id: item}))
        assert (bad == {}) is is_good(one, value) is good


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("speed.outer_wall", "9000", ["9000 mm/s", "0.1 to 5000", "looks like mm/min", "150 mm/s"]),
        ("speed.outer_wall", "0.06", ["looks like m/s: 60 mm/s"]),
        ("acceleration.default", "0.5", ["looks like m/s2: 500 mm/s2"]),
        ("layer.height", "200", ["looks like um: 0.2 mm"]),
        ("envelope.x", "0.0025", ["0.1 to 20000"]),
        ("heat.bed", "333.15", ["looks like K: 60 Cel"]),
        ("heat.nozzle", "842", ["looks like K: 568.85 Cel"]),
        ("heat.bed", "140000", ["0 to 300"]),
        ("feedstock.density", "1240", ["looks like kg/m3: 1.24 g/cm3"]),
        ("fan.max", "255", ["0 to 255: 100 %"]),
        ("fan.max", "128", ["0 to 255: about 50.2 %"]),
        ("flow.factor", "0.95", ["looks like a fraction: 95 %"]),
        ("cooling.min_layer_time", "8000", ["looks like ms: 8 s"]),
        ("speed.flow_cap", "720", ["looks like mm3/min: 12 mm3/s"]),
        ("nozzle.diameter", "15.7", ["looks like [mil_i]: 0.39878 mm"]),
        ("wall.count", "2.5", ["2.5", "counts are whole"]),
        ("wall.count", "-1", ["-1, allowed 0 to 1000"]),
    ],
)
def test_a_number_out_of_range_names_the_likely_slip(name: str, value: str, words: list[str]) -> None:
    problems = check(Profile("a", (), {name: Fraction(value)}, {name: Origin("own", "a.ini", 7)}))
    assert len(problems) == 1
    assert str(problems[0]).startswith("a.ini:7: " + name)
    for word in words:
        assert word in str(problems[0])


@given(st.sampled_from([row for row in ALL if row.is_number]), st.fractions(max_denominator=1000))
def test_a_proposal_is_inside_the_range(one: Any, value: Fraction) -> None:
    says = likely_slip(one, value)
    if says and not in_range(one, value):
        shown = says.rpartition(": ")[2].removeprefix("about ").partition(" ")[0]
        assert in_range(one, Fraction(shown))


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"bridge.angle": State("left")}, ["'left'", "off, unlimited, automatic"]),
        ({"wall.seam": State("off")}, ["only numbers have states"]),
        ({"wall.seam": "anywhere"}, ["'anywhere'", "near-last-end"]),
        ({"layer.height": (Fraction(1), Fraction(1))}, ["a list", "one value"]),
        ({"nozzle.diameter": ()}, ["a list of 0"]),
        ({"nozzle.diameter": (Fraction(2, 5), Fraction(9))}, ["of tool 2 is 9 mm"]),
        ({"nozzle.diameter": ((Fraction(2, 5),),)}, ["list inside a list"]),
        ({"envelope.outline": ((Fraction(0), Fraction(0)),)}, ["no outline", "3 points"]),
        ({"envelope.excluded": (((Fraction(0), Fraction(0)),),)}, ["list of such lists"]),
        ({"speed.gap": Share(Fraction(50), "speed.gaps")}, ["'speed.gaps'", "speed.gap"]),
        ({"speed.gap": Share(Fraction(50), "layer.height")}, ["speed", "length"]),
        ({"speed.gap": Share(Fraction(-5), "speed.small")}, ["0 % or more"]),
        ({"infill.pattern": Share(Fraction(50), "support.pattern")}, ["100 percent"]),
        ({"infill.pattern": Share(Fraction(100), "wall.seam")}, ["different words"]),
        ({"bed.heated": "yes"}, ["true or false"]),
        ({"machine.name": True}, ["a text"]),
        ({"layer.height": True}, ["a number"]),
        ({"speed.gap": Share(Fraction(50), "speed.gap")}, ["circle", "speed.gap -> speed.gap"]),
        (
            {"speed.gap": Share(Fraction(50), "speed.small"), "speed.small": Share(Fraction(50), "speed.gap")},
            ["speed.gap -> speed.small -> speed.gap"],
        ),
        (
            {"speed.gap": Share(Fraction(4000), "speed.default"), "speed.default": Fraction(150)},
            ["4000 % of speed.default", "comes to 6000 mm/s", "0.1 to 5000"],
        ),
    ],
)
def test_what_the_fast_check_says(settings: dict[str, Value], words: list[str]) -> None:
    problems = check(Profile("a", (), settings))
    assert len(problems) == 1
    for word in words:
        assert word in str(problems[0])


def test_all_problems_of_a_document_come_at_once() -> None:
    text = """{"beadwise": "profile/1", "name": "a", "scopes": ["process", "kitchen"],
 "note": 1, "settings": {
  "speed.outer_wall": {"value": 9000, "unit": "mm/s"},
  "layer.hight": {"value": 0.2, "unit": "mm"},
  "layer.height": {"value": 0.2},
  "layer.first": {"value": 0.2, "unit": "mm/s"},
  "wall.count": {"value": true},
  "infill.density": {"value": "20", "unit": "%"},
  "heat.bed": {"value": 60, "unit": "C"},
  "speed.top": {"percent": 50, "of": "speed.top"}
 }}"""
    problems = [str(problem) for problem in validate(loads(text), "a.json", text)]
    for words in (
        ("a.json: ", "kitchen"),
        ("a.json: ", "'note'"),
        ("a.json:3: ", "speed.outer_wall is 9000 mm/s", "150 mm/s"),
        ("a.json:4: ", "layer.hight", "layer.height"),
        ("a.json:5: ", "layer.height is 0.2 without a unit", "mm"),
        ("a.json:6: ", "layer.first has a wrong unit", "speed"),
        ("a.json:7: ", "wall.count is the flag true"),
        ("a.json:8: ", "infill.density is the text '20'"),
        ("a.json:9: ", "coulomb"),
        ("a.json:10: ", "circle", "speed.top -> speed.top"),
    ):
        assert any(all(word in problem for word in words) for problem in problems), words
    assert len(problems) == 10
    lines = [problem.partition(": ")[0] for problem in problems]
    assert lines[2:] == [f"a.json:{line}" for line in range(3, 11)]


@pytest.mark.parametrize(
    "doc",
    [
        None,
        [],
        "profile/1",
        {},
        {"beadwise": "profile/2", "name": "", "scopes": [], "settings": {}},
        {"beadwise": "profile/1", "name": 1, "scopes": [], "settings": {}},
        {"beadwise": "profile/1", "name": "", "scopes": "process", "settings": {}},
        {"beadwise": "profile/1", "name": "", "scopes": ["process", "process"], "settings": {}},
        {"beadwise": "profile/1", "name": "", "scopes": [["process"]], "settings": {}},
        {"beadwise": "profile/1", "name": "", "scopes": [], "settings": []},
        {"beadwise": "profile/1", "name": "", "scopes": []},
        {"beadwise": "profile/1", "name": "", "scopes": [], "settings": {}, "carried": {"x": [{"path": []}]}},
        {"beadwise": "profile/1", "name": "", "scopes": [], "settings": {}, "carried": []},
        {"beadwise": "profile/1", "name": "", "scopes": [], "settings": {}, "layouts": {"x": {"file": "a"}}},
        {"beadwise": "profile/1", "name": "", "scopes": [], "settings": {}, "layouts": {"x": None}},
    ],
)
def test_a_broken_frame_is_a_problem_to_both(doc: Any) -> None:
    assert judge(doc)[1]
    assert decode_parts(doc)[1]
    assert validate(doc, "a.json")


def test_long_and_deep_documents_are_judged() -> None:
    deep: Any = 1
    for _ in range(900):
        deep = [deep]
    hostile = document(
        {
            "nozzle.diameter": {"value": [0.4] * 100_000, "unit": "mm"},
            "layer.height": {"value": deep, "unit": "mm"},
            "envelope.outline": deep,
            **{f"no.such{index}": {"value": 1} for index in range(2000)},
        }
    )
    hostile["carried"] = {"x": deep}
    hostile["scopes"] = [{}] * 10_000
    assert len(validate(hostile, "a.json")) >= 2004
    with pytest.raises(InputError):
        loads("[" * 100_000)
    profile, problems = decode(hostile)
    assert problems
    assert profile.settings.keys() == {"nozzle.diameter"}
    assert len(check(profile)) == 1


def test_noise_of_writing_does_not_push_a_value_out_of_range() -> None:
    text = '{"value": 196.85039370078741, "unit": "[in_i]/s"}'  # 5000 mm/s, written with 17 digits
    doc = document({"speed.travel": loads(text)})
    assert judge(doc) == ({}, [])
    assert check(decode(doc)[0]) == []
    assert not is_good(setting("speed.travel"), Fraction("5000.00000001"))
