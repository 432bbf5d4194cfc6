"""Numbers: the grammar, the laws of writing and reading back, the style of an old spelling, quantities."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.model.numbers import (
    convert_settled,
    is_number,
    parse_number,
    parse_quantity,
    same_number,
    settle,
    spell,
    spell_like,
    split_quantity,
)
from convert.units import codes, convert, kinds, unit

DIGITS = "0123456789"
# The grammar once more, as a generator: what it makes must be read, and nothing else.
digit_runs = st.text(DIGITS, min_size=1, max_size=25)
mantissas = st.one_of(
    digit_runs,
    st.builds("{}.".format, digit_runs),
    st.builds(".{}".format, digit_runs),
    st.builds("{}.{}".format, digit_runs, digit_runs),
)
exponents = st.one_of(
    st.just(""),
    st.builds(
        "{}{}{}{}".format,
        st.sampled_from("eE"),
        st.sampled_from(["", "+", "-"]),
        st.sampled_from(["", "0", "00"]),
        st.integers(0, 40),
    ),
)
number_texts = st.builds("{}{}{}".format, st.sampled_from(["", "+", "-"]), mantissas, exponents)


def decimals(count: int) -> st.SearchStrategy[Fraction]:
    """Decimals of up to `count` significant digits, as settings have them: 1e-6 to 1e6 and a bit beyond."""
    return st.builds(
        lambda digits, power: Fraction(digits) * Fraction(10) ** power,
        st.integers(-(10**count) + 1, 10**count - 1),
        st.integers(-count - 3, 4),
    )


def units_of(kind: str, count: int) -> st.SearchStrategy[tuple[str, list[str]]]:
    rational = [code for code in codes(kind) if "rad" not in code]  # 180/pi: see the law with the radian below
    return st.tuples(st.just(kind), st.lists(st.sampled_from(rational), min_size=count, max_size=count))


def through(value: Fraction, kind: str, chain: list[str]) -> Fraction:
    """The value written and read in each unit of the chain, and at last in the first again."""
    first, *others = chain
    for source, target in zip(chain, [*others, first], strict=True):
        value = parse_number(spell(convert_settled(value, unit(source, kind), unit(target, kind))))
    return value


# Offsets (temperatures, not their differences) lose digits by cancellation; their law is stated apart.
LINEAR = [kind for kind in kinds() if kind != "temperature"]


@given(number_texts)
def test_reads_what_the_standard_library_reads(text: str) -> None:
    # Outside check: decimal.Decimal of the standard library has the same grammar for these texts.
    assert parse_number(text) == Fraction(Decimal(text))
    assert parse_number(text.replace(".", ","), mark=",") == parse_number(text)


@given(number_texts)
def test_the_style_of_a_text_gives_the_text_back(text: str) -> None:
    assert spell_like(parse_number(text), text) == text
    comma = text.replace(".", ",")
    assert spell_like(parse_number(text), comma, mark=",") == comma


@given(number_texts, decimals(15))
def test_a_new_value_in_an_old_style_is_read_back(text: str, value: Fraction) -> None:
    assert same_number(parse_number(spell_like(value, text)), value)


@given(decimals(15))
def test_short_decimals_are_written_exactly(value: Fraction) -> None:
    text = spell(value)
    assert parse_number(text) == value
    assert settle(value) == value
    assert Fraction(Decimal(text)) == value
    assert "e" not in text
    assert not ("." in text and text.endswith("0"))


@given(st.fractions(max_denominator=10**9))
def test_any_value_is_written_to_17_digits(value: Fraction) -> None:
    text = spell(value)
    assert len(text.replace(".", "").strip("-0")) <= 17
    assert same_number(parse_number(text), value)


@given(st.sampled_from(LINEAR).flatmap(lambda kind: units_of(kind, 2)), decimals(15))
def test_15_digits_there_and_back(units: tuple[str, list[str]], value: Fraction) -> None:
    assert abs(through(value, *units) - value) * 3 * 10**15 <= abs(value)


def test_15_digits_nearly_always_survive_there_and_back() -> None:
    source = Random(52900)
    moved = 0
    for _ in range(3000):
        kind = source.choice([kind for kind in LINEAR if kind not in ("count", "angle")])
        value = Fraction(source.randrange(10**14, 10**15)) / 10 ** source.randrange(12, 18)
        moved += through(value, kind, source.sample(codes(kind), 2)) != value
    assert moved == 0


@given(st.sampled_from(LINEAR).flatmap(lambda kind: units_of(kind, 3)), decimals(12))
def test_12_digits_survive_three_conversions(units: tuple[str, list[str]], value: Fraction) -> None:
    assert through(value, *units) == value


@given(units_of("temperature", 3), st.integers(-27315, 100000))
def test_temperatures_survive_three_conversions(units: tuple[str, list[str]], hundredths: int) -> None:
    assert through(Fraction(hundredths, 100), *units) == Fraction(hundredths, 100)


@given(decimals(12))
def test_angles_survive_the_radian(value: Fraction) -> None:
    assert through(value, "angle", ["deg", "rad"]) == value


def test_worked_chain() -> None:
    speed = parse_number("1000")
    assert spell(convert(speed, "mm/min", "mm/s")) == "16.666666666666667"
    assert spell(convert(parse_number("16.666666666666667"), "mm/s", "mm/min")) == "1000"
    assert spell(convert(parse_number("16.6667"), "mm/s", "mm/min")) == "1000.002"  # nothing is guessed


@given(decimals(15), st.integers(-3, 3))
def test_same_number_is_near_and_symmetric(value: Fraction, steps: int) -> None:
    other = value * (1 + Fraction(steps * 2, 10**16))
    assert same_number(value, other) == same_number(other, value) == (abs(steps) * 2 <= 5 or value == 0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ["no number"]),
        ("  ", ["no number"]),
        ("nan", ["no number"]),
        ("NaN", ["no number"]),
        ("-inf", ["no number"]),
        ("Infinity", ["no number"]),
        ("1,000", ["1000", "1.000", "digit groups", "decimal comma"]),
        ("0,4", ["0.4", "decimal comma", "0 and 4"]),
        ("3,5", ["3.5", "3 and 5"]),
        ("0,400", ["0.400", "decimal comma"]),
        ("1,000,000", ["1000000", "digit groups"]),
        ("1,000.5", ["1000.5", "digit groups"]),
        ("1_000", ["1000", "digit groups"]),
        ("1'000", ["1000", "digit groups"]),
        ("1 000", ["1000", "digit groups", "2 numbers"]),
        ("0x1F", ["hexadecimal"]),
        ("1e", ["no number"]),
        ("e5", ["no number"]),
        (".", ["no number"]),
        ("+", ["no number"]),
        ("--1", ["no number"]),
        ("1.2.3", ["no number"]),
        ("1e5.5", ["no number"]),
        ("١٢", ["no number"]),
        ("½", ["no number"]),
        ("²", ["no number"]),
        (" 1", ["blanks", "write 1"]),
        ("1mm", ["no number"]),
        ("1,2,3", ["list of 3"]),
        ("1e999999999", ["exponent"]),
        ("9" * 5000, ["5000 characters"]),
        ("1e" + "9" * 300, ["exponent"]),
    ],
)
def test_what_is_no_number_is_refused_with_its_readings(text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        parse_number(text)
    for word in words:
        assert word in str(caught.value)
    assert not is_number(text)


@pytest.mark.parametrize(("text", "words"), [("1.000", ["1000", "1,000", "decimal point"]), ("0.4", ["0,4"])])
def test_with_a_decimal_comma_the_point_is_the_odd_one(text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        parse_number(text, mark=",")
    for word in words:
        assert word in str(caught.value)


@given(st.text("0123456789.,+-eE_ 'x", max_size=12))
def test_any_text_is_a_number_or_a_clear_error(text: str) -> None:
    if is_number(text):
        assert parse_number(text) == Fraction(Decimal(text))
    else:
        with pytest.raises(InputError):
            parse_number(text)


@pytest.mark.parametrize(
    ("value", "old", "new"),
    [
        ("0.3", "0.20", "0.30"),
        ("0.125", "0.20", "0.125"),
        ("12", "007", "012"),
        ("5", "100", "5"),
        ("1.5", ".2", "1.5"),
        ("0", ".2", ".0"),
        ("6", "5.", "6."),
        ("6.5", "5.", "6.5"),
        ("-3", "+2", "-3"),
        ("3", "+2", "+3"),
        ("5", "-0.0", "5.0"),
        ("0", "-3", "0"),
        ("0.25", "1e-1", "2.5e-1"),
        ("12345", "1e4", "1.2345e4"),
        ("7", "off", "7"),
        ("1/3", "0.2", "0.33333333333333333"),
        ("1000.00000000000002", "10.0", "1000.0"),
    ],
)
def test_styles(value: str, old: str, new: str) -> None:
    assert spell_like(Fraction(value), old) == new


@pytest.mark.parametrize(
    ("text", "kind", "value", "code"),
    [
        ("150 mm/s", "speed", "150", "mm/s"),
        ("150mm/s", "speed", "150", "mm/s"),
        (" 40 % ", "percent", "40", "%"),
        ("1e3mm/min", "speed", "1000", "mm/min"),
        ("-.5 mm", "length", "-1/2", "mm"),
        ("210 °C", "temperature", "210", "Cel"),
        ("210 deg C", "temperature", "210", "Cel"),
        ("3", "count", "3", "1"),
        ("12 mm^3/s", "flow", "12", "mm3/s"),
        ("400 steps/mm", "per_length", "400", "1/mm"),
    ],
)
def test_quantities(text: str, kind: str, value: str, code: str) -> None:
    found = parse_quantity(text, kind)
    assert (found[0], found[1].code) == (Fraction(value), code)
    assert parse_quantity(text, kind) == found


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("2 min 30 s", "time", ["2 min", "30 s", "2.5 min"]),
        ("1 800 mm/min", "speed", ["1800 mm/min", "2 numbers"]),
        ("1 80 mm/min", "speed", ["2 numbers"]),
        ("3,5 mm", "length", ["3.5", "3 and 5"]),
        ("1,000 mm", "length", ["1000", "1.000"]),
        ("0.2", "length", ["no unit", "0.2 mm"]),
        ("mm", "length", ["no number"]),
        ("200 C", "temperature", ["coulomb", "Cel"]),
        ("10 k", "length", ["no known unit"]),
        ("1 m / 2 s", "speed", ["more than one number"]),
        ("0.4 mm/s", "length", ["speed", "length"]),
        ("5 mm extra", "length", ["no known unit"]),
        ("5-6 mm", "length", ["no number"]),
        ("3 1 4 1 5 9 mm", "length", ["6 numbers"]),
    ],
)
def test_quantities_that_read_two_ways_are_refused(text: str, kind: str, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        parse_quantity(text, kind)
    for word in words:
        assert word in str(caught.value)


@given(st.text("0123456789., +-emns/%\"'°²", max_size=16), st.sampled_from(kinds()))
def test_any_text_is_a_quantity_or_a_clear_error(text: str, kind: str) -> None:
    try:
        value, found = parse_quantity(text, kind)
    except InputError:
        return
    number, rest = split_quantity(text)
    assert parse_number(number) == value
    assert unit(rest or "1", kind) == found
