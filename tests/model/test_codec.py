"""The canonical document: exact both ways, stable, and never a traceback."""

from __future__ import annotations

import json
import pickle
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, OutputError
from convert.model.codec import (
    decode,
    profile_from_json,
    profile_to_json,
    profile_to_text,
    value_from_text,
    value_to_text,
)
from convert.model.jsontext import Digits, dumps, exact, loads, number
from convert.model.profile import Carried, Layout, Profile, equal_values
from convert.model.setting import Setting, setting
from convert.model.value import Share, State, Value
from tests.model.strategies import documents, settings, values
from tests.model.test_profile import profiles

json_trees = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False), st.text(max_size=9)
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=5), st.dictionaries(st.text(max_size=9), inner, max_size=5)),
    max_leaves=20,
)


@given(profiles())
def test_reading_undoes_writing(profile: Profile) -> None:
    text = dumps(profile_to_json(profile))
    back = profile_from_json(loads(text), "a.json", text)
    assert back.settings == profile.settings
    assert (back.name, back.scopes) == (profile.name, profile.scopes)
    assert (back.carried, back.layouts) == (profile.carried, profile.layouts)
    assert dumps(profile_to_json(back)) == text
    known = {name: value_to_text(value, name) for name, value in profile.settings.items()}
    assert profile_to_text(profile) == profile_to_text(profile, known) == text
    for name in back.settings:
        line = back.origins[name].line
        assert line is not None
        assert text.split("\n")[line - 1].lstrip().startswith(f'"{name}":')


@given(settings.flatmap(lambda one: st.tuples(st.just(one), values(one))))
def test_values_alone(pair: tuple[Setting, Value]) -> None:
    one, value = pair
    text = value_to_text(value, one.id)
    assert value_from_text(text, one.id) == value
    # Outside check: the json module of the standard library reads the same document.
    assert json.dumps(json.loads(text), sort_keys=True) == json.dumps(loads(text), sort_keys=True)


@given(st.fractions())
def test_numbers_keep_their_digits(value: Fraction) -> None:
    written = number(value)
    text = dumps(written)
    assert equal_values(exact(loads(text)), value)
    assert exact(written) == exact(loads(text))
    assert dumps(loads(text)) == text
    assert float(written) == float(text)
    copy = pickle.loads(pickle.dumps(written))
    assert dumps(copy) == text


def test_a_number_without_end_is_written_with_17_digits_and_read_back() -> None:
    assert value_to_text(Fraction(50, 3), "speed.travel") == '{"value": 16.666666666666667, "unit": "mm/s"}'
    assert isinstance(number(Fraction(50, 3)), Digits)
    assert value_from_text('{"value": 16.666666666666667, "unit": "mm/s"}', "speed.travel") * 60 == 1000
    assert not isinstance(number(Fraction(1, 5)), Digits)
    assert json.dumps(profile_to_json(Profile("", (), {"speed.travel": Fraction(50, 3)})))


@given(json_trees)
def test_documents_are_json(doc: Any) -> None:
    text = dumps(doc)
    # Outside check: the json module of the standard library.
    assert json.loads(text) == doc


def test_layout_of_a_document() -> None:
    profile = Profile(
        "fine",
        ("process", "machine"),
        {
            "speed.first_layer": Share(Fraction(40), "speed.default"),
            "layer.height": Fraction(1, 5),
            "nozzle.diameter": (Fraction(2, 5), Share(Fraction(150), "feedstock.diameter"), State("off")),
            "infill.pattern": "gyroid",
            "bed.heated": True,
            "wall.count": Fraction(3),
            "fan.max": State("off"),
            "envelope.outline": (
                (Fraction(0), Fraction(0)),
                (Fraction(300), Fraction(0)),
                (Fraction(300), Fraction(300)),
            ),
            "code.start": 'G28\n; "home"',
        },
        carried={"trug": (Carried(("a", "b"), "key", "text"),)},
        layouts={"trug": Layout("a.ini", "utf-8", "x = 1\n", "ï»¿")},
    )
    assert dumps(profile_to_json(profile)) == (
        """\
{
  "beadwise": "profile/1",
  "name": "fine",
  "scopes": ["machine", "process"],
  "settings": {
    "bed.heated": {"value": true},
    "code.start": {"value": "G28\\n; \\"home\\""},
    "envelope.outline": {"value": [[0, 0], [300, 0], [300, 300]], "unit": "mm"},
    "fan.max": {"state": "off"},
    "infill.pattern": {"value": "gyroid"},
    "layer.height": {"value": 0.2, "unit": "mm"},
    "nozzle.diameter": {
      "value": [
        0.4,
        {"percent": 150, "of": "feedstock.diameter"},
        {"state": "off"}
      ],
      "unit": "mm"
    },
    "speed.first_layer": {"percent": 40, "of": "speed.default"},
    "wall.count": {"value": 3}
  },
  "carried": {
    "trug": [
      {"path": ["a", "b"], "key": "key", "text": "text"}
    ]
  },
  "layouts": {
    "trug": {"file": "a.ini", "encoding": "utf-8", "text": "x = 1\\n", "mark": "ï»¿"}
  }
}"""
    )


