"""The workshop in each dialect: made by the tool, and meaning what the master sheets mean."""

from __future__ import annotations

from collections import Counter

import pytest

from convert.api import Session
from convert.errors import InputError
from convert.model.profile import equal_values
from convert.model.resolve import resolve
from convert.model.setting import SETTINGS
from convert.model.value import Value
from tests.corpus.make import DIALECTS, WHOLE, lineage, made
from tests.corpus.sheets import CORPUS, SHEETS, document, full, setup, setups

SESSION = Session()


def test_folders_hold_what_the_tool_makes() -> None:
    """After a change of tables, readers or sheets that is meant: `python -m tests.corpus.make`."""
    for dialect in DIALECTS:
        folder = CORPUS / "workshop" / dialect
        on_disk = {path.name: path.read_bytes() for path in folder.iterdir()}
        assert made(SESSION, dialect) == on_disk, dialect


def masters(dialect: str) -> dict[str, dict[str, Value]]:
    """Values by the name that a profile has in the dialect."""
    if dialect not in WHOLE:
        return {document(name)["name"]: full(name) for name in SHEETS}
    names = [(one["files"], [document(name)["name"] for name in one["files"]]) for one in setups()]
    return {" - ".join(called): setup(files) for files, called in names}


def meant(values: dict[str, Value], name: str) -> Value | None:
    """The value behind relations; None where the base is not at hand (it is in another scope)."""
    try:
        return resolve(values, name)
    except InputError:
        return None


@pytest.mark.parametrize("dialect", DIALECTS)
def test_values_mean_the_same(dialect: str) -> None:
    table = SESSION.registry.table(dialect)
    # Where a dialect may say something near: choices it lacks, and numbers it rounds.
    near = set(table.nearest) | {
        name
        for name, lens in table.by_setting.items()
        for atom in atoms(lens)
        if getattr(atom, "decimals", None) is not None
    }
    inputs = SESSION.read([str(CORPUS / "workshop" / dialect)])
    assert inputs.errors == []
    assert inputs.problems() == []
    wanted = masters(dialect)
    seen: Counter[str] = Counter()
    for profile in inputs.profiles:
        master = wanted[profile.name]
        for name, value in master.items():
            if name not in profile.settings or name not in table.by_setting:
                seen["unsaid"] += name in table.by_setting
                continue
            got, expected = meant(profile.settings, name), meant(master, name)
            if got is None or expected is None:
                seen["not at hand"] += 1
            elif isinstance(got, str) and SETTINGS[name].kind == "code":
                assert got == value
                seen["equal"] += 1
            elif equal_values(got, expected) or (
                isinstance(expected, tuple) and {repr(got)} == {repr(item) for item in expected}
            ):
                seen["equal"] += 1
            elif isinstance(expected, tuple) and not SETTINGS[name].per_tool and equal_values(got, expected[0]):
                seen["near"] += 1  # a percent of a value per tool, where one value has to do: the first tool's
            elif name.startswith("cover.") and more_layers(name, profile.settings, master):
                seen["near"] += 1  # count and least thickness are both stated, and the one that asks for more is told
            else:
                assert name in near, (profile.name, name, got, expected)
                seen["near"] += 1
    assert seen["unsaid"] + seen["not at hand"] + seen["near"] < 0.06 * seen["equal"], seen


def more_layers(name: str, told: dict, master: dict) -> bool:
    """Whether the cover told has as many layers as the master's count and least thickness together ask for."""
    side = name.split(".")[1].split("_")[0]
    height, first = meant(master, "layer.height"), meant(master, "layer.first") if side == "lower" else None
    first = height if first is None else first
    count, thickness = master[f"cover.{side}_layers"], master[f"cover.{side}_thickness"]
    needed = max(count, 1 + max(0, -((first - thickness) // height)))
    if name.endswith("layers"):
        return told[name] == needed
    return told[name] == first + (needed - 1) * height


def atoms(lens: object) -> list[object]:
    several = getattr(lens, "atoms", None)
    return list(several) if several else [getattr(lens, "atom", None)]


def test_lineages_end() -> None:
    assert all(lineage(name)[-1] == name for name in SHEETS)
