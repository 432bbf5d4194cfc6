"""Conditions: what is written is what is parsed, SQL agrees with a plain evaluation, and nothing breaks the parser."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from convert.archive.meaning import LABELS, columns, label_cell, understand
from convert.archive.query import add_functions, compile_condition
from convert.archive.steps import quoted
from convert.archive.where import All, Compare, Condition, Either, Has, Not, parse, settings_of
from convert.errors import UsageError
from convert.model.resolve import resolve
from convert.model.setting import SETTINGS
from convert.model.value import Share, State, Value

NUMBERS = ("layer.height", "speed.travel", "speed.default", "heat.bed", "nozzle.diameter", "wall.count")
TEXTS = ("feedstock.name", "process.name")
FLAGS = tuple(name for name, setting in SETTINGS.items() if setting.kind == "flag" and not setting.per_tool)[:2]
CHOICES = tuple(name for name, setting in SETTINGS.items() if setting.kind == "choice" and not setting.per_tool)[:2]

plain_words = st.text("abcXYZ019", min_size=1, max_size=6).filter(
    lambda text: text.lower() not in ("and", "or", "not", "in", "contains", "present", "absent")
)
numbers = st.integers(0, 400).map(lambda n: Fraction(n, 4))


@st.composite
def terms(draw: st.DrawFn) -> Condition:
    kind = draw(st.sampled_from(("number", "text", "has", "flag", "choice")))
    if kind == "has":
        return Has(draw(st.sampled_from(NUMBERS + TEXTS + FLAGS)), draw(st.booleans()))
    if kind == "number":
        name = draw(st.sampled_from(NUMBERS))
        value: st.SearchStrategy[Value] = numbers if SETTINGS[name].kind != "count" else st.integers(0, 9).map(Fraction)
        op = draw(st.sampled_from(("=", "!=", "<", "<=", ">", ">=", "in")))
        if op == "in":
            return Compare(name, op, tuple(draw(st.lists(value, min_size=1, max_size=3))))
        if op in ("=", "!=") and draw(st.integers(0, 5)) == 0:
            return Compare(name, op, (State(draw(st.sampled_from(("off", "unlimited", "automatic")))),))
        return Compare(name, op, (draw(value),))
    if kind == "flag":
        return Compare(draw(st.sampled_from(FLAGS)), draw(st.sampled_from(("=", "!="))), (draw(st.booleans()),))
    if kind == "choice":
        name = draw(st.sampled_from(CHOICES))
        return Compare(name, draw(st.sampled_from(("=", "!="))), (draw(st.sampled_from(SETTINGS[name].choices)),))
    op = draw(st.sampled_from(("=", "!=", "contains", "in")))
    return Compare(draw(st.sampled_from(TEXTS)), op, tuple(draw(st.lists(plain_words, min_size=1, max_size=1))))


def joined(parts: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
    several = st.lists(parts, min_size=2, max_size=3).map(tuple)
    return st.one_of(several.map(All), several.map(Either), parts.map(Not))


conditions = st.recursive(terms(), joined, max_leaves=8)


def write(condition: Condition) -> str:
    """A condition as text, with parentheses around every part of a part."""
    if isinstance(condition, Has):
        return f"{'present' if condition.present else 'absent'} {condition.setting}"
    if isinstance(condition, Compare):
        values = [spelled(value, condition.setting) for value in condition.values]
        if condition.op == "in":
            return f"{condition.setting} in ({', '.join(values)})"
        return f"{condition.setting} {condition.op} {values[0]}"
    if isinstance(condition, Not):
        return f"not ({write(condition.part)})"
    return (" and " if isinstance(condition, All) else " or ").join(f"({write(part)})" for part in condition.parts)


def spelled(value: Value, name: str) -> str:
    if isinstance(value, State):
        return value.word
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Fraction):
        return f"{float(value):g} {SETTINGS[name].unit}" if SETTINGS[name].kind != "count" else str(value)
    return f'"{value}"'


@given(conditions)
def test_what_is_written_is_parsed(condition: Condition) -> None:
    assert parse(write(condition)) == condition


def holds(condition: Condition, values: Mapping[str, Value]) -> bool:
    """The oracle: the meaning of a condition, without a database."""
    if isinstance(condition, Not):
        return not holds(condition.part, values)
    if isinstance(condition, All):
        return all(holds(part, values) for part in condition.parts)
    if isinstance(condition, Either):
        return any(holds(part, values) for part in condition.parts)
    if isinstance(condition, Has):
        return (condition.setting in values) == condition.present
    if condition.setting not in values:
        return False
    found = resolve(values, condition.setting)
    items = found if isinstance(found, tuple) else (found,)
    return any(matches(item, condition.op, wanted) for item in items for wanted in condition.values)


def matches(item: Value | None, op: str, wanted: Value) -> bool:
    if op == "contains":
        return str(wanted).casefold() in str(item).casefold()
    if op in ("=", "in"):
        return item == wanted
    if op == "!=":
        return item != wanted
    if not isinstance(item, Fraction) or not isinstance(wanted, Fraction):
        return False
    return {"<": item < wanted, "<=": item <= wanted, ">": item > wanted, ">=": item >= wanted}[op]


@st.composite
def profiles(draw: st.DrawFn) -> dict[str, Value]:
    made: dict[str, Value] = {}
    for name in NUMBERS:
        if draw(st.booleans()):
            count = SETTINGS[name].kind == "count"
            made[name] = Fraction(draw(st.integers(0, 9))) if count else draw(numbers)
    if draw(st.booleans()):
        made["nozzle.diameter"] = (draw(numbers), draw(numbers))
    if "speed.default" in made and draw(st.booleans()):
        made["speed.travel"] = Share(Fraction(draw(st.integers(1, 8)) * 25), "speed.default")
    if draw(st.integers(0, 4)) == 0:
        made["heat.bed"] = State("off")
    for name in TEXTS:
        if draw(st.booleans()):
            made[name] = draw(plain_words)
    for name in FLAGS:
        if draw(st.booleans()):
            made[name] = draw(st.booleans())
    for name in CHOICES:
        if draw(st.booleans()):
            made[name] = draw(st.sampled_from(SETTINGS[name].choices))
    return made


@cache
def database() -> sqlite3.Connection:
    db = sqlite3.connect(":memory:")
    add_functions(db)
    db.execute(f"CREATE TABLE numbers ({', '.join(map(quoted, columns()))})")
    db.execute(f"CREATE TABLE profiles ({', '.join(map(quoted, LABELS))})")
    return db


def fill(db: sqlite3.Connection, values: Mapping[str, Value]) -> None:
    meaning, labels = understand(values)
    db.execute("DELETE FROM numbers")
    db.execute("DELETE FROM profiles")
    db.execute(f"INSERT INTO numbers VALUES ({', '.join('?' * len(columns()))})", meaning.row)
    cells = [label_cell(labels.get(name)) for name in LABELS]
    db.execute(f"INSERT INTO profiles VALUES ({', '.join('?' * len(LABELS))})", cells)


def answer(condition: Condition, values: Mapping[str, Value]) -> Any:
    sql, bound = compile_condition(condition)
    fill(database(), values)
    return database().execute(f"SELECT {sql} FROM numbers n, profiles p", bound).fetchone()[0]


@given(conditions, profiles())
def test_sql_agrees_with_the_oracle(condition: Condition, values: dict[str, Value]) -> None:
    assert bool(answer(condition, values)) == holds(condition, values)
    assert bool(answer(Not(condition), values)) != holds(condition, values)


@given(st.text(st.sampled_from("abc.()<>=!,'\" \n09%/and or not in"), max_size=60))
@example("(" * 500)
@example("not " * 4000 + "present layer.height")
@example("layer.height in (" + "1 mm, " * 900)
@example("speed.travel >= 1e999999999 mm/s")
def test_any_text_is_parsed_or_refused(text: str) -> None:
    try:
        found = settings_of(parse(text))
    except UsageError as error:
        says = error.says
    else:
        says = "" if found else "nothing was asked"
    assert says == "" or "character" in says or "empty" in says


@pytest.mark.parametrize(
    ("text", "says", "hint"),
    [
        ("speed.travl > 3 mm/s", "character 1: there is no setting 'speed.travl'", "speed.travel"),
        ("layer.height >", "character 15: a value of layer.height is wanted", "unit"),
        ("layer.height > 3", "character 16: layer.height has a unit, and 3 has none", "mm"),
        ("layer.height > 3 kg", "character 16", ""),
        ("(layer.height > 3 mm", "')' is wanted", "close"),
        ("layer.height > 3 mm)", "character 20: ')' does not belong here", ""),
        ("layer.height > 3 mm speed.travel > 1 mm/s", "character", ""),
        ("layer.height contains 3", "holds no text", "texts"),
        ("feedstock.name > abc", "compares numbers", "= or !="),
        ('feedstock.name = "abc', "a quote that is not closed", "closing"),
        ("layer.height ! 3 mm", "no comparison", ""),
        ("", "the condition is empty", "SETTING OP VALUE"),
    ],
)
def test_errors_say_where_and_what_to_do(text: str, says: str, hint: str) -> None:
    with pytest.raises(UsageError) as caught:
        parse(text)
    assert says in caught.value.says
    assert hint in caught.value.hint


def test_units_are_converted_and_not_binds_closest() -> None:
    assert parse("speed.travel >= 18000 mm/min") == Compare("speed.travel", ">=", (Fraction(300),))
    found = parse("not present layer.height or present heat.bed and present wall.count")
    assert found == Either(
        (Not(Has("layer.height", True)), All((Has("heat.bed", True), Has("wall.count", True)))),
    )


def test_long_chains_are_accepted_by_the_database() -> None:
    for word in ("and", "or"):
        condition = parse(f" {word} ".join(["layer.height >= 0.1 mm"] * 400))
        assert answer(condition, {"layer.height": Fraction(1, 5)}) == 1
    with pytest.raises(UsageError, match="more than 400 comparisons"):
        parse(" or ".join(["layer.height >= 0.1 mm"] * 401))
