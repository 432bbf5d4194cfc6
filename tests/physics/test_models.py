"""The list of models: complete, and true to the functions behind it."""

from __future__ import annotations

import inspect
import pickle
import pkgutil
from contextlib import suppress
from importlib import import_module

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import convert.physics
from convert.errors import InputError, UsageError
from convert.physics import OutOfRange, models
from convert.physics.models import MODELS, Model, evaluate
from convert.units import unit

STATUSES = {"published", "derived", "common practice", "from memory"}
NO_TOPIC = {"models", "tables", "polymers", "limits", "bodies", "printing", "layering", "effects"}
NO_MODEL = {"paths:path_time", "paths:lines_time", "duration:estimate", "bead:check_bead"}  # they take lists or records
NOT_IN_UNITS = {
    "1/s", "Pa.s", "mm4", "N.m", "W/(m.K)", "W/(m2.K)", "J/(g.K)", "J/g", "kJ/mol", "um/(m.K)", "1/MPa", "mm2/s",
    "mm/s3", "V", "Ohm", "s/mm", "um/mm",
}  # fmt: skip
"""UCUM codes of kinds that no setting has."""

each_model = pytest.mark.parametrize("row", MODELS.values(), ids=MODELS)


def test_every_public_function_is_listed() -> None:
    found = set()
    for info in pkgutil.iter_modules(convert.physics.__path__):
        if info.name not in NO_TOPIC:
            module = import_module(f"convert.physics.{info.name}")
            for name, value in vars(module).items():
                if inspect.isfunction(value) and value.__module__ == module.__name__ and not name.startswith("_"):
                    found.add(f"{info.name}:{name}")
    listed = [row.function.removeprefix("convert.physics.") for row in MODELS.values()]
    assert len(set(listed)) == len(listed)
    assert set(listed) == found - NO_MODEL


def test_every_input_is_used_and_explained() -> None:
    used = {one.name for row in MODELS.values() for one in row.inputs}
    assert used == {name for name, _, _ in models.rows("models.inputs.tsv", "name unit meaning")}


@each_model
def test_example_gives_the_stated_number(row: Model) -> None:
    found = evaluate(row.name, {name: float(text) for name, text in row.example.items()})
    assert list(row.gives) == list(found)
    for name, text in row.gives.items():
        assert float(f"{found[name]:.6g}") == float(text)


@each_model
def test_row_is_true_to_the_function(row: Model) -> None:
    function = row.load()
    parameters = inspect.signature(function).parameters.values()
    defaults = {p.name: None if p.default is p.empty else p.default for p in parameters}
    assert {one.name: one.default for one in row.inputs} == defaults
    text = inspect.getdoc(function) or ""
    assert ">>>" in text, "no checked number"
    assert any(word in text.lower() for word in STATUSES), "no status"
    for name in defaults:
        assert name in text, f"{name} is not explained"
    assert row.status in STATUSES
    assert row.formula
    assert row.meaning
    assert row.source


@each_model
def test_units_are_known(row: Model) -> None:
    for code in [one.unit for one in row.inputs] + [one.unit for one in row.results]:
        if code not in NOT_IN_UNITS:
            assert unit(code).code == code


NASTY = [
    float("nan"),
    float("inf"),
    -float("inf"),
    -1.0,
    0.0,
    1e-300,
    5e-324,
    1e300,
    1.7e308,
    1.0,
    0.5,
    2.0,
    90.0,
    180.0,
]


@each_model
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_number_gives_a_result_or_a_clear_error(row: Model, data: st.DataObject) -> None:
    inputs = {one.name: data.draw(st.sampled_from(NASTY) | st.floats()) for one in row.inputs}
    found: dict[str, float] = {}
    with suppress(UsageError):
        found = evaluate(row.name, inputs)
    assert all(abs(value) < float("inf") for value in found.values())


@each_model
def test_each_input_has_a_limit_that_is_named(row: Model) -> None:
    inputs = {name: float(text) for name, text in row.example.items()}
    for name in inputs:
        with pytest.raises(OutOfRange) as caught:
            evaluate(row.name, inputs | {name: float("nan")})
        assert caught.value.argument == name


def test_a_mapping_of_units_to_numbers_is_enough() -> None:
    assert evaluate("wall_stack", {"outer_width": 0.45, "inner_width": 0.45, "height": 0.2, "count": 3}) == {
        "thickness": pytest.approx(1.26416, abs=1e-5)
    }


@pytest.mark.parametrize(
    ("name", "inputs", "says"),
    [
        ("bead sektion", {}, "no model is called 'bead sektion'; did you mean bead_section"),
        ("zzz" * 1000, {}, "there are bead_section, bead_rectangle"),
        ("bead_section", {"width": 0.4}, "bead_section needs height; layer height, in mm"),
        ("bead_section", {"width": 0.4, "hight": 0.2}, "has no input 'hight'; did you mean height?"),
        ("bead_section", {"width": 0.1, "height": 0.2}, "width is 0.1; it must be at least the height, 0.2"),
        ("core_coldness", {"fourier": -1}, "fourier is -1; it must be 0 or more"),
    ],
)
def test_errors_say_what_is_wrong(name: str, inputs: dict[str, float], says: str) -> None:
    with pytest.raises(UsageError) as caught:
        evaluate(name, inputs)
    assert says in str(caught.value)
    assert len(str(caught.value)) < 6000


def test_a_broken_table_names_its_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("convert.physics.tables.read_bytes", lambda kind, name: b"a\tb\n1\t2\n3\n")
    with pytest.raises(InputError, match=r"x\.tsv:3: 1 cells for 2 columns"):
        models.rows("x.tsv", "a b")
    with pytest.raises(InputError, match="its columns are not a, c"):
        models.rows("x.tsv", "a c")


def test_only_models_has_lazy_names() -> None:
    with pytest.raises(AttributeError, match="no attribute 'MODEL'"):
        models.MODEL  # noqa: B018


def test_out_of_range_travels_between_processes() -> None:
    error = pickle.loads(pickle.dumps(OutOfRange("width", 0.1, "at least 0.2")))
    assert str(error) == "width is 0.1; it must be at least 0.2"
    assert error.exit_code == 2
    assert isinstance(error, ValueError)
