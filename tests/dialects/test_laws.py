"""The lens laws, for every row of every shipped dialect (well-behaved lenses, Foster et al. 2007)."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from convert.dialects.atoms import CannotSay, Cell, Unreadable
from convert.dialects.lenses import Lens
from convert.dialects.registry import Registry
from convert.model.profile import equal_values
from convert.model.setting import SETTINGS
from convert.model.value import Value
from tests.dialects.values import any_value

REGISTRY = Registry()
TABLES = {name: REGISTRY.table(name) for name in REGISTRY.names()}
LENSES = {name: [lens for lenses in table.lenses.values() for lens in lenses] for name, table in TABLES.items()}
QUICK = settings(max_examples=4, deadline=None, database=None, suppress_health_check=list(HealthCheck))
SELDOM = 0.1
"""Share of rows that a random value may well miss (one unit, one relation, one word)."""

Judge = Callable[[Lens, st.DataObject], bool]


def every_row(dialect: str, judge: Judge) -> None:
    """Put each row of a dialect to the judge with a few examples; nearly all must have been judged at least once."""
    judged = set()
    for lens in LENSES[dialect]:

        @QUICK
        @given(lens=st.just(lens), data=st.data())
        def one(lens: Lens, data: st.DataObject) -> None:
            if judge(lens, data):
                judged.add(id(lens))

        one()
    assert len(judged) >= (1 - SELDOM) * len(LENSES[dialect])


def values_for(data: st.DataObject, lens: Lens) -> dict[str, Value]:
    return {name: data.draw(any_value(SETTINGS[name]), label=name) for name in lens.settings}


def written(lens: Lens, values: dict[str, Value], old: dict[str, Cell]) -> dict[str, Cell]:
    """The cells that a lens writes, as a tree gives them back."""
    return {key: as_read(cell) for key, cell in lens.write(values, old).items() if cell is not None}


def reads_back(lens: Lens, data: st.DataObject) -> bool:
    """PutGet: what a lens writes, it reads back; only rounding that the table declares may come between."""
    values = values_for(data, lens)
    try:
        cells = written(lens, values, {})
    except CannotSay:
        return False
    back = lens.read(cells)
    for name, value in values.items():
        if not equal_values(back.get(name), value):
            atoms = getattr(lens, "atoms", None) or [getattr(lens, "atom", None)]
            rounds = any(getattr(atom, "decimals", None) is not None for atom in atoms)
            assert rounds or _collapsed(back.get(name), value)
            assert lens.read(written(lens, back, {})) == back
    return True


def _collapsed(back: Value | None, value: Value) -> bool:
    """A list of one is the value itself."""
    return isinstance(value, tuple) and len(value) == 1 and value[0] == back


def changes_nothing(lens: Lens, data: st.DataObject) -> bool:
    """GetPut: what was read, written over the place it came from, changes nothing."""
    values = values_for(data, lens)
    try:
        cells = written(lens, values, {})
    except CannotSay:
        return False
    styled = {key: cell._replace(value=data.draw(spellings(cell.value))) for key, cell in cells.items()}
    try:
        meant = lens.read(styled)
    except Unreadable:
        return False
    if set(meant) != set(lens.settings):
        return False
    assert lens.write(meant, styled) == styled
    return True


def keeps_style_not_value(lens: Lens, data: st.DataObject) -> bool:
    """A new value over an old one reads back as the new one."""
    old_values, new_values = values_for(data, lens), values_for(data, lens)
    try:
        old = written(lens, old_values, {})
        new = written(lens, new_values, old)
        fresh = written(lens, new_values, {})
    except CannotSay:
        return False
    back, plain = lens.read({**old, **new}), lens.read(fresh)
    assert all(equal_values(back.get(name), plain.get(name)) for name in new_values)
    return True


@pytest.mark.parametrize("judge", [reads_back, changes_nothing, keeps_style_not_value])
@pytest.mark.parametrize("dialect", sorted(TABLES))
def test_every_row_is_a_lens(dialect: str, judge: Judge) -> None:
    every_row(dialect, judge)


def as_read(cell: Cell) -> Cell:
    """A cell as a tree gives it: what is several values is a list."""
    return cell._replace(kind="list") if isinstance(cell.value, tuple) else cell


def spellings(value: object) -> st.SearchStrategy:
    """Other ways to write the same or another value: zeros, signs, exponents, case, blanks."""
    if isinstance(value, tuple):
        return st.tuples(*(spellings(item) for item in value))
    text = str(value)
    others = [
        text,
        text + "0",
        text + ".0",
        "+" + text,
        text.upper(),
        text.lower(),
        text.replace(".", ".0"),
        text + "e0",
    ]
    others += [
        text.replace(",", ", "),
        text.replace("/", " / "),
        "0" + text,
        text.replace("0.", "."),
        text.replace("\\", "\\\\"),
    ]
    return st.sampled_from(others)


def test_tables_cover_the_schema() -> None:
    invented = [table for name, table in TABLES.items() if name not in ("canonical", "master")]
    assert len(invented) >= 6
    assert all(table.settings >= 120 for table in invented)
    assert len({name for table in invented for name in table.by_setting}) >= 240