def test_bytes_that_are_no_text_survive() -> None:
    text = b"na\xefve \xff".decode("utf-8", "surrogateescape")
    profile = Profile("", (), {}, layouts={"trug": Layout("a", "utf-8", text)})
    written = dumps(profile_to_json(profile)).encode()
    assert profile_from_json(loads(written.decode())).layouts["trug"].text == text


def test_problems_are_all_named() -> None:
    doc = {"beadwise": "profile/1", "name": "", "scopes": [], "settings": {f"x{i}": 1 for i in range(50)}}
    doc["settings"]["layer.height"] = {"value": 0.2}  # type: ignore[index]
    with pytest.raises(InputError) as caught:
        profile_from_json(doc, "a.json")
    assert "'x0'" in caught.value.says
    assert "'x1'" in caught.value.says
    assert "and 31 more" in caught.value.says


@given(documents)
def test_what_can_be_read_is_read(stated: dict[str, Any]) -> None:
    doc = {"beadwise": "profile/1", "name": "a", "scopes": [], "settings": stated}
    profile, problems = decode(doc)
    assert len(profile.settings) + len(problems) == len(stated)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{"a": 1,}', ["no JSON", "1:"]),
        ("", ["no JSON"]),
        ('{"a": 1, "b": 2, "a": 3}', ["'a'", "twice"]),
        ('{"a": NaN}', ["NaN"]),
        ('{"a": -Infinity}', ["Infinity"]),
        ('{"a": 1e99999}', ["exponent"]),
        ('{"a": ' + "9" * 5000 + "}", ["5000"]),
        ("[" * 100_000, ["deep"]),
        ('{"a":' * 100_000, ["deep"]),
        ("\ufeff{}", ["no JSON"]),
    ],
)
def test_what_is_no_document(text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        loads(text, "a.json")
    assert str(caught.value).startswith("a.json")
    for word in words:
        assert word in str(caught.value)


def test_an_infinity_is_never_written() -> None:
    with pytest.raises(OutputError):
        dumps({"a": float("inf")})


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("layer.height", "0.2", ["the number 0.2", "object"]),
        ("layer.height", "{}", ["nothing"]),
        ("layer.height", '{"value": null, "unit": "mm"}', ["null"]),
        ("layer.height", '{"value": {"state": "off"}, "unit": "mm"}', ["object"]),
        ("layer.height", '{"value": 1, "unit": 1}', ["unit"]),
        ("wall.count", '{"value": 1, "unit": "mm"}', ["length", "count"]),
        ("bed.heated", '{"value": true, "unit": "mm"}', ["no unit"]),
        ("bed.heated", '{"value": "true"}', ["'true'"]),
        ("speed.gap", '{"percent": "40", "of": "speed.default"}', ["relation"]),
        ("speed.gap", '{"state": 1}', ["state"]),
        ("nozzle.diameter", '{"value": [{"a": 1}], "unit": "mm"}', ["neither"]),
        ("envelope.outline", '{"value": [[0, 0, 0]], "unit": "mm"}', ["point"]),
        ("envelope.outline", '{"value": 1, "unit": "mm"}', ["list of points"]),
        ("envelope.outline", '{"value": [[0, 0], [1, 0], [1, 1]]}', ["without a unit"]),
    ],
)
def test_what_is_no_value(name: str, text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        value_from_text(text, name)
    assert name in str(caught.value)
    for word in words:
        assert word in str(caught.value)


def test_units_are_read_and_the_schemas_is_written() -> None:
    value = value_from_text('{"value": [400, {"percent": 50, "of": "layer.height"}], "unit": "µm"}', "nozzle.diameter")
    assert value == (Fraction(2, 5), Share(Fraction(50), "layer.height"))
    assert setting("nozzle.diameter").unit in value_to_text(value, "nozzle.diameter")
