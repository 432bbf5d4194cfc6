"""Rules on machines, motion, shells, infill, retraction, cooling, support, sizes and tools beyond their own examples.

Where a practitioner begins to object (common practice unless a line says otherwise), and what follows.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from math import isfinite, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.api import Session
from convert.model.check import is_good
from convert.model.phrase import parse_phrase
from convert.model.profile import merge
from convert.model.setting import SETTINGS
from convert.model.value import State, Value
from convert.rules.engine import Audit, audit
from convert.rules.finding import RANK, Finding
from convert.rules.rulesets import VERSION_1, rules
from tests.rules.sound_setups import NAMES, values
from tests.zoo import ROOT

GROUPS = (
    "geometry", "motion", "shells", "infill", "retraction", "cooling", "support", "dimensions", "tools",
    "contradictions",
)  # fmt: skip
MINE = [rule for rule in rules(1) if any(rule.code in VERSION_1[group] for group in GROUPS)]


def phrases(example: Mapping[str, str]) -> dict[str, Value]:
    return {name: parse_phrase(phrase, SETTINGS[name]) for name, phrase in example.items()}


def all_of(findings: list[Finding]) -> list[Finding]:
    return [one for finding in findings for one in (finding, *all_of(list(finding.consequences)))]


def severity(result: Audit, code: str) -> str | None:
    """The gravest that a rule says, None where it is quiet; it must be able to tell."""
    assert code not in {gap.rule for gap in result.not_checked}
    return max(
        (one.severity for one in all_of(result.findings) if one.rule == code), key=RANK.__getitem__, default=None
    )


BEAD = {"layer.height": "0.2 mm", "width.default": "0.45 mm", "nozzle.diameter": "0.4 mm"}
SQUARE = {"envelope.x": "220 mm", "envelope.y": "220 mm"}
CORNER = {"envelope.origin": "corner"}
PARTS = {"order.part_by_part": "true"}
SUPPORT = {**BEAD, "support.enabled": "true"}

WHERE = [
    ("outline-broken", {"envelope.outline": "0/0 10/0 10/10 0/10 mm"}, None),
    ("outline-broken", {"envelope.outline": "0/0 10/0 20/0 mm"}, "fails"),
    ("outline-broken", {"envelope.outline": "0/0 10/10 10/0 0/10 mm"}, "fails"),
    ("outline-against-size", {**SQUARE, "envelope.outline": "0/0 220.3/0 220.3/220 0/220 mm"}, None),
    ("outline-against-size", {**SQUARE, "envelope.outline": "0/0 223/0 223/220 0/220 mm"}, "differs"),
    ("outline-against-size", {**SQUARE, "envelope.outline": "0/0 280/0 280/220 0/220 mm"}, "fails"),
    ("outline-against-size", {**SQUARE, "envelope.outline": "0/0 150/0 150/220 0/220 mm"}, "note"),
    ("origin-against-outline", {**CORNER, "envelope.outline": "-2/-2 220/-2 220/220 -2/220 mm"}, None),
    ("origin-against-outline", {**CORNER, "envelope.outline": "-99/-99 99/-99 99/99 -99/99 mm"}, "fails"),
    ("round-bed", {**SQUARE, "envelope.shape": "round", "envelope.origin": "centre"}, None),
    ("round-bed", {**SQUARE, "envelope.shape": "rectangle", "machine.kinematics": "delta"}, "differs"),
    ("offset-beyond-first-layer", {**BEAD, "offset.z": "0.05 mm"}, None),
    ("offset-beyond-first-layer", {**BEAD, "offset.z": "-0.12 mm"}, "note"),
    ("offset-beyond-first-layer", {**BEAD, "offset.z": "-1.4 mm"}, "fails"),
    ("offset-beyond-first-layer", {**BEAD, "offset.z": "0.5 mm"}, "spoils"),
    ("first-layer-hasty", {**BEAD, "speed.first_layer": "60 mm/s"}, None),
    ("first-layer-hasty", {**BEAD, "speed.first_layer": "120 mm/s"}, "note"),
    ("first-layer-hasty", {**BEAD, "speed.first_layer": "400 mm/s"}, "spoils"),
    ("corner-too-fast", {"jump.default": "20 mm/s"}, None),
    ("corner-too-fast", {"jump.default": "40 mm/s"}, "differs"),
    ("corner-too-fast", {"jump.default": "40 mm/s", "axis.x.max_jump": "9 mm/s"}, None),
    ("corner-too-fast", {"motion.corner_deviation": "0.02 mm", "jump.default": "99 mm/s"}, None),
    ("corner-too-fast", {"motion.corner_deviation": "0.5 mm"}, "fails"),
    ("walls-few", {**BEAD, "wall.count": "1"}, "note"),
    ("walls-few", {**BEAD, "wall.count": "1", "order.spiral": "true"}, None),
    ("roof-thin", {**BEAD, "cover.upper_layers": "4"}, None),
    ("roof-thin", {**BEAD, "cover.upper_layers": "2"}, "differs"),
    ("roof-thin", {**BEAD, "cover.upper_layers": "1", "cover.upper_thickness": "0.8 mm"}, None),
    ("roof-thin", {**BEAD, "cover.upper_layers": "0"}, "note"),
    ("covers-twice-stated", {**BEAD, "cover.lower_layers": "4", "cover.lower_thickness": "1 mm"}, None),
    ("walls-twice-stated", {**BEAD, "wall.count": "3", "wall.thickness": "1.35 mm"}, None),
    ("walls-twice-stated", {**BEAD, "wall.count": "3", "wall.thickness": "0.86 mm"}, "differs"),
    ("infill-span", {**BEAD, "cover.upper_layers": "4", "infill.density": "0 %"}, "differs"),
    ("infill-span", {**BEAD, "cover.upper_layers": "0", "infill.density": "0 %"}, None),
    ("stride-thick", {**BEAD, "infill.stride": "1"}, None),
    ("wall-reach-odd", {"infill.wall_reach": "0 %"}, "differs"),
    ("wall-reach-odd", {"infill.wall_reach": "80 %"}, "differs"),
    ("wall-reach-odd", {"infill.wall_reach": "-60 %", "infill.density": "0 %"}, None),
    ("retraction-length", {"feed.drive": "direct", "retract.length": "1.5 mm"}, None),
    ("retraction-length", {"feed.drive": "direct", "retract.length": "12 mm"}, "fails"),
    ("retraction-length", {"feed.drive": "remote", "retract.length": "6 mm"}, None),
    ("retraction-length", {"feed.drive": "remote", "retract.length": "0.6 mm"}, "differs"),
    ("retraction-length", {"feed.drive": "direct", "retract.length": "5 mm", "retract.enabled": "false"}, None),
    ("layer-time-none", {"feedstock.family": "ABS", "cooling.min_layer_time": "0 s"}, None),
    ("fan-against-family", {"feedstock.family": "PETG", "fan.max": "60 %"}, None),
    ("fan-against-family", {"feedstock.family": "PLA", "fan.max": "0 %"}, "spoils"),
    ("fan-against-family", {"feedstock.family": "PC", "fan.max": "15 %"}, "note"),
    ("fan-against-family", {"feedstock.family": "ASA", "fan.max": "60 %"}, "differs"),
    ("support-fused", {**SUPPORT, "support.gap_z": "0 mm"}, "spoils"),
    ("support-fused", {**SUPPORT, "support.gap_z": "0 mm", "support.tool": "2", "tool.count": "2"}, None),
    ("support-fused", {**SUPPORT, "support.gap_z": "0 mm", "support.enabled": "false"}, None),
    ("support-far", {**SUPPORT, "support.gap_z": "0.4 mm"}, None),
    ("support-far", {**SUPPORT, "support.gap_z": "4 mm"}, "spoils"),
    ("support-steepness-odd", {**SUPPORT, "support.steepness": "45 deg"}, None),
    ("support-steepness-odd", {**SUPPORT, "support.steepness": "5 deg"}, "differs"),
    ("foot-sign", {"size.first_layer": "0 mm"}, None),
    ("size-offset-large", {**BEAD, "size.outline": "-3 mm"}, "spoils"),
    ("path-tolerance", {**BEAD, "size.tolerance": "0.002 mm", "speed.default": "60 mm/s"}, None),
    ("path-tolerance", {**BEAD, "size.tolerance": "0.002 mm", "speed.default": "300 mm/s"}, "note"),
    ("part-by-part-room", {**PARTS, "head.sweep_radius": "45 mm", "head.crossbar_room": "30 mm"}, None),
    ("warp-unaided", {"base.kind": "skirt", "feedstock.family": "PLA"}, None),
    ("warp-unaided", {"base.kind": "skirt", "feedstock.family": "ABS", "heat.chamber": "60 Cel"}, None),
    ("warp-unaided", {"base.kind": "none", "feedstock.family": "PP"}, "note"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "example", "expected"), WHERE)
def test_where_a_practitioner_begins_to_object(code: str, example: dict[str, str], expected: str | None) -> None:
    assert severity(audit(phrases(example), [rule for rule in MINE if rule.code == code]), code) == expected


with open(os.path.join(ROOT, "corpus", "workshop", "setups.toml"), "rb") as file:
    WORKSHOP = {one["name"]: one["files"] for one in tomllib.load(file)["setup"]}


@pytest.mark.parametrize("name", WORKSHOP)
def test_the_setups_that_the_workshop_uses_are_quiet(name: str) -> None:
    paths = [os.path.join(ROOT, "corpus", "workshop", "master", file) for file in WORKSHOP[name]]
    loud = [
        one for one in audit(merge(Session().read(paths).profiles).settings, MINE).findings if one.severity != "note"
    ]
    assert not loud, "; ".join(f"{one.rule}: {one.says}" for one in loud)


def test_what_a_guide_stores_is_the_sum_of_its_parts() -> None:
    # Hooke's law and the geometry of a bend, by hand: 5 MPa over 400 mm at 3000 MPa, 20 mm of melt at 0.001 per MPa,
    # half a turn with a quarter of a millimetre of play.
    setup = {
        "feed.drive": "remote",
        "feed.path_length": "400 mm",
        "feedstock.diameter": "1.75 mm",
        "retract.length": "1 mm",
    }
    result = audit(phrases(setup), [rule for rule in MINE if rule.code == "retraction-below-slack"])
    assert result.findings[0].limit == pytest.approx(5 * 400 / 3000 + 0.001 * 5 * 20 + pi * 0.25)
    assert set(result.assumed) == {"guide", "pressure in the melt"}


def test_the_corners_of_a_square_lie_beyond_a_round_plate() -> None:
    outline = "-110/-110 110/-110 110/110 -110/110 mm"
    setup = {**SQUARE, "envelope.shape": "round", "envelope.origin": "centre", "envelope.outline": outline}
    says = audit(phrases(setup), MINE).findings[0].says
    assert f"{110 * (sqrt(2) - 1):.1f} mm beyond" in says


def test_what_follows_from_a_slip_stands_under_it() -> None:
    wrong = {
        **BEAD,
        "speed.default": "9000 mm/s",
        "speed.first_layer": "40 % of speed.default",
        "axis.x.max_speed": "300 mm/s",
    }
    found = audit(phrases(wrong), rules(1)).findings
    slip = next(one for one in found if one.rule == "speed-per-minute")
    assert {"speed-beyond-axis", "first-layer-hasty"} <= {one.rule for one in slip.consequences}
    assert not {"speed-beyond-axis", "first-layer-hasty"} & {one.rule for one in found}


def test_findings_of_two_tools_name_the_tool() -> None:
    two = {"tool.count": "2", "feed.drive": "direct", "retract.length": "0.6, 6 mm"}
    (found,) = [one for one in audit(phrases(two), MINE).findings if one.rule == "retraction-length"]
    assert "of tool 2" in found.says


def test_a_wait_beside_the_part_fills_the_layer_time() -> None:
    base = {
        **BEAD,
        "speed.default": "150 mm/s",
        "acceleration.default": "3000 mm/s2",
        "wall.count": "2",
        "infill.density": "10 %",
        "cover.upper_layers": "4",
        "cover.lower_layers": "4",
        "feedstock.diameter": "1.75 mm",
        "cooling.slowest": "50 mm/s",
        "cooling.min_layer_time": "8 s",
    }
    missed, waiting = (
        {one.rule for one in audit(phrases({**base, "cooling.wait_aside": flag}), MINE).findings}
        for flag in ("false", "true")
    )
    assert "layer-time-missed" in missed - waiting
    assert "waiting-long" in waiting - missed


ODD: list[Value] = [State(word) for word in ("off", "unlimited", "automatic")]
ODD += [Fraction(0), Fraction(-1), Fraction(1, 10**9), Fraction(10**9), Fraction(10**30)]
NUMBERS = [name for name, row in SETTINGS.items() if row.is_number]
CHOICES = [name for name, row in SETTINGS.items() if row.kind == "choice"]
FLAGS = [name for name, row in SETTINGS.items() if row.kind == "flag"]
POINTS = st.lists(st.tuples(st.integers(-200, 400), st.integers(-200, 400)), max_size=6)


@given(
    st.dictionaries(st.sampled_from(NUMBERS), st.sampled_from(ODD), max_size=40),
    st.dictionaries(st.sampled_from(CHOICES), st.integers(0, 30), max_size=12),
    st.dictionaries(st.sampled_from(FLAGS), st.booleans(), max_size=12),
    POINTS,
    st.sampled_from(NAMES),
)
def test_odd_values_end_in_findings_of_finite_numbers(
    odd: dict[str, Value], chosen: dict[str, int], flags: dict[str, bool], points: list[tuple[int, int]], base: str
) -> None:
    setup = {**values(base), **odd, **flags}
    if points:
        setup["envelope.outline"] = setup["envelope.excluded"] = tuple((Fraction(x), Fraction(y)) for x, y in points)
    for name, index in chosen.items():
        setup[name] = SETTINGS[name].choices[index % len(SETTINGS[name].choices)]
    for one in all_of(audit(setup, MINE).findings):
        assert all(isfinite(number) for number in (one.value, one.limit, one.margin) if number is not None), one
        assert not {"inf", "-inf", "nan"} & set(one.says.replace("/", " ").split()), one.says
        for repair in one.repair:
            assert is_good(SETTINGS[repair.setting], parse_phrase(repair.to, SETTINGS[repair.setting])), repair
