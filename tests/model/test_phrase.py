"""Phrases: what people write, and the law that reading undoes writing."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.model.check import is_good
from convert.model.phrase import parse_phrase, spell_phrase
from convert.model.profile import equal_values
from convert.model.setting import Setting, setting
from convert.model.value import Share, State, Value
from tests.model.strategies import settings, values

HUNDRED = Fraction(100)


@given(settings.flatmap(lambda one: st.tuples(st.just(one), values(one))))
def test_reading_undoes_writing(pair: tuple[Setting, Value]) -> None:
    one, value = pair
    assert parse_phrase(spell_phrase(value, one), one) == value


@given(st.lists(st.fractions(Fraction(1, 20), 5), min_size=1, max_size=4).map(tuple))
def test_any_number_comes_back_as_the_same_number(value: tuple[Fraction, ...]) -> None:
    one = setting("nozzle.diameter")
    assert equal_values(parse_phrase(spell_phrase(value, one), one), value)
    assert equal_values(parse_phrase(spell_phrase(value[0], one), one), value[0])


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("speed.travel", "150 mm/s", Fraction(150)),
        ("speed.travel", "150mm/s", Fraction(150)),
        ("speed.travel", "9000 mm/min", Fraction(150)),
        ("speed.first_layer", "40 % of speed.default", Share(Fraction(40), "speed.default")),
        ("speed.first_layer", "40% of speed.default", Share(Fraction(40), "speed.default")),
        ("speed.first_layer", "same as speed.default", Share(HUNDRED, "speed.default")),
        ("support.pattern", "same as infill.pattern", Share(HUNDRED, "infill.pattern")),
        ("infill.density", "40 %", Fraction(40)),
        ("fan.max", "off", State("off")),
        ("speed.flow_cap", "Unlimited", State("unlimited")),
        ("bridge.angle", "automatic", State("automatic")),
        ("bed.heated", "true", True),
        ("bed.heated", "Off", False),
        ("infill.pattern", "gyroid", "gyroid"),
        ("wall.count", "3", Fraction(3)),
        ("nozzle.diameter", "0.4, 0.6 mm", (Fraction(2, 5), Fraction(3, 5))),
        ("nozzle.diameter", "0.4 mm, 0.6 mm", (Fraction(2, 5), Fraction(3, 5))),
        ("nozzle.diameter", "400, 600 um", (Fraction(2, 5), Fraction(3, 5))),
        ("nozzle.diameter", "0.4 mm,", (Fraction(2, 5),)),
        (
            "travel.hop",
            "off, 50 % of layer.height, 0.4 mm",
            (State("off"), Share(Fraction(50), "layer.height"), Fraction(2, 5)),
        ),
        ("feed.drive", "direct, remote", ("direct", "remote")),
        ("heat.nozzle", "210, 240 °C", (Fraction(210), Fraction(240))),
        ("heat.nozzle", "410 °F", Fraction(210)),
        ("envelope.outline", "0/0 30/0 30/20 cm", ((0, 0), (300, 0), (300, 200))),
        ("envelope.excluded", "0/0 1/0 1/1; 5/5 6/5 6/6 mm", (((0, 0), (1, 0), (1, 1)), ((5, 5), (6, 5), (6, 6)))),
        ("envelope.excluded", "0/0 1/0 1/1; mm", (((0, 0), (1, 0), (1, 1)),)),
        ("machine.name", " off, 3,5 mm ", " off, 3,5 mm "),
        ("code.start", "G28\nM104 S{heat.nozzle}", "G28\nM104 S{heat.nozzle}"),
    ],
)
def test_what_people_write(name: str, text: str, value: Value) -> None:
    assert parse_phrase(text, setting(name)) == value
    assert is_good(setting(name), parse_phrase(text, setting(name)))


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("layer.height", "0.2", ["has a unit", "mm", "0.2 mm"]),
        ("infill.density", "20", ["%"]),
        ("layer.height", "3,5 mm", ["3.5", "3 and 5"]),
        ("nozzle.diameter", "0,4 mm", ["0.4", "0 and 4"]),
        ("layer.height", "0.2 mm, 0.3 mm", ["one value"]),
        ("layer.height", "0.2 mm/s", ["speed", "length"]),
        ("layer.height", "thin", ["'thin'", "its unit (mm)", "off, unlimited, automatic"]),
        ("wall.count", "three", ["'three'"]),
        ("layer.height", "", ["is empty"]),
        ("speed.gap", "40 % of speed.defaults", ["speed.defaults", "speed.default"]),
        ("speed.gap", "same as nothing", ["'nothing'"]),
        ("speed.gap", "40 mm of speed.default", ["length", "percent"]),
        ("infill.pattern", "wiggly", ["'wiggly'", "gyroid"]),
        ("bed.heated", "maybe", ["'maybe'", "true or false"]),
        ("cooling.min_layer_time", "2 min 30 s", ["2.5 min"]),
        ("envelope.outline", "0/0 1/0 1/1", ["no unit", "mm"]),
        ("envelope.outline", "0/0 1,0 1/1 mm", ["'1,0'", "300/0"]),
        ("envelope.outline", "0/0 1/zero 1/1 mm", ["'zero'"]),
        ("envelope.outline", "mm", ["no unit"]),
        ("envelope.excluded", "; mm", ["without points"]),
        ("heat.nozzle", "210 C", ["coulomb", "Cel"]),
        ("nozzle.diameter", "0.4, , 0.6 mm", ["nozzle.diameter"]),
    ],
)
def test_what_cannot_be_read_says_what_to_write(name: str, text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        parse_phrase(text, setting(name))
    for word in words:
        assert word in str(caught.value)


@given(settings, st.text("0123456789.,;/% -abeflmnosx°", max_size=20))
def test_any_text_is_a_phrase_or_a_clear_error(one: Setting, text: str) -> None:
    try:
        value = parse_phrase(text, one)
    except InputError:
        return
    assert equal_values(parse_phrase(spell_phrase(value, one), one), value)
