"""Generators of values, and of the JSON forms of values, good and broken, for the tests of the model."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from convert.model.check import SEVERAL_OUTLINES, relatives
from convert.model.codec import value_to_json
from convert.model.jsontext import number
from convert.model.setting import SETTINGS, Setting
from convert.model.value import STATES, Share, State, Value
from convert.units import convert, spellings, unit

ALL = list(SETTINGS.values())
settings = st.sampled_from(ALL)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)


def numbers(setting: Setting) -> st.SearchStrategy[Fraction]:
    """Numbers in range, short as people write them, or at the very bounds."""
    low, high = setting.minimum or Fraction(0), setting.maximum or Fraction(0)
    if setting.kind == "count":
        return st.builds(Fraction, st.integers(int(low), int(high)))
    steps = int((high - low) * 10000)
    inside = st.integers(0, steps).map(lambda step: low + Fraction(step, 10000))
    return st.one_of(inside, st.sampled_from([low, high]))


def shares(setting: Setting) -> st.SearchStrategy[Value]:
    others = [name for name in relatives(setting) if name != setting.id]
    if not others:
        return st.nothing()
    percents = (
        st.integers(0, 2000).map(lambda tenths: Fraction(tenths, 10)) if setting.is_number else st.just(Fraction(100))
    )
    return st.builds(Share, percents, st.sampled_from(others))


def points(size: int = 3) -> st.SearchStrategy[Value]:
    coordinate = st.integers(-30000, 30000).map(lambda value: Fraction(value, 100))
    return st.lists(st.tuples(coordinate, coordinate), min_size=size, max_size=6).map(tuple)


def single(setting: Setting) -> st.SearchStrategy[Value]:
    if setting.is_number:
        return st.one_of(numbers(setting), st.sampled_from(STATES).map(State), shares(setting))
    if setting.kind == "flag":
        return st.one_of(st.booleans(), shares(setting))
    if setting.kind == "choice":
        return st.one_of(st.sampled_from(setting.choices), shares(setting))
    if setting.kind == "outline":
        if setting.id in SEVERAL_OUTLINES:
            return st.one_of(points(), st.lists(points(), min_size=1, max_size=3).map(tuple))
        return points()
    return texts


def values(setting: Setting) -> st.SearchStrategy[Value]:
    """Values that a setting may have; relations may lead in a circle."""
    one = single(setting)
    return st.one_of(one, st.lists(one, min_size=1, max_size=4).map(tuple)) if setting.per_tool else one


def settings_maps(max_size: int = 12) -> st.SearchStrategy[dict[str, Value]]:
    """Settings with values that they may have."""
    pair = settings.flatmap(lambda setting: st.tuples(st.just(setting.id), values(setting)))
    return st.lists(pair, max_size=max_size).map(dict)


def in_unit(doc: dict[str, Any], setting: Setting, spelling: str) -> dict[str, Any]:
    """The same quantity in another unit."""
    own, other = unit(setting.unit, setting.unit_kind), unit(spelling, setting.unit_kind)

    def changed(item: Any) -> Any:
        if isinstance(item, list):
            return [changed(part) for part in item]
        if isinstance(item, (dict, bool)):
            return item
        return number(convert(Fraction(repr(item)), own, other))

    return {"value": changed(doc["value"]), "unit": spelling}


# Values that are wrong somewhere, or everywhere, and some that are right by accident.
scraps: st.SearchStrategy[Any] = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-1000, 10**6),
    st.floats(allow_nan=True, allow_infinity=True),
    st.sampled_from(["", "off", "gyroid", "0.2", "mm", "PLA", "#ff0000"]),
)
odd_items: st.SearchStrategy[Any] = st.one_of(
    scraps,
    st.builds(lambda percent, of: {"percent": percent, "of": of}, scraps, st.sampled_from([*SETTINGS, "nothing", ""])),
    st.builds(lambda word: {"state": word}, st.sampled_from([*STATES, "on", "", None, 1])),
)
odd_lists = st.recursive(odd_items, lambda inner: st.lists(inner, max_size=4), max_leaves=8)
odd_units = st.sampled_from(
    ["mm", "mm/s", "%", "Cel", "1", "", "C", "mm/min", "s", "deg", "g", "furlong", None, 3, ["mm"]]
)


@st.composite
def json_values(draw: st.DrawFn, setting: Setting) -> Any:
    """The JSON form of a value: good, in another unit, or broken in some way."""
    doc = value_to_json(draw(values(setting)), setting)
    way = draw(
        st.sampled_from(["good", "unit", "value", "odd unit", "no unit", "scaled", "item", "extra", "scrap", "list"])
    )
    if way == "unit" and "unit" in doc:
        return in_unit(doc, setting, draw(st.sampled_from(spellings(setting.unit_kind))))
    if way == "value" and "value" in doc:
        return {**doc, "value": draw(odd_lists)}
    if way == "odd unit":
        return {**doc, "unit": draw(odd_units)}
    if way == "no unit":
        return {name: item for name, item in doc.items() if name != "unit"}
    if way == "scaled" and isinstance(doc.get("value"), (int, float)) and not isinstance(doc["value"], bool):
        return {**doc, "value": doc["value"] * draw(st.sampled_from([-1, 0.001, 60, 1000, 10**9]))}
    if way == "item" and isinstance(doc.get("value"), list) and doc["value"]:
        return {**doc, "value": [*doc["value"][1:], draw(odd_lists)]}
    if way == "extra":
        return {**doc, draw(st.sampled_from(["state", "percent", "note"])): draw(scraps)}
    if way == "scrap":
        return draw(odd_lists)
    if way == "list" and "value" in doc:
        return {**doc, "value": [doc["value"]] * draw(st.sampled_from([0, 1, 2, 64, 65]))}
    return doc


documents = st.lists(settings, min_size=1, max_size=6, unique_by=lambda setting: setting.id).flatmap(
    lambda chosen: st.fixed_dictionaries({setting.id: json_values(setting) for setting in chosen})
)
