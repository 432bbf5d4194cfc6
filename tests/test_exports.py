"""`import convert` offers what `__all__` lists, and nothing else."""

from __future__ import annotations

import importlib

import pytest

import convert


@pytest.mark.parametrize("name", convert.__all__)
def test_every_public_name_is_there(name: str) -> None:
    value = getattr(convert, name)
    if name != "__version__":
        assert getattr(value, "__doc__", None), f"{name} needs a docstring"
        assert value.__module__.startswith("convert.")


def test_all_is_sorted_and_complete() -> None:
    assert list(convert.__all__) == sorted(convert.__all__)
    assert set(convert.__all__) == {*convert._FROM, "__version__"}
    public = {name for name in vars(convert) if not name.startswith("_") and name != "annotations"}
    modules = {name for name in public if hasattr(vars(convert)[name], "__spec__")}
    assert public - modules <= set(convert.__all__)
    assert set(dir(convert)) >= set(convert.__all__)


def test_unknown_names_are_refused() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'nonsense'"):
        _ = convert.nonsense


def test_public_names_are_callable_also_after_their_modules_are_imported() -> None:
    for module in set(convert._FROM.values()):
        importlib.import_module(module)
    assert all(callable(getattr(convert, name)) for name in convert._FROM)


def test_version_is_stated_once() -> None:
    import tomllib

    from tests.zoo import ROOT

    with open(f"{ROOT}/pyproject.toml", "rb") as file:
        project = tomllib.load(file)["project"]
    assert project.get("version", convert.__version__) == convert.__version__
