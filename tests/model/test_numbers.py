"""Numbers: the grammar, the laws of writing and reading back, the style of an old spelling, quantities."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from convert.errors import InputError
from convert.model.decimals import settle
from convert.model.numbers import (
    converted,
    is_number,
    parse_number,
    parse_quantity,
    same_number,
    significant,
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


@st.composite
def chains(draw: st.DrawFn) -> tuple[str, list[str]]:
    """A kind, and two to six of its units."""
    kind = draw(st.sampled_from(kinds()))
    return kind, draw(st.lists(st.sampled_from(codes(kind)), min_size=2, max_size=6))


def through(value: Fraction, kind: str, chain: list[str]) -> Fraction:
    """The value, which stands in the first unit of the chain, written in each other and at last in the first again.

    As files do it: each is read into the base unit, which the canonical document holds, and written from there.
    """
    base = unit(codes(kind)[0], kind)
    first, *others = (unit(code, kind) for code in chain)
    text = spell(value)
    for source, target in zip((first, *others), (*others, first), strict=True):
        canonical = spell(converted(parse_number(text), source, base, text))
        text = spell(converted(parse_number(canonical), base, target))
    return parse_number(text)


@given(number_texts)
def test_reads_what_the_standard_library_reads(text: str) -> None:
    # Outside check: decimal.Decimal of the standard library has the same grammar for these texts. A text of more than
    # 15 digits may mean a fraction beside it, which rounds to the text, or is a double's noise away (decimals.py).
    found, says = parse_number(text), Fraction(Decimal(text))
    last = Fraction(10) ** (Decimal(text).as_tuple().exponent)  # type: ignore[operator]  # no text is NaN
    noise = abs(says) * Fraction(25, 10**17) if significant(text) <= 17 else 0
    assert abs(found - says) <= (max(last / 2, noise) if significant(text) > 15 else 0)
    assert parse_number(text.replace(".", ","), mark=",") == found


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


@given(st.fractions(max_denominator=10**12))
def test_every_rational_is_read_back_exactly(value: Fraction) -> None:
    assert parse_number(spell(value)) == value


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=30_000))
def test_what_people_write_needs_few_digits(value: Fraction) -> None:
    # 17, or a few more where these mean another number by accident.
    assert significant(spell(value)) <= 21


@settings(max_examples=300)
@given(chains(), decimals(15))
def test_15_digits_survive_any_chain(units: tuple[str, list[str]], value: Fraction) -> None:
    assert through(value, *units) == value


def test_15_digits_survive_many_chains() -> None:
    source = Random(52900)
    for _ in range(3000):
        kind = source.choice(kinds())
        value = Fraction(source.randrange(10**14, 10**15)) / 10 ** source.randrange(10, 20)
        assert through(value, kind, source.choices(codes(kind), k=source.randrange(2, 7))) == value


@given(decimals(12), st.sampled_from([1, 60, 254, 7]))
def test_a_double_means_the_decimal_that_it_came_of(value: Fraction, factor: int) -> None:
    # As another program computes it: in doubles, with a rounding in each step.
    assert parse_number(repr(float(value) / factor * factor)) == value


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=100), st.sampled_from([60, 254, 7]))
def test_a_double_means_the_fraction_that_it_came_of(value: Fraction, factor: int) -> None:
    noisy = repr(float(value) / factor)
    assert parse_number(noisy) == (value / factor if significant(noisy) > 15 else Fraction(noisy))


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
        ("1000.00000000000002", "10.0", "1000.00000000000002"),
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
