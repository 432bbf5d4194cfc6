"""The lens laws, for every row of every shipped dialect (well-behaved lenses, Foster et al. 2007)."""

from __future__ import annotations

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
COMMON = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)


def values_for(data: st.DataObject, lens: Lens) -> dict[str, Value]:
    return {name: data.draw(any_value(SETTINGS[name]), label=name) for name in lens.settings}


@pytest.mark.parametrize("dialect", sorted(TABLES))
@COMMON
@given(data=st.data())
def test_read_what_was_written(dialect: str, data: st.DataObject) -> None:
    """PutGet: what a lens writes, it reads back; only rounding that the table declares may come between."""
    lens = data.draw(st.sampled_from(LENSES[dialect]))
    values = values_for(data, lens)
    try:
        cells = lens.write(values, {})
    except CannotSay:
        return
    back = lens.read({key: cell for key, cell in cells.items() if cell is not None})
    for name, value in values.items():
        if not equal_values(back.get(name), value):
            # The only honest reason is a declared number of decimals, or code whose placeholder the dialect lacks.
            atoms = getattr(lens, "atoms", None) or [getattr(lens, "atom", None)]
            rounds = any(getattr(atom, "decimals", None) is not None for atom in atoms)
            assert rounds or _collapsed(back.get(name), value)
            again = lens.write(back, {})
            assert lens.read({k: c for k, c in again.items() if c is not None}) == back


def _collapsed(back: Value | None, value: Value) -> bool:
    """A list of one is the value itself."""
    return isinstance(value, tuple) and len(value) == 1 and value[0] == back


@pytest.mark.parametrize("dialect", sorted(TABLES))
@COMMON
@given(data=st.data())
def test_write_what_was_read(dialect: str, data: st.DataObject) -> None:
    """GetPut: what was read, written over the place it came from, changes nothing."""
    lens = data.draw(st.sampled_from(LENSES[dialect]))
    values = values_for(data, lens)
    try:
        cells = {key: cell for key, cell in lens.write(values, {}).items() if cell is not None}
    except CannotSay:
        return
    styled = {key: as_read(cell._replace(value=data.draw(spellings(cell.value)))) for key, cell in cells.items()}
    try:
        meant = lens.read(styled)
    except Unreadable:
        return
    if set(meant) != set(lens.settings):
        return
    assert lens.write(meant, styled) == styled


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


@pytest.mark.parametrize("dialect", sorted(TABLES))
@COMMON
@given(data=st.data())
def test_style_is_kept_not_the_value(dialect: str, data: st.DataObject) -> None:
    """A new value over an old one reads back as the new one."""
    lens = data.draw(st.sampled_from(LENSES[dialect]))
    old_values, new_values = values_for(data, lens), values_for(data, lens)
    try:
        old = {key: cell for key, cell in lens.write(old_values, {}).items() if cell is not None}
        new = lens.write(new_values, old)
        fresh = lens.write(new_values, {})
    except CannotSay:
        return
    merged = {**old, **{key: cell for key, cell in new.items() if cell is not None}}
    back = lens.read(merged)
    plain = lens.read({key: cell for key, cell in fresh.items() if cell is not None})
    assert all(equal_values(back.get(name), plain.get(name)) for name in new_values)


def test_tables_cover_the_schema() -> None:
    invented = [table for name, table in TABLES.items() if name not in ("canonical", "master")]
    assert len(invented) >= 6
    assert all(table.settings >= 120 for table in invented)
    assert len({name for table in invented for name in table.by_setting}) >= 240
