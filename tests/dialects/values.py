"""Strategies: values that a setting may hold."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from convert.model.setting import SETTINGS, Setting
from convert.model.value import Share, State, Value

decimals = st.integers(min_value=0, max_value=6)


@st.composite
def numbers(draw: st.DrawFn, setting: Setting) -> Fraction:
    """A decimal inside the range, with at most six decimals."""
    low = setting.minimum if setting.minimum is not None else Fraction(-1000)
    high = setting.maximum if setting.maximum is not None else Fraction(100000)
    if setting.kind == "count":
        return Fraction(draw(st.integers(int(low), int(min(high, 10**6)))))
    places = 10 ** draw(decimals)
    return Fraction(draw(st.integers(int(-(-low * places // 1)), int(high * places // 1))), places)


def texts() -> st.SearchStrategy[str]:
    return st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30)


def codes() -> st.SearchStrategy[str]:
    """Lines of commands with placeholders, braces and backslashes among them."""
    part = st.sampled_from(
        [
            "G28",
            "M109 S{heat.nozzle_first}",
            "; a note",
            "{heat.bed}",
            "{odd}",
            "{{heat.bed}}",
            "\\n",
            "\\",
            '"',
            "M117 a",
            " ",
            "\n",
        ]
    )
    return st.lists(part, max_size=12).map("".join)


def outlines(setting: Setting) -> st.SearchStrategy[Value]:
    coordinate = st.integers(-5000, 5000).map(lambda n: Fraction(n, 10))
    area = st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=8).map(tuple)
    if setting.id == "envelope.outline":
        return area
    return st.one_of(area, st.lists(area, min_size=2, max_size=3).map(tuple))


def single(setting: Setting) -> st.SearchStrategy[Value]:
    """One value, not a list."""
    if setting.kind == "flag":
        return st.booleans()
    if setting.kind == "choice":
        return st.sampled_from(setting.choices)
    if setting.kind == "text":
        return texts()
    if setting.kind == "code":
        return codes()
    if setting.kind == "outline":
        return outlines(setting)
    others = [name for name, other in SETTINGS.items() if other.kind == setting.kind and name != setting.id]
    share = st.builds(
        Share, st.integers(1, 4000).map(lambda n: Fraction(n, 20)), st.sampled_from(others or ["layer.height"])
    )
    state = st.builds(State, st.sampled_from(["off", "unlimited", "automatic"]))
    return st.one_of(numbers(setting), numbers(setting), share, state)


def any_value(setting: Setting) -> st.SearchStrategy[Value]:
    """A value, or one for each of two to four tools where the setting allows it."""
    if not setting.per_tool:
        return single(setting)
    return st.one_of(single(setting), st.lists(single(setting), min_size=2, max_size=4).map(tuple))
