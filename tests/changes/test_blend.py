"""A blend of two sides is the print that one would get of the blended numbers, whatever was computed before it."""

from __future__ import annotations

from random import Random

import pytest

from convert.changes.blend import BODY, Blend
from convert.model.setting import SETTINGS
from convert.physics import OutOfRange
from convert.physics.duration import estimate
from convert.rules.setup import Missing, Setup
from convert.rules.timed import print_of
from tests.changes.reads import setups

SEEDS = range(12)


def blended(old: Setup, new: Setup, chosen: set[str]) -> Setup:
    """A setup that reads the chosen settings from the new side."""
    made = Setup(new.values)
    for name in SETTINGS:
        made.resolved[name] = (new if name in chosen else old).value(name)
    return made


@pytest.mark.parametrize("seed", SEEDS)
def test_a_blend_is_the_print_of_the_blended_numbers(seed: int) -> None:
    chance = Random(seed)
    old, new = map(Setup, chance.sample(setups(), 2))
    names = list(SETTINGS)
    blend = Blend(old, new, names.index)
    compared = 0
    for _ in range(60):
        mask = chance.getrandbits(len(blend.bits))
        chosen = {names[change] for change, bit in blend.bits.items() if mask >> bit & 1}
        try:
            found = estimate(BODY, print_of(blended(old, new, chosen)))
        except (Missing, OutOfRange, ArithmeticError):
            with pytest.raises((Missing, OutOfRange, ArithmeticError)):
                blend(mask)
            continue
        compared += 1
        time, plastic, _ = blend(mask)
        assert time == found.time
        weighed = all(side.get("feedstock.density") is not None for side in (old, new))
        assert plastic == pytest.approx(found.mass if weighed else found.volume / 1000)
    assert compared > 0
