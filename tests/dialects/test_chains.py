"""Numbers through several dialects one after the other: no digit of 15 is lost, however often the unit changes."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from convert.dialects.atoms import CannotSay, NumberAtom
from convert.dialects.lenses import OneLens
from convert.model.setting import SETTINGS
from tests.dialects.test_laws import LENSES, as_read


def _lenses() -> dict[str, dict[str, OneLens]]:
    """Setting -> dialect -> the lens that holds this one number there, in whatever unit, and does not round it."""
    found: dict[str, dict[str, OneLens]] = defaultdict(dict)
    for dialect, lenses in LENSES.items():
        for lens in lenses:
            if type(lens) is not OneLens or not SETTINGS[lens.setting].is_number:
                continue
            if SETTINGS[lens.setting].kind == "count" or getattr(lens.atom, "decimals", None) is not None:
                continue
            found[lens.setting][dialect] = lens
    return {setting: ways for setting, ways in found.items() if len(ways) > 2}


WAYS = _lenses()


def test_the_chains_have_somewhere_to_go() -> None:
    assert len(WAYS) >= 100
    scales = {way.atom.scale for ways in WAYS.values() for way in ways.values() if isinstance(way.atom, NumberAtom)}
    assert len(scales) >= 6  # mm/min, um, 0..255, radians and others beside the schema's own units


@st.composite
def chains(draw: st.DrawFn) -> tuple[list[OneLens], Fraction]:
    """Two to six dialects that hold a setting, and a value of 15 digits in the unit that the first of them writes."""
    ways = WAYS[draw(st.sampled_from(sorted(WAYS)))]
    chain = [ways[dialect] for dialect in draw(st.lists(st.sampled_from(sorted(ways)), min_size=2, max_size=6))]
    number = Fraction(draw(st.integers(1, 10**15 - 1))) / 10 ** draw(st.integers(10, 16))
    atom = chain[0].atom
    if isinstance(atom, NumberAtom) and atom.where == "table" and atom.scale.rational:
        number = atom.scale.a * number + atom.scale.b
    return chain, number


@settings(max_examples=1000)
@given(chains())
def test_15_digits_survive_any_chain_of_dialects(given_chain: tuple[list[OneLens], Fraction]) -> None:
    chain, number = given_chain
    value = number
    for lens in chain:
        try:
            cells = lens.write({lens.setting: value}, {})
        except CannotSay:  # a word stands for this number there
            continue
        value = lens.read({key: as_read(cell) for key, cell in cells.items() if cell is not None})[lens.setting]
    assert value == number
