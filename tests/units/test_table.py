"""The table of units: its rows, its spellings, its traps, and exact conversion."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError, UsageError
from convert.resources import read_bytes
from convert.units import codes, convert, kinds, spellings, unit
from convert.units.table import read_table, table

HEAD = "code\tkind\tfactor\toffset\tspellings\n"
ALL_UNITS = sorted({(row.kind, row.code) for rows in table().kinds.values() for row in rows.values()})
rationals = st.fractions(min_value=-(10**9), max_value=10**9, max_denominator=10**9)


def test_every_kind_of_the_settings_has_its_unit() -> None:
    lines = read_bytes("schemas", "settings.tsv").decode().splitlines()
    quantities = {tuple(line.split("\t")[2:4]) for line in lines[1:]}
    without = {"flag", "choice", "text", "code"}
    for kind, code in quantities:
        if kind not in without:
            assert unit(code, "length" if kind == "outline" else kind).code == code


def test_the_first_unit_of_a_kind_is_its_base() -> None:
    for kind in kinds():
        base = unit(codes(kind)[0], kind)
        assert (base.factor, base.offset) == (1, 0)


def test_rows_are_sound() -> None:
    lines = [line for line in read_bytes("schemas", "units.tsv").decode().split("\n") if line and line[0] != "#"]
    rows = [tuple(line.split("\t")[:2]) for line in lines[1:]]
    assert len(rows) == len(set(rows))
    for kind, code in ALL_UNITS:
        assert unit(code, kind).factor > 0
        assert not unit(code, kind).offset or kind == "temperature"


def test_a_spelling_names_one_code() -> None:
    for name, rows in table().spellings.items():
        assert len({row.code for row in rows}) == 1, name
        assert name == name.strip()
        assert not name[0].isdigit() or name[0] == "1", "a number before a unit must not run into it"


@pytest.mark.parametrize(
    "rows",
    [
        "mm\tlength\t1\t\tmil\n[mil_i]\tlength\t127/5000\t\tmil\n",
        "mm\tlength\t1\t\t\nm\ttime\t60\t\tmm\n",
        "mm\tlength\t1\t\tmm\n",
        "g\tmass\t1\t\tG\nG\trefused\t\t\tgauss; write g\n",
    ],
)
def test_a_spelling_that_reads_two_ways_is_refused(rows: str) -> None:
    with pytest.raises(UsageError):
        read_table(HEAD + rows)


@pytest.mark.parametrize(
    ("text", "kind", "code"),
    [
        ("mm^3/s", "flow", "mm3/s"),
        ("mm³/s", "flow", "mm3/s"),
        ("cm3/h", "flow", "cm3/h"),
        ("°C", "temperature", "Cel"),
        ("degC", "temperature", "Cel"),
        ("µm", "length", "um"),
        ("μm", "length", "um"),
        ("micron", "length", "um"),
        ("in", "length", "[in_i]"),
        ("h", "time", "h"),
        ("mm/s^2", "acceleration", "mm/s2"),
        ("steps/mm", "per_length", "1/mm"),
        ("%", "percent", "%"),
        ("K", "temperature_difference", "K"),
        ("ft/min", "speed", "[ft_i]/min"),
    ],
)
def test_usual_spellings(text: str, kind: str, code: str) -> None:
    assert unit(text, kind).code == code


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("C", "temperature", ["coulomb", "Cel"]),
        ("F", "temperature", ["farad", "[degF]"]),
        ("F", None, ["farad", "[degF]"]),
        ("m", "time", ["length", "time", "min"]),
        ('"', "length", ["inch", "second of arc", "[in_i]"]),
        ("'", "length", ["foot", "minute of arc", "[ft_i]"]),
        ("°", "temperature", ["angle", "temperature", "Cel"]),
        ("g", "acceleration", ["mass", "acceleration", "[g]"]),
        ("€/kg", "price", ["currency", "1/kg"]),
        ("MM/S", "speed", ["no known unit", "mm/s"]),
        ("milimetre", "length", ["no known unit", "millimetre"]),
        ("mm/s", "length", ["speed", "length"]),
        ("", "length", ["no known unit"]),
        ("zorkmid", None, ["zorkmid"]),
    ],
)
def test_traps_say_what_to_write(text: str, kind: str | None, words: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        unit(text, kind)
    for word in words:
        assert word in str(caught.value)


def test_a_kind_without_units_is_a_wrong_call() -> None:
    with pytest.raises(UsageError):
        unit("mm", "colour")
    with pytest.raises(UsageError):
        spellings("flag")
    with pytest.raises(UsageError):
        convert(Fraction(1), unit("mm"), unit("s"))


@given(st.sampled_from(ALL_UNITS), rationals, st.data())
def test_there_and_back_is_exact(row: tuple[str, str], value: Fraction, data: st.DataObject) -> None:
    kind, code = row
    other = data.draw(st.sampled_from(spellings(kind)))
    source = unit(code, kind)
    assert convert(convert(value, source, unit(other, kind)), other, source) == value


@given(st.sampled_from(ALL_UNITS), rationals, st.data())
def test_a_detour_changes_nothing(row: tuple[str, str], value: Fraction, data: st.DataObject) -> None:
    source = unit(row[1], row[0])
    first, last = (unit(data.draw(st.sampled_from(spellings(row[0]))), row[0]) for _ in range(2))
    assert convert(convert(value, source, first), first, last) == convert(value, source, last)


@given(st.text(max_size=12), st.sampled_from([None, *kinds()]))
def test_any_text_is_a_unit_or_a_clear_error(text: str, kind: str | None) -> None:
    if text in (table().spellings if kind is None else spellings(kind)):
        assert unit(text, kind).kind == (kind or unit(text).kind)
    else:
        with pytest.raises(InputError, match=r"."):
            unit(text, kind)
