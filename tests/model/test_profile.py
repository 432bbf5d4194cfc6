"""Profiles: equality of values, setups and their parts."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import UsageError
from convert.model.profile import Carried, Layout, Origin, Profile, equal_values, merge, scopes_of, split
from convert.model.setting import SCOPES, scope_of
from convert.model.value import Share, State, Value
from tests.model.strategies import settings, settings_maps, texts, values

origins = st.builds(Origin, st.just("own"), texts, st.integers(1, 99), texts)
carried = st.dictionaries(
    st.sampled_from(["trug", "hasp"]),
    st.lists(st.builds(Carried, st.lists(texts, max_size=2).map(tuple), texts, texts), min_size=1, max_size=3).map(
        tuple
    ),
)
layouts = st.dictionaries(st.sampled_from(["trug", "hasp"]), st.builds(Layout, texts, texts, texts))


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    chosen: dict[str, Value] = draw(settings_maps())
    known = {name: draw(origins) for name in chosen if draw(st.booleans())}
    return Profile(draw(texts), scopes_of(chosen), chosen, known, draw(carried), draw(layouts))


@given(profiles())
def test_split_and_merge_undo_each_other(profile: Profile) -> None:
    parts = split(profile)
    assert [part.scopes for part in parts] == [(scope,) for scope in SCOPES if scope in profile.scopes]
    for part in parts:
        assert {scope_of(name) for name in part.settings} <= set(part.scopes)
    if parts:
        assert merge(parts) == profile
    assert merge([profile]) == profile


@given(profiles())
def test_merging_with_itself_changes_no_value(profile: Profile) -> None:
    both = merge([profile, profile])
    assert both.settings == profile.settings
    assert both.layouts == profile.layouts
    assert (both.name, both.scopes) == (profile.name, profile.scopes)


def test_a_scope_without_settings_stays() -> None:
    assert [part.scopes for part in split(Profile("a", ("process",), {}))] == [("process",)]
    assert split(Profile("a", (), {})) == []


def test_settings_that_disagree_are_refused_with_both_places() -> None:
    one = Profile("a", ("process",), {"layer.height": Fraction(1, 5)}, {"layer.height": Origin("own", "a.ini", 3)})
    two = Profile("b", ("process",), {"layer.height": Fraction(3, 10)}, {"layer.height": Origin("own", "b.ini", 5)})
    with pytest.raises(UsageError) as caught:
        merge([one, two])
    for words in ("layer.height", "0.2 mm in a.ini", "0.3 mm in b.ini"):
        assert words in str(caught.value)
    nearly = Profile("c", ("process",), {"layer.height": Fraction("0.20000000000000001")})
    assert merge([one, nearly]).settings == one.settings
    unplaced = Profile("c", ("process",), {"layer.height": State("automatic")})
    with pytest.raises(UsageError, match=r"automatic in c"):
        merge([one, unplaced])


def test_of_two_layouts_for_one_dialect_neither_is_kept() -> None:
    first, second = (Profile("", (), {}, layouts={"trug": Layout("a", "utf-8", text)}) for text in ("x", "y"))
    assert merge([first, second]).layouts == {}
    assert merge([first, second, first]).layouts == {}


@given(settings.flatmap(lambda setting: st.tuples(values(setting), values(setting))))
def test_equality_of_values(pair: tuple[Value, Value]) -> None:
    one, two = pair
    assert equal_values(one, one)
    assert equal_values(one, two) == equal_values(two, one)
    if equal_values(one, two):
        assert type(one) is type(two)
    assert not equal_values(one, None)


@pytest.mark.parametrize(
    ("one", "two", "same"),
    [
        (Fraction(1), True, False),
        (Fraction(50, 3), Fraction("16.666666666666667"), True),
        (Share(Fraction(50, 3), "a"), Share(Fraction("16.666666666666667"), "a"), True),
        (Share(Fraction(50), "a"), Share(Fraction(50), "b"), False),
        ((Fraction(50, 3), State("off")), (Fraction("16.666666666666667"), State("off")), True),
        ((Fraction(1),), (Fraction(1), Fraction(1)), False),
        ((Fraction(1),), Fraction(1), False),
        (((Fraction(1), Fraction(50, 3)),), ((Fraction(1), Fraction("16.666666666666667")),), True),
        ("off", State("off"), False),
        (None, None, True),
    ],
)
def test_equality_by_example(one: Value | None, two: Value | None, same: bool) -> None:
    assert equal_values(one, two) is same
