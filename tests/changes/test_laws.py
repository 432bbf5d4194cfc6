"""Laws of the comparison, over random changes to a setup of the workshop."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations
from math import isclose

from hypothesis import given, settings
from hypothesis import strategies as st

from convert.changes.attribution import attribute, first_and_last
from convert.changes.compare import compare
from convert.changes.difference import Difference, difference
from convert.changes.meaning import MEASURES
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.rules.derived import QUANTITIES
from convert.rules.rulesets import rules
from convert.rules.setup import Setup
from tests.changes.cases import base, setup

NUMBERS = sorted(
    name
    for name, value in base().items()
    if isinstance(value, Fraction) and SETTINGS[name].kind != "count" and not name.startswith(("code.", "envelope."))
)
FLAGS = sorted(name for name, value in base().items() if isinstance(value, bool))
COUNTS = ["wall.count", "cover.upper_layers", "cover.lower_layers", "fan.off_layers", "speed.ramp_layers"]


@st.composite
def changed(draw: st.DrawFn, most: int = 5) -> dict[str, Value]:
    """The base with some settings changed by factors that stay within what a printer can have."""
    made: dict[str, Value] = dict(base())
    for name in draw(st.lists(st.sampled_from(NUMBERS), min_size=1, max_size=most, unique=True)):
        setting = SETTINGS[name]
        value = made[name]
        assert isinstance(value, Fraction)
        moved = value * draw(st.sampled_from([Fraction(1, 2), Fraction(4, 5), Fraction(11, 10), Fraction(3, 2)]))
        if setting.minimum is not None and setting.maximum is not None:
            moved = min(max(moved, setting.minimum), setting.maximum)
        made[name] = moved
    for name in draw(st.lists(st.sampled_from(FLAGS), max_size=2, unique=True)):
        made[name] = not made[name]
    for name in draw(st.lists(st.sampled_from(COUNTS), max_size=1)):
        made[name] = Fraction(draw(st.integers(0, 6)))
    return made


def compared(old: dict[str, Value], new: dict[str, Value], **options: object) -> Difference:
    return difference([setup(old)], [setup(new)], **options)  # type: ignore[arg-type]


@settings(max_examples=40, deadline=None)
@given(changed())
def test_a_profile_does_not_differ_from_itself(values: dict[str, Value]) -> None:
    found = compared(values, dict(values))
    assert found.changes == []
    assert found.same == []
    assert found.worst() is None
    assert found.compared == len(values)


@settings(max_examples=60, deadline=None)
@given(changed(), changed())
def test_swapping_the_sides_mirrors_the_signs(old: dict[str, Value], new: dict[str, Value]) -> None:
    there, back = compared(old, new), compared(new, old)
    forwards = {name: marks for change, _ in there.changes for name, marks in change.effects.items()}
    backwards = {name: marks for change, _ in back.changes for name, marks in change.effects.items()}
    assert forwards.keys() == backwards.keys()
    assert {one.setting for one in there.same} == {one.setting for one in back.same}
    for name, marks in forwards.items():
        for measure in (*MEASURES, "risk"):
            here, other = marks[measure], backwards[name][measure]
            assert (here is None) == (other is None), (name, measure)
            if here is not None and other is not None:
                assert here == -other, (name, measure)
    overall = back.overall()
    for measure, mark in there.overall().items():
        other = overall[measure]
        assert (mark is None) == (other is None)
        assert mark is None or other is None or mark == -other


@settings(max_examples=40, deadline=None)
@given(changed(), changed())
def test_contributions_add_up_to_the_total(old: dict[str, Value], new: dict[str, Value]) -> None:
    for one in compared(old, new).results:
        if one.totals is None:
            continue
        for part in range(3):
            total = one.totals[1][part] - one.totals[0][part]
            together = sum(share.amount[part] for share in one.shares)
            assert isclose(together, total, rel_tol=1e-9, abs_tol=1e-7 * max(1, one.totals[0][part]))


@settings(max_examples=40, deadline=None)
@given(changed(), changed())
def test_rules_that_are_not_asked_would_say_the_same_of_both(old: dict[str, Value], new: dict[str, Value]) -> None:
    some, every = compared(old, new), compared(old, new, rules=rules())
    for one, other in zip(some.changes, every.changes, strict=True):
        assert [finding.rule for finding in one[0].come] == [finding.rule for finding in other[0].come]
        assert [finding.rule for finding in one[0].gone] == [finding.rule for finding in other[0].gone]
    assert [finding.rule for finding in some.unplaced] == [finding.rule for finding in every.unplaced]


@settings(max_examples=40, deadline=None)
@given(changed(), changed())
def test_every_setting_is_accounted_for(old: dict[str, Value], new: dict[str, Value]) -> None:
    found = compare(old, new)
    told = [fact.setting for fact in found.facts] + [one.setting for one in found.same]
    assert len(told) == len(set(told))
    differing = {name for name in old.keys() | new.keys() if old.get(name) != new.get(name)}
    assert differing <= set(told) | {one.what for one in found.not_compared}
    assert found.compared + len(found.not_compared) == len(old.keys() | new.keys())


@settings(max_examples=40, deadline=None)
@given(changed(), changed())
def test_totals_are_those_of_the_time_model(old: dict[str, Value], new: dict[str, Value]) -> None:
    for one in compared(old, new).results:
        if one.totals is None:
            continue
        for values, (time, mass, _) in zip((old, new), one.totals, strict=True):
            setup_ = Setup(values)
            assert isclose(time, QUANTITIES["time_block"](setup_), rel_tol=1e-9)
            assert isclose(mass, QUANTITIES["mass_block"](setup_), rel_tol=1e-9)


TABLES = st.integers(2, 5).flatmap(
    lambda size: st.tuples(
        st.just(size), st.lists(st.floats(-1e6, 1e6), min_size=1 << size, max_size=1 << size).map(tuple)
    )
)


@settings(max_examples=60, deadline=None)
@given(TABLES)
def test_shapley_values_are_the_mean_over_all_orders(table: tuple[int, tuple[float, ...]]) -> None:
    size, totals = table
    found = attribute(size, lambda mask: (totals[mask],))
    orders = list(permutations(range(size)))
    for player in range(size):
        steps = []
        for order in orders:
            before = sum(1 << one for one in order[: order.index(player)])
            steps.append(totals[before | 1 << player] - totals[before])
        assert isclose(found.values[player][0], sum(steps) / len(steps), rel_tol=1e-9, abs_tol=1e-6)
    assert found.exact
    assert set(found.errors) == {(0.0,)}


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 1000))
def test_sampled_values_add_up_and_are_near_the_exact_ones(seed: int) -> None:
    size = 8

    def total(mask: int) -> tuple[float, ...]:
        product = 1.0
        for player in range(size):
            product *= 1 + (player + 1) / 20 * (mask >> player & 1)
        return (product,)

    from convert.changes.attribution import _sampled

    exact, sampled = attribute(size, total), _sampled(size, total, 200, seed)
    assert not sampled.exact
    assert isclose(sum(v for (v,) in sampled.values), total((1 << size) - 1)[0] - total(0)[0], rel_tol=1e-9)
    for (true,), (near,), (error,) in zip(exact.values, sampled.values, sampled.errors, strict=True):
        assert abs(near - true) <= 6 * error + 1e-9


@settings(max_examples=40, deadline=None)
@given(TABLES)
def test_first_and_last_is_exact_for_two(table: tuple[int, tuple[float, ...]]) -> None:
    _, totals = table
    found = attribute(2, lambda mask: (totals[mask],))
    for player in (0, 1):
        assert isclose(
            first_and_last(player, 2, lambda mask: (totals[mask],))[0],
            found.values[player][0],
            rel_tol=1e-9,
            abs_tol=1e-6,
        )
