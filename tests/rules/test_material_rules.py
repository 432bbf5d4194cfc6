"""Rules on slips, heat, flow, beads and filament beyond their own examples: sound setups are quiet, slips of every
kind are found, causes hold their consequences, and odd values never end in a traceback."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from math import isfinite

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.api import Session
from convert.model.phrase import parse_phrase
from convert.model.profile import merge
from convert.model.setting import SETTINGS
from convert.model.value import State, Value
from convert.rules.engine import Audit, audit
from convert.rules.finding import RANK, Finding
from convert.rules.rulesets import VERSION_1, rules
from tests.zoo import ROOT

GROUPS = ("slips", "heat", "flow", "bead", "feedstock")
MINE = [rule for rule in rules(1) if any(rule.code in VERSION_1[group] for group in GROUPS)]


def values(example: Mapping[str, str]) -> dict[str, Value]:
    return {name: parse_phrase(phrase, SETTINGS[name]) for name, phrase in example.items()}


def judged(example: Mapping[str, str]) -> Audit:
    return audit(values(example), MINE)


def all_of(findings: list[Finding]) -> list[Finding]:
    return [one for finding in findings for one in (finding, *all_of(list(finding.consequences)))]


PLA = {
    "feedstock.family": "PLA",
    "feedstock.diameter": "1.75 mm",
    "feedstock.density": "1.24 g/cm3",
    "heat.nozzle": "220 °C",
    "heat.nozzle_first": "225 °C",
    "heat.bed": "60 °C",
    "heat.bed_first": "65 °C",
    "heat.chamber": "off",
    "flow.factor": "98 %",
    "fan.max": "100 %",
    "retract.length": "0.6 mm",
    "retract.speed": "40 mm/s",
}
DIRECT = {
    "nozzle.diameter": "0.4 mm",
    "nozzle.material": "brass",
    "feed.drive": "direct",
    "feed.max_speed": "60 mm/s",
    "hotend.max_temperature": "300 °C",
    "hotend.melt_rate": "24 mm3/s",
    "hotend.power": "50 W",
    "hotend.liner": "metal",
    "bed.heated": "true",
    "bed.max_temperature": "110 °C",
    "chamber.heated": "false",
    "axis.x.max_speed": "600 mm/s",
    "axis.y.max_speed": "600 mm/s",
    "axis.x.max_acceleration": "20000 mm/s2",
    "axis.y.max_acceleration": "20000 mm/s2",
    "tool.count": "1",
}
BRISK = {
    "layer.height": "0.2 mm",
    "layer.first": "0.25 mm",
    "width.default": "0.4 mm",
    "wall.count": "3",
    "infill.density": "15 %",
    "infill.wall_reach": "10 %",
    "cover.upper_layers": "4",
    "cover.lower_layers": "4",
    "speed.default": "250 mm/s",
    "speed.outer_wall": "150 mm/s",
    "speed.first_layer": "15 mm/s",
    "speed.travel": "500 mm/s",
    "acceleration.default": "5000 mm/s2",
    "acceleration.outer_wall": "2500 mm/s2",
    "acceleration.first_layer": "1500 mm/s2",
    "flow.lead": "0.03 s",
}
SLOW = {**BRISK, "speed.default": "60 mm/s", "speed.outer_wall": "30 mm/s", "speed.travel": "150 mm/s"}
STEADY = {**SLOW, "acceleration.default": "1000 mm/s2", "flow.lead": "0.6 s"}
REMOTE = {**DIRECT, "feed.drive": "remote", "feed.path_length": "500 mm", "hotend.melt_rate": "10 mm3/s"}
HOT = {**DIRECT, "hotend.max_temperature": "450 °C", "bed.max_temperature": "180 °C", "chamber.heated": "true"}

SOUND = {
    "brisk": {**PLA, **DIRECT, **BRISK},
    "thick layers": {
        **PLA,
        **DIRECT,
        **BRISK,
        "layer.height": "0.3 mm",
        "layer.first": "0.3 mm",
        "speed.default": "200 mm/s",
    },
    "hotter for speed": {**PLA, **DIRECT, **BRISK, "heat.nozzle": "232 °C", "heat.nozzle_first": "232 °C"},
    "remote drive": {**PLA, **REMOTE, **STEADY, "retract.length": "5 mm", "retract.speed": "45 mm/s"},
    "lined": {**PLA, **REMOTE, **STEADY, "hotend.liner": "ptfe", "hotend.max_temperature": "260 °C"},
    "delta": {
        **PLA,
        **REMOTE,
        **STEADY,
        "machine.kinematics": "delta",
        "axis.z.step": "0.1 mm",
        "axis.x.max_speed": "300 mm/s",
    },
    "spiral": {
        **PLA,
        **DIRECT,
        **SLOW,
        "order.spiral": "true",
        "wall.count": "1",
        "infill.density": "0 %",
        "cover.upper_layers": "0",
        "width.outer_wall": "0.7 mm",
    },
    "wide bore": {
        **PLA,
        **DIRECT,
        **SLOW,
        "nozzle.diameter": "0.8 mm",
        "width.default": "0.9 mm",
        "layer.height": "0.4 mm",
        "layer.first": "0.4 mm",
        "hotend.melt_rate": "25 mm3/s",
    },
    "very wide bore": {
        **PLA,
        **DIRECT,
        **SLOW,
        "nozzle.diameter": "1 mm",
        "width.default": "1.2 mm",
        "layer.height": "0.6 mm",
        "layer.first": "0.5 mm",
        "speed.default": "35 mm/s",
        "hotend.melt_rate": "30 mm3/s",
    },
    "soft": {
        **PLA,
        **DIRECT,
        **SLOW,
        "feedstock.family": "TPU",
        "feedstock.density": "1.21 g/cm3",
        "heat.nozzle": "228 °C",
        "heat.bed": "40 °C",
        "heat.bed_first": "45 °C",
        "speed.default": "40 mm/s",
        "flow.factor": "104 %",
        "flow.lead": "0.1 s",
        "retract.length": "1 mm",
    },
    "ABS, enclosed": {
        **PLA,
        **DIRECT,
        **BRISK,
        "feedstock.family": "ABS",
        "feedstock.density": "1.04 g/cm3",
        "heat.nozzle": "250 °C",
        "heat.nozzle_first": "255 °C",
        "heat.bed": "100 °C",
        "heat.bed_first": "105 °C",
    },
    "PEEK": {
        **PLA,
        **HOT,
        **SLOW,
        "feedstock.family": "PEEK",
        "feedstock.density": "1.3 g/cm3",
        "heat.nozzle": "410 °C",
        "heat.nozzle_first": "415 °C",
        "heat.bed": "140 °C",
        "heat.bed_first": "140 °C",
        "heat.chamber": "90 °C",
        "speed.default": "40 mm/s",
        "chamber.max_temperature": "120 °C",
    },
}


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_setup_is_quiet(name: str) -> None:
    loud = [one for one in all_of(judged(SOUND[name]).findings) if RANK[one.severity] > RANK["note"]]
    assert not loud, "; ".join(f"{one.rule}: {one.says}" for one in loud)


with open(os.path.join(ROOT, "corpus", "workshop", "setups.toml"), "rb") as file:
    WORKSHOP = {one["name"]: one["files"] for one in tomllib.load(file)["setup"]}


@pytest.mark.parametrize("name", WORKSHOP)
def test_the_setups_that_the_workshop_uses_are_quiet(name: str) -> None:
    paths = [os.path.join(ROOT, "corpus", "workshop", "master", file) for file in WORKSHOP[name]]
    setup = merge(Session().read(paths).profiles).settings
    loud = [one for one in all_of(audit(setup, MINE).findings) if RANK[one.severity] > RANK["note"]]
    assert not loud, "; ".join(f"{one.rule}: {one.says}" for one in loud)


SPEAKS = [
    (
        "speed-per-minute",
        {"speed.default": "9000 mm/s", "speed.gap": "900 mm/s"},
        {"speed.default": "150", "speed.gap": "15"},
    ),
    (
        "speed-per-minute",
        {"retract.speed": "240 mm/s", "speed.travel": "6000 mm/s"},
        {"retract.speed": "4", "speed.travel": "100"},
    ),
    ("speed-per-second", {"axis.x.max_speed": "5 mm/s"}, {"axis.x.max_speed": "300"}),
    ("acceleration-in-metres", {"axis.x.max_acceleration": "20 mm/s2"}, {"axis.x.max_acceleration": "20000"}),
    ("acceleration-in-metres", {"acceleration.default": "5000000 mm/s2"}, {"acceleration.default": "5000"}),
    ("length-in-microns", {"layer.height": "0.0002 mm"}, {"layer.height": "0.2"}),
    ("length-in-microns", {"size.tolerance": "12 mm"}, {"size.tolerance": "0.012"}),
    ("length-in-inches", {"layer.height": "0.00787 mm"}, {"layer.height": "0.2"}),
    ("fan-fraction", {"fan.bridge": "0.8 %"}, {"fan.bridge": "80"}),
    ("fan-of-255", {"fan.max": "39.2157 %"}, {"fan.max": "100"}),
    ("share-fraction", {"support.interface_density": "1 %"}, {"support.interface_density": "100"}),
    ("flow-fraction", {"flow.bridge": "0.7 %"}, {"flow.bridge": "70"}),
    ("density-in-kilograms", {"feedstock.density": "0.00124 g/cm3"}, {"feedstock.density": "1.24"}),
    ("lead-in-milliseconds", {"flow.lead": "0.000035 s"}, {"flow.lead": "0.035"}),
    ("lead-in-milliseconds", {"flow.lead_smoothing": "40 s"}, {"flow.lead_smoothing": "0.04"}),
    ("time-in-another-unit", {"cooling.min_layer_time": "0.008 s"}, {"cooling.min_layer_time": "8"}),
    ("time-in-another-unit", {"feedstock.drying_time": "240 h"}, {"feedstock.drying_time": "4"}),
    (
        "shrinkage-fraction",
        {"feedstock.family": "ASA", "feedstock.shrinkage_plan": "0.006 %"},
        {"feedstock.shrinkage_plan": "0.6"},
    ),
    ("temperature-in-another-scale", {"feedstock.family": "PLA", "heat.nozzle": "483 °C"}, {"heat.nozzle": "210"}),
    ("temperature-in-another-scale", {"feedstock.family": "ABS", "heat.nozzle": "464 °C"}, {"heat.nozzle": "240"}),
    ("temperature-in-another-scale", {"feedstock.family": "ABS", "heat.bed": "212 °C"}, {"heat.bed": "100"}),
    ("temperature-in-another-scale", {"hotend.max_temperature": "572 °C"}, {"hotend.max_temperature": "300"}),
]


@pytest.mark.parametrize(("code", "example", "meant"), SPEAKS)
def test_a_slip_is_found_and_undone(code: str, example: dict[str, str], meant: dict[str, str]) -> None:
    found = next(one for one in judged(example).findings if one.rule == code)
    repairs = {one.setting: parse_phrase(one.to, SETTINGS[one.setting]) for one in found.repair}
    assert set(repairs) == set(meant)
    for name, number in meant.items():
        assert repairs[name] == pytest.approx(Fraction(number))


def test_a_slip_holds_what_follows_from_it() -> None:
    wrong = {**SOUND["brisk"], "heat.nozzle": "428 °C", "heat.nozzle_first": "428 °C"}
    found = judged(wrong).findings
    slip = next(one for one in found if one.rule == "temperature-in-another-scale")
    inside = {one.rule for one in slip.consequences}
    # Harm is never told as a footnote, so one of these stands by itself.
    assert "nozzle-outside-window" in inside | {two.rule for one in found for two in one.consequences}
    assert any(one.severity == "hurts" for one in found)


def test_a_process_for_another_nozzle_is_one_finding() -> None:
    wrong = {**SOUND["wide bore"], "nozzle.diameter": "0.4 mm"}
    found = [one for one in judged(wrong).findings if RANK[one.severity] > RANK["note"]]
    assert [one.rule for one in found] == ["beads-of-another-nozzle"]
    assert {one.rule for one in found[0].consequences} >= {"bead-wide", "layer-thick", "first-layer-thick"}


def test_a_cap_that_holds_the_flow_is_only_worth_knowing() -> None:
    held = {**SOUND["brisk"], "speed.default": "500 mm/s", "speed.flow_cap": "20 mm3/s"}
    found = {one.rule: one.severity for one in judged(held).findings}
    assert found["speeds-not-reached"] == "note"
    assert "flow-beyond-melt" not in found
    free = {one.rule: one.severity for one in judged({**held, "speed.flow_cap": "unlimited"}).findings}
    assert free["flow-beyond-melt"] in ("spoils", "fails")


def test_without_a_melt_rate_nobody_can_tell() -> None:
    blind = {name: phrase for name, phrase in SOUND["brisk"].items() if name != "hotend.melt_rate"}
    assert ("flow-beyond-melt", "hotend.melt_rate or feedstock.melt_rate") in {
        (one.rule, one.needs) for one in judged(blind).not_checked
    }


@pytest.mark.parametrize(
    ("liner", "nozzle", "signal"),
    [("ptfe", "240 °C", None), ("ptfe", "245 °C", "CAUTION"), ("ptfe", "260 °C", "WARNING"), ("metal", "260 °C", None)],
)
def test_a_liner_calls_for_caution_by_its_temperature(liner: str, nozzle: str, signal: str | None) -> None:
    # Thresholds: Crawford, Plastics Engineering, table 1.8 (250 Cel); 240 Cel is common practice.
    found = judged({"hotend.liner": liner, "heat.nozzle": nozzle, "feedstock.family": "ABS"}).findings
    assert next((one.signal for one in found if one.rule == "liner-too-hot"), None) == signal


def test_each_tool_is_judged_by_its_own_bore() -> None:
    two = {
        **SOUND["brisk"],
        "tool.count": "2",
        "nozzle.diameter": "0.4, 0.8 mm",
        "width.default": "110 % of nozzle.diameter",
        "layer.height": "0.2 mm",
        "speed.default": "100 mm/s",
        "speed.outer_wall": "80 mm/s",
    }
    loud = [one for one in judged(two).findings if RANK[one.severity] > RANK["note"]]
    assert not loud, loud[0].says
    thin = [one for one in judged({**two, "width.default": "0.44 mm"}).findings if RANK[one.severity] > RANK["note"]]
    assert {one.rule for one in thin} == {"beads-of-another-nozzle"}


ODD: list[Value] = [State(word) for word in ("off", "unlimited", "automatic")]
ODD += [Fraction(0), Fraction(-1), Fraction(1, 10**9), Fraction(10**9), Fraction(10**30)]
NUMBERS = [name for name, row in SETTINGS.items() if row.is_number]
CHOICES = [name for name, row in SETTINGS.items() if row.kind == "choice"]


@given(
    st.dictionaries(st.sampled_from(NUMBERS), st.sampled_from(ODD), max_size=40),
    st.dictionaries(st.sampled_from(CHOICES), st.integers(0, 30), max_size=12),
    st.sampled_from(sorted(SOUND)),
)
def test_odd_values_end_in_findings_of_finite_numbers(odd: dict[str, Value], chosen: dict[str, int], base: str) -> None:
    setup = {**values(SOUND[base]), **odd}
    for name, index in chosen.items():
        setup[name] = SETTINGS[name].choices[index % len(SETTINGS[name].choices)]
    for one in all_of(audit(setup, MINE).findings):
        assert all(number is None or isfinite(number) for number in (one.value, one.limit, one.margin)), one
