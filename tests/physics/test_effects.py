"""The signs: true to the schema's ids, and where a formula can tell, to the formulas."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from convert.physics.bodies import BODIES
from convert.physics.duration import Estimate, estimate
from convert.physics.effects import EFFECTS, Effect, effect
from convert.physics.models import evaluate
from convert.physics.printing import Print
from convert.resources import read_bytes
from tests.physics.prints import beads, plain

IDS = [line.split("\t")[0] for line in read_bytes("schemas", "settings.tsv").decode().splitlines()[1:]]


@pytest.mark.parametrize("row", EFFECTS, ids=lambda row: row.setting)
def test_row_is_about_a_setting(row: Effect) -> None:
    found = [one for one in IDS if effect(one) is row]
    assert found
    assert {row.time, row.material, row.strength, row.surface} <= {-1, 0, 1, None}
    assert row.status in {"quoted", "derived", "common practice"}
    assert row.source


def test_what_shares_only_a_word_is_left_out() -> None:
    for setting in ("flow.lead", "fan.quick_layer", "speed.ramp_layers", "speed.flow_cap", "heat.nozzle_standby"):
        assert setting in IDS
        assert effect(setting) is None
    assert effect("heat.nozzle_first") is effect("heat.nozzle")


def faster(print_: Print) -> Print:
    return replace(
        print_,
        **{name: getattr(print_, name)._replace(speed=getattr(print_, name).speed * 1.3) for name in beads(1, 1, 1)},
    )


def brisker(print_: Print) -> Print:
    return replace(
        print_,
        **{
            name: getattr(print_, name)._replace(acceleration=getattr(print_, name).acceleration * 1.3)
            for name in beads(1, 1, 1)
        },
    )


RAISED: dict[str, Callable[[Print], Print]] = {
    "layer.height": lambda p: replace(p, layer_height=0.25),
    "speed.": faster,
    "acceleration.": brisker,
    "wall.count": lambda p: replace(p, wall_count=3),
    "cover.upper_layers": lambda p: replace(p, upper_layers=5),
    "cover.lower_layers": lambda p: replace(p, lower_layers=5),
    "infill.density": lambda p: replace(p, fill=0.3),
    "cooling.min_layer_time": lambda p: replace(p, least_layer_time=30),
    "retract.length": lambda p: replace(p, retraction=2.0),
    "travel.hop": lambda p: replace(p, hop=0.6),
}


def total(print_: Print) -> tuple[float, float]:
    found: list[Estimate] = [estimate(part, print_) for part in BODIES]
    return sum(one.time for one in found), sum(one.volume for one in found)


@pytest.mark.parametrize("setting", RAISED)
def test_time_and_plastic_follow_the_time_model(setting: str) -> None:
    row = next(row for row in EFFECTS if row.setting == setting)
    before, after = total(plain()), total(RAISED[setting](plain()))
    for sign, old, new in zip((row.time, row.material), before, after, strict=True):
        change = new / old - 1
        if sign == 0:
            assert abs(change) < 0.005
        elif sign is not None:
            assert change * sign > 0.001


def test_surface_follows_its_formulas() -> None:
    def rises(name: str, raised: str, **inputs: float) -> bool:
        more = inputs | {raised: inputs[raised] * 1.2}
        return sum(evaluate(name, more).values()) > sum(evaluate(name, inputs).values())

    assert rises("stair_roughness", "height", height=0.2, slope=45)
    assert rises("worst_swing", "acceleration", acceleration=3000, frequency=45)
    assert rises("ring_wavelength", "speed", speed=100, frequency=45)
