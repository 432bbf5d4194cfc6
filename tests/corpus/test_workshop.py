"""The demo workshop is complete and physically sound.

The limits below are common practice: layers of a quarter to three quarters of the nozzle bore, beads of one
to one and a half bores, pull-backs of about a millimetre at a direct drive and of 3 to 6 mm behind a tube. The bead's
section is the usual rectangle with semicircular ends.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from convert.model.check import check
from convert.model.profile import Profile
from convert.model.resolve import resolve
from convert.model.setting import FEATURES, SCOPES, SETTINGS
from convert.model.value import State, Value
from tests.corpus.sheets import MASTER, SHEETS, document, full, own, setup, setups

SETUPS = {one["name"]: one["files"] for one in setups()}


def number(values: dict[str, Value], name: str, tool: int = 0) -> float | None:
    """The value of a setting for a tool, relations followed; None where it is not stated or no number."""
    if name not in values:
        return None
    value = resolve(values, name)
    if isinstance(value, tuple):
        value = value[tool]
    return float(value) if isinstance(value, Fraction) else None


def need(values: dict[str, Value], name: str, tool: int = 0) -> float:
    found = number(values, name, tool)
    assert found is not None, f"{name} is missing"
    return found


def tools(values: dict[str, Value]) -> range:
    return range(round(need(values, "tool.count")))


@pytest.mark.parametrize("name", SHEETS)
def test_sheets_are_valid(name: str) -> None:
    values = full(name)
    scopes = tuple(scope for scope in SCOPES if any(SETTINGS[key].scope == scope for key in values))
    assert len(scopes) == 1
    assert [str(problem) for problem in check(Profile(name, scopes, values))] == []
    assert document(name)["beadwise"] == "master/1"


def test_every_setting_is_used() -> None:
    assert set().union(*(own(name) for name in SHEETS)) == set(SETTINGS)


def test_every_sheet_is_in_use() -> None:
    """A sheet belongs to a setup, or a sheet of a setup descends from it; two are kept for other days."""
    used: set[str] = set()
    for files in SETUPS.values():
        for name in files:
            at: str | None = name
            while at:
                used.add(at)
                at = document(at).get("based_on")
    assert set(SHEETS) - used == {"brook.toml"}


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_setups_hold_one_of_each_scope(name: str) -> None:
    found = [{SETTINGS[key].scope for key in full(file)} for file in SETUPS[name]]
    assert sorted(min(scopes) for scopes in found) == sorted(SCOPES)
    assert all((MASTER / file).exists() for file in SETUPS[name])


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_beads_fit_the_nozzle(name: str) -> None:
    values = setup(SETUPS[name])
    for tool in tools(values):
        bore = need(values, "nozzle.diameter", tool)
        for key in ("layer.height", "layer.first", "layer.min", "layer.max"):
            height = number(values, key)
            assert height is None or 0.25 <= round(height / bore, 6) <= 0.75, key
        for key in [key for key in values if key.startswith("width.")]:
            width = number(values, key, tool)
            assert width is None or 1 <= round(width / bore, 6) <= 1.5, (key, tool)


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_no_feature_asks_more_than_melts(name: str) -> None:
    values = setup(SETUPS[name])
    for tool in tools(values):
        rates = [need(values, "hotend.melt_rate", tool), need(values, "feedstock.melt_rate")]
        cap = values.get("speed.flow_cap")
        limit = min(rates + ([] if cap is None or isinstance(cap, State) else [float(cap)]))  # type: ignore[arg-type]
        for feature in ("default", *FEATURES):
            if feature == "travel":
                continue
            speed = number(values, f"speed.{feature}") or need(values, "speed.default")
            width = number(values, f"width.{feature}", tool) or need(values, "width.default", tool)
            low = feature in ("first_layer", "outline")
            height = need(values, "layer.first" if low else "layer.height")
            share = (number(values, f"flow.{feature}") or 100) / 100 * need(values, "flow.factor", tool) / 100
            section = (width - height) * height + math.pi * height**2 / 4
            assert section * speed * share <= limit, (feature, tool, section * speed * share, limit)


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_motion_stays_within_the_axes(name: str) -> None:
    values = setup(SETUPS[name])
    for family, limit in (("speed", "max_speed"), ("acceleration", "max_acceleration"), ("jump", "max_jump")):
        most = min(need(values, f"axis.{axis}.{limit}") for axis in "xy")
        for key in [key for key in values if key.startswith(f"{family}.")]:
            if SETTINGS[key].kind in ("speed", "acceleration"):
                assert need(values, key) <= most, key


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_heat_stays_within_every_limit(name: str) -> None:
    values = setup(SETUPS[name])
    for tool in tools(values):
        most = min(need(values, "hotend.max_temperature", tool), need(values, "feedstock.max_nozzle"))
        for key in ("heat.nozzle", "heat.nozzle_first"):
            assert need(values, "feedstock.min_nozzle") <= need(values, key, tool) <= most
    for key in ("heat.bed", "heat.bed_first"):
        assert need(values, key) <= need(values, "bed.max_temperature")
    chamber = number(values, "heat.chamber")
    if chamber is not None:
        assert values["chamber.heated"] is True
        assert chamber <= need(values, "chamber.max_temperature")


@pytest.mark.parametrize("name", sorted(SETUPS))
def test_pull_back_suits_the_drive(name: str) -> None:
    values = setup(SETUPS[name])
    for tool in tools(values):
        drive = values["feed.drive"]
        low, high = (3, 6) if (drive[tool] if isinstance(drive, tuple) else drive) == "remote" else (0.3, 1.2)
        assert low <= need(values, "retract.length", tool) <= high
        assert need(values, "retract.speed", tool) <= need(values, "feed.max_speed", tool)
        assert need(values, "retract.speed", tool) <= need(values, "axis.e.max_speed")


@pytest.mark.parametrize("name", [name for name in SHEETS if "code.end" in own(name)])
def test_command_code_heats_waits_and_turns_off(name: str) -> None:
    """The caution that every maker's manual gives: nothing is fed before the nozzle is hot, nothing stays hot after."""
    start, end = str(own(name)["code.start"]), str(own(name)["code.end"])
    assert start.index("G28") < start.index("M190 S{heat.bed_first}") < start.index("M109 S{heat.nozzle_first}")
    assert start.index("M109 S{heat.nozzle_first}") < start.index(" E9")
    assert "M104 S0" in end
    assert "M140 S0" in end
    assert "M107" in end
