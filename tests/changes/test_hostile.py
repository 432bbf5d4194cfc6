"""No value that a file may hold breaks a comparison, however little sense it makes."""

from __future__ import annotations

import json
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from convert.changes.difference import difference
from convert.changes.symptoms import ABOUT, suspects
from convert.model.check import relatives
from convert.model.setting import SETTINGS, Setting
from convert.model.value import STATES, Share, State, Value
from convert.report.diff import table
from convert.report.diff_document import document
from tests.changes.cases import base, setup
from tests.changes.test_command import SCHEMA

NUMBERS = st.sampled_from(
    [Fraction(n) for n in (0, 1, -1, 2, 5, 100, 10**6, 10**30, -(10**30))]
    + [Fraction(1, 10**9), Fraction(1, 3), Fraction("0.2"), Fraction(1, 10**40)]
) | st.fractions(-1000, 1000, max_denominator=1000)  # fmt: skip
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
CODE = st.lists(
    st.sampled_from(["G28", "G1 X5 E1", "M104 S{heat.nozzle}", "M140 S0", "G91", "; off", "{x", "\x1b[0m"]) | TEXTS,
    max_size=6,
).map("\n".join)


def values(setting: Setting) -> st.SearchStrategy[Value]:
    """Anything that a file may say for a setting."""
    if setting.kind == "code":
        return CODE
    if setting.kind == "text":
        return TEXTS
    if setting.kind == "flag":
        return st.booleans()
    if setting.kind == "choice":
        return st.sampled_from(setting.choices)
    if setting.kind == "outline":
        points = st.lists(st.tuples(NUMBERS, NUMBERS), max_size=5).map(tuple)
        return points | st.lists(points, max_size=2).map(tuple)
    single: st.SearchStrategy[Value] = NUMBERS | st.sampled_from(STATES).map(State)
    others = relatives(setting)
    if others:
        single |= st.builds(Share, NUMBERS, st.sampled_from(sorted(others)))
    return single | st.lists(single, min_size=1, max_size=3).map(tuple) if setting.per_tool else single


@st.composite
def broken(draw: st.DrawFn) -> dict[str, Value]:
    made = dict(base())
    for name in draw(st.lists(st.sampled_from(sorted(SETTINGS)), min_size=1, max_size=12, unique=True)):
        if draw(st.integers(0, 4)):
            made[name] = draw(values(SETTINGS[name]))
        else:
            made.pop(name, None)
    return made


@settings(max_examples=80, deadline=None)
@given(broken(), broken())
def test_any_two_setups_can_be_compared(old: dict[str, Value], new: dict[str, Value]) -> None:
    found = difference([setup(old)], [setup(new)], everything=True)
    changes = [change for change, _ in found.changes]
    for about in (None, *ABOUT):
        chosen = suspects(about, changes) if about is not None else []
        text = table(found, about=about, suspects=chosen, everything=about is None)
        assert all(char.isprintable() or char == "\n" for char in text)
        made = json.loads(json.dumps(document(found, about, chosen), default=float))
        assert [error.message for error in SCHEMA.iter_errors(made)] == []
    told = {fact.setting for change in changes for fact in change.group.facts} | {one.setting for one in found.same}
    told |= {one.what for one in found.not_compared}
    assert {name for name in old.keys() | new.keys() if old.get(name) != new.get(name)} <= told
