"""`Session.edit`: one value changes, and nothing that was made of the others comes along."""

from __future__ import annotations

import os
from fractions import Fraction

import pytest

from convert.api import Session
from convert.model.value import Share, Value
from tests.zoo import WORKSHOP

TRUG = os.path.join(WORKSHOP, "trug", "Kestavo C3.trug")


def changed_lines(values: dict[str, Value | None], profile: str = "Kestavo fine") -> list[tuple[str, str]]:
    session = Session()
    inputs = session.read([TRUG], profiles=[profile])
    made = session.edit(inputs, values)
    assert not made.problems
    with open(TRUG, encoding="utf-8") as file:
        old = file.read().split("\n")
    new = made.files[0].data.decode().split("\n")
    gone, come = [line for line in old if line not in new], [line for line in new if line not in old]
    return [("-", line) for line in gone] + [("+", line) for line in come]


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"layer.height": Fraction("0.16")}, [("-", "Layer thick: 120"), ("+", "Layer thick: 160")]),
        ({"cover.upper_thickness": Fraction("1.2")}, [("+", "Roof thick: 1200")]),
        ({"speed.outer_wall": Share(Fraction(30), "speed.default")}, [("+", "Pace on outside face: 30%")]),
    ],
)
def test_only_what_was_asked_for(values: dict[str, Value | None], expected: list[tuple[str, str]]) -> None:
    assert [line for line in changed_lines(values) if line in expected] == expected
    assert len(changed_lines(values)) <= len(expected) + 1


def test_a_child_gets_from_its_parent_what_both_are_told() -> None:
    session = Session()
    made = session.edit(session.read([TRUG]), {"speed.travel": Fraction(300)})
    text = made.files[0].data.decode()
    after = session.reread(session.read([TRUG]), TRUG, made.files[0].data, "trug")
    speeds = {r.name: r.meant["speed.travel"] for r in after.readings if "process" in r.scopes}
    assert len(speeds) >= 4
    assert set(speeds.values()) == {Fraction(300)}
    assert text.count("18000") < len(speeds)
