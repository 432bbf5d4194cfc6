"""The time model: against the move-by-move simulation, and by its laws."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from convert.errors import UsageError
from convert.physics import OutOfRange
from convert.physics.bodies import BODIES, Body, body
from convert.physics.duration import estimate
from convert.physics.printing import Feature, Print
from tests.physics.prints import PRINTS, beads, plain
from tests.physics.simulation import simulate


@pytest.mark.parametrize("name", PRINTS)
@pytest.mark.parametrize("part", BODIES, ids=lambda part: part.name)
def test_agrees_with_every_single_move(part: Body, name: str) -> None:
    model, truth = estimate(part, PRINTS[name]), simulate(part, PRINTS[name])
    print(f"{part.name:6} {name:33} {truth.time:9.1f} s  {model.time / truth.time - 1:+.4%}  plastic "
          f"{model.volume / truth.volume - 1:+.4%}")  # fmt: skip
    assert model.layers == truth.layers
    assert model.time == pytest.approx(truth.time, rel=0.01)
    assert model.volume == pytest.approx(truth.volume, rel=0.01)


@pytest.mark.parametrize("name", ["ordinary", "fast", "axis limits"])
@pytest.mark.parametrize("part", BODIES, ids=lambda part: part.name)
def test_features_agree_where_nothing_is_slowed(part: Body, name: str) -> None:
    print_ = replace(PRINTS[name], least_layer_time=0)
    model, truth = estimate(part, print_), simulate(part, print_)
    assert {k for k, v in model.seconds.items() if v} == {k for k, v in truth.seconds.items() if v}
    for feature, seconds in truth.seconds.items():
        assert model.seconds[feature] == pytest.approx(seconds, rel=0.03), feature


features = st.builds(
    Feature,
    width=st.floats(0.3, 1.0),
    speed=st.floats(5, 500),
    acceleration=st.floats(100, 20_000),
    jump=st.none() | st.floats(0, 25),
    flow=st.floats(0.8, 1.2),
)
limits = st.none() | st.floats(1, 100)
prints = st.builds(
    Print,
    layer_height=st.floats(0.2, 0.3),
    first_height=st.floats(0.1, 0.3),
    outer_wall=features,
    inner_wall=features,
    solid=features,
    top=features,
    infill=features,
    first_layer=features,
    travel_speed=st.floats(20, 500),
    travelling_acceleration=st.floats(100, 20_000),
    wall_count=st.integers(0, 30),
    lower_layers=st.integers(0, 60),
    upper_layers=st.integers(0, 60),
    fill=st.just(0.0) | st.floats(0.15, 1),
    families=st.integers(1, 4),
    retraction=st.floats(0, 6),
    retraction_speed=limits,
    hop=st.floats(0, 1),
    lift_speed=limits,
    corner_deviation=st.none() | st.floats(0, 0.1),
    flow_cap=limits,
    feed_speed=limits,
    axis_speed=st.none() | st.floats(10, 300),
    axis_acceleration=st.none() | st.floats(100, 10_000),
    least_layer_time=st.floats(0, 30),
    slowest=st.just(0.0) | st.floats(1, 40),
    wait=st.booleans(),
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(prints)
def test_agrees_on_any_print(print_: Print) -> None:
    # a plan so large that half a line more or less in a lone layer is no matter
    part = Body("test", 150, 110, 20 * print_.layer_height, 15)
    model, truth = estimate(part, print_), simulate(part, print_)
    assert model.time == pytest.approx(truth.time, rel=0.03)
    assert model.volume == pytest.approx(truth.volume, rel=0.03, abs=1)


@given(prints)
def test_figures_add_up(print_: Print) -> None:
    for part in BODIES[1:2]:
        model = estimate(part, replace(print_, density=1.0, price_per_mass=20))
        assert model.time == pytest.approx(sum(model.seconds.values()))
        assert model.time == pytest.approx(sum(count * seconds for _, count, seconds in model.layer_times))
        assert model.layers == sum(count for _, count, _ in model.layer_times)
        assert model.volume == pytest.approx(sum(model.volumes.values()))
        assert model.mass == pytest.approx(model.volume / 1000)
        assert model.price == pytest.approx(model.volume / 1000 * 0.02)
        assert 0 <= model.slowed_layers <= model.layers
        assert all(value >= 0 for value in model.seconds.values())
        if print_.wait:
            assert model.shortest_layer >= print_.least_layer_time * (1 - 1e-9)


@given(prints, st.floats(1.0, 3.0))
def test_more_speed_never_takes_longer(print_: Print, gain: float) -> None:
    faster = replace(
        print_,
        **{name: getattr(print_, name)._replace(speed=getattr(print_, name).speed * gain) for name in beads(1, 1, 1)},
    )
    for part in BODIES:
        assert estimate(part, faster).time <= estimate(part, print_).time * (1 + 1e-9)


@given(prints, st.floats(1.0, 3.0))
def test_more_acceleration_never_takes_longer(print_: Print, gain: float) -> None:
    faster = replace(
        print_,
        **{
            name: getattr(print_, name)._replace(acceleration=getattr(print_, name).acceleration * gain)
            for name in beads(1, 1, 1)
        },
    )
    for part in BODIES:
        assert estimate(part, faster).time <= estimate(part, print_).time * (1 + 1e-9)


@given(prints, st.floats(0, 1))
def test_a_denser_infill_weighs_more(print_: Print, fill: float) -> None:
    less, more = sorted((fill, print_.fill))
    for part in BODIES:
        light, heavy = (estimate(part, replace(print_, fill=value)) for value in (less, more))
        assert light.volume <= heavy.volume * (1 + 1e-9)


@given(prints)
def test_no_layer_beats_the_melt(print_: Print) -> None:
    capped = replace(print_, flow_cap=8.0)
    for part in BODIES:
        model = estimate(part, capped)
        laid = model.volume - model.volumes.get("retraction", 0.0)
        assert model.time >= laid / 8.0 * (1 - 1e-9)


def test_a_solid_body_holds_its_own_volume() -> None:
    touching = plain(fill=1.0, first_height=0.2, **beads(0.45, 60, 1000))
    for part, share in (("block", 0.985), ("tower", 0.95), ("tile", 0.99)):
        block = body(part)
        full = block.x * block.y * block.z
        assert share * full < estimate(block, touching).volume <= full


def test_the_last_layer_takes_what_is_left() -> None:
    hollow = plain(wall_count=1, lower_layers=0, upper_layers=0, fill=0, first_height=0.3, layer_height=0.3)
    even, uneven = Body("even", 20, 20, 3.0, 8), Body("uneven", 20, 20, 2.8, 8)
    assert estimate(even, hollow).layers == estimate(uneven, hollow).layers == 10
    assert estimate(uneven, hollow).volume < estimate(even, hollow).volume


def test_one_layer_only() -> None:
    assert estimate(Body("foil", 50, 50, 0.1, 8), plain()).layer_times[0][:2] == ("first", 1)
    assert estimate(Body("foil", 50, 50, 0.1, 8), plain(lower_layers=0)).volumes["first_layer"] > 200


def test_without_density_there_is_no_mass() -> None:
    model = estimate(BODIES[0], plain(density=None))
    assert model.mass is None
    assert model.price is None
    assert model.length > 0


@pytest.mark.parametrize(
    ("changes", "argument"),
    [
        ({"layer_height": 0.0}, "layer_height"),
        ({"layer_height": 0.46}, "outer_wall.width"),
        ({"first_height": 0.6}, "first_layer.width"),
        ({"infill": Feature(0.45, -1, 1000)}, "infill.speed"),
        ({"top": Feature(0.45, 50, float("nan"))}, "top.acceleration"),
        ({"solid": Feature(1e-9, 50, 1000)}, "solid.width"),
        ({"fill": 20}, "fill"),
        ({"wall_count": 2.5}, "wall_count"),
        ({"families": 0}, "families"),
        ({"flow_cap": 0}, "flow_cap"),
        ({"slowest": float("inf")}, "slowest"),
        ({"overfeed": float("nan")}, "overfeed"),
    ],
)
def test_impossible_prints_are_refused(changes: dict, argument: str) -> None:
    with pytest.raises(OutOfRange, match=argument) as caught:
        plain(**changes)
    assert caught.value.argument == argument


def test_unknown_bodies_are_named() -> None:
    with pytest.raises(UsageError, match="block, tower, tile"):
        body("vase")
