"""Relations resolved, circles named, absent features filled."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, UsageError
from convert.model.resolve import bases, circle, effective, resolve, resolve_all, stated
from convert.model.setting import FAMILIES, FEATURES, SETTINGS
from convert.model.value import Share, State, Value
from tests.model.strategies import settings_maps

HALF = Fraction(50)
SPEEDS = [name for name, row in SETTINGS.items() if row.kind == "speed"]


def test_a_chain_resolves() -> None:
    known: dict[str, Value] = {
        "speed.default": Fraction(200),
        "speed.outer_wall": Share(HALF, "speed.default"),
        "speed.small": Share(HALF, "speed.outer_wall"),
        "speed.gap": Share(Fraction(100), "speed.small"),
    }
    assert resolve(known, "speed.gap") == 50
    assert resolve_all(known) == {
        "speed.default": 200,
        "speed.outer_wall": 100,
        "speed.small": 50,
        "speed.gap": 50,
    }


@given(st.permutations(SPEEDS), st.lists(st.integers(1, 300), min_size=len(SPEEDS) - 1, max_size=len(SPEEDS) - 1))
def test_a_chain_multiplies_its_percents(order: list[str], percents: list[int]) -> None:
    known: dict[str, Value] = {order[0]: Fraction(100)}
    expected = Fraction(100)
    for base, name, percent in zip(order, order[1:], percents, strict=False):
        known[name] = Share(Fraction(percent), base)
        expected = expected * percent / 100
    assert resolve(known, order[-1]) == expected
    assert circle(known, order[-1]) == []


@given(st.lists(st.sampled_from(SPEEDS), min_size=1, max_size=len(SPEEDS), unique=True))
def test_a_circle_is_named(names: list[str]) -> None:
    known: dict[str, Value] = {
        name: Share(HALF, base) for name, base in zip(names, [*names[1:], names[0]], strict=True)
    }
    chain = " -> ".join([*names, names[0]])
    with pytest.raises(InputError) as caught:
        resolve(known, names[0])
    assert chain in str(caught.value)
    assert circle(known, names[0]) == [*names, names[0]]


def test_what_leads_into_a_circle_is_not_in_it() -> None:
    known: dict[str, Value] = {
        "speed.top": Share(HALF, "speed.gap"),
        "speed.gap": Share(HALF, "speed.small"),
        "speed.small": Share(HALF, "speed.gap"),
    }
    assert circle(known, "speed.top") == []
    with pytest.raises(InputError, match=r"speed.gap -> speed.small -> speed.gap"):
        resolve(known, "speed.top")


def test_a_circle_through_a_default_is_found() -> None:
    known: dict[str, Value] = {"speed.default": Share(HALF, "speed.infill")}
    assert circle(known, "speed.default") == ["speed.default", "speed.default"]
    with pytest.raises(InputError, match=r"circle"):
        resolve(known, "speed.default")


@given(settings_maps(20))
def test_resolving_ends(known: dict[str, Value]) -> None:
    for name in known:
        if circle(known, name):
            with pytest.raises(InputError, match=r"circle"):
                resolve(known, name)
        else:
            assert bases(settled(known, name)) == ()


def settled(known: dict[str, Value], name: str) -> Value:
    """The resolved value; a word where the relations lead into a circle, or to a tool that has no value."""
    try:
        return resolve(known, name) or "unknown"
    except InputError as error:
        return error.says


def test_lists_resolve_element_by_element() -> None:
    known: dict[str, Value] = {
        "nozzle.diameter": (Fraction(2, 5), Fraction(3, 5)),
        "width.default": Share(Fraction(110), "nozzle.diameter"),
        "retract.length": (Share(HALF, "retract.tool_change_length"), Fraction(3), State("off")),
        "retract.tool_change_length": (Fraction(8), Fraction(10), Fraction(12)),
        "retract.overfeed": Share(HALF, "retract.length"),
        "travel.hop": (Share(HALF, "layer.height"), Fraction(1)),
        "layer.height": Fraction(1, 5),
    }
    assert resolve(known, "width.default") == (Fraction(11, 25), Fraction(33, 50))
    assert resolve(known, "width.default", tool=2) == Fraction(33, 50)
    assert resolve(known, "retract.length") == (4, 3, State("off"))
    assert resolve(known, "retract.overfeed") == (2, Fraction(3, 2), State("off"))
    assert resolve(known, "travel.hop") == (Fraction(1, 10), 1)
    assert resolve(known, "layer.height", tool=5) == Fraction(1, 5)
    with pytest.raises(InputError, match=r"2 values, none for tool 3"):
        resolve(known, "nozzle.diameter", tool=3)
    with pytest.raises(UsageError, match=r"counted from 1"):
        resolve(known, "nozzle.diameter", tool=0)


def test_states_words_and_flags() -> None:
    known: dict[str, Value] = {
        "speed.default": State("unlimited"),
        "speed.gap": Share(HALF, "speed.default"),
        "infill.pattern": "gyroid",
        "support.pattern": Share(Fraction(100), "infill.pattern"),
        "cover.upper_pattern": Share(HALF, "infill.pattern"),
        "bed.heated": True,
        "envelope.outline": ((Fraction(0), Fraction(0)), (Fraction(1), Fraction(0)), (Fraction(1), Fraction(1))),
    }
    assert resolve(known, "speed.gap") == State("unlimited")
    assert resolve(known, "support.pattern") == "gyroid"
    assert resolve(known, "bed.heated") is True
    assert resolve(known, "envelope.outline") == known["envelope.outline"]
    assert resolve(known, "envelope.outline", tool=2) == known["envelope.outline"]
    with pytest.raises(InputError, match=r"holds no number"):
        resolve(known, "cover.upper_pattern")


def test_units_follow_the_setting() -> None:
    known: dict[str, Value] = {"cooling.min_layer_time": Fraction(7200), "feedstock.drying_time": Fraction(4)}
    assert resolve({**known, "fan.quick_layer": Share(HALF, "feedstock.drying_time")}, "fan.quick_layer") == 7200
    assert (
        resolve({**known, "feedstock.drying_time": Share(HALF, "cooling.min_layer_time")}, "feedstock.drying_time") == 1
    )


def test_what_cannot_be_a_share() -> None:
    known: dict[str, Value] = {"layer.height": Fraction(1, 5), "speed.gap": Share(HALF, "layer.height")}
    with pytest.raises(InputError, match=r"speed.*length"):
        resolve(known, "speed.gap")
    with pytest.raises(InputError, match=r"no setting"):
        resolve({"speed.gap": Share(HALF, "speed.everything")}, "speed.gap")
    with pytest.raises(UsageError):
        resolve({}, "speed.everything")


def test_what_is_not_known_is_none() -> None:
    assert resolve({}, "speed.gap") is None
    assert resolve({"speed.gap": Share(HALF, "speed.default")}, "speed.gap") is None
    assert resolve_all({"speed.gap": Share(HALF, "speed.default")}) == {}
    assert effective({}, "layer.height") is None


def test_absent_features_take_the_default() -> None:
    for head in FAMILIES:
        for tail in FEATURES:
            name = f"{head}.{tail}"
            if name in SETTINGS:
                expected = Fraction(100) if head == "flow" else Fraction(7)
                assert effective({f"{head}.default": Fraction(7)} if head != "flow" else {}, name) == expected
    assert effective({}, "flow.factor") == 100
    assert effective({}, "flow.lead") is None
    known: dict[str, Value] = {"speed.default": Fraction(100), "speed.travel": Fraction(300), "speed.first_layer": HALF}
    assert effective(known, "speed.first_layer_travel") == 300
    assert effective(known, "speed.first_layer_area") == 50
    assert effective({"speed.default": Fraction(100)}, "speed.first_layer_travel") == 100
    assert stated(known, "speed.flow_cap") is None


def test_a_share_of_an_absent_feature_uses_what_holds_for_it() -> None:
    known: dict[str, Value] = {"speed.default": Fraction(100), "speed.small": Share(HALF, "speed.outer_wall")}
    assert resolve(known, "speed.small") == 50
    assert resolve({"flow.gap": Share(HALF, "flow.infill")}, "flow.gap") == 50
