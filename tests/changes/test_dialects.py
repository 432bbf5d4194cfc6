"""The comparison across dialects: what two dialects hold alike is alike, whichever of them says it.

Every ordered pair of shipped dialects, over the bundles of two machines of the workshop.
"""

from __future__ import annotations

import os
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from convert.api import Inputs, Session
from convert.changes.compare import TWINS
from convert.changes.difference import Difference
from tests.zoo import WORKSHOP, bundle

SESSION = Session()
DIALECTS = sorted(name for name in SESSION.registry.names() if os.path.isdir(os.path.join(WORKSHOP, name)))
PAIRS = [pytest.param(a, b, id=f"{a}-{b}") for a, b in product(DIALECTS, DIALECTS)]
MASTER = os.path.join(WORKSHOP, "master")
SETUP = ("kestavo-c3.toml", "meadow.toml")
WHOLE = frozenset(("exact", "converted", "derived", "made_explicit", "link_lost"))
"""Fates of values that arrive as they were."""


def master(process: str) -> Inputs:
    return SESSION.read([os.path.join(MASTER, name) for name in (*SETUP, f"kestavo-{process}.toml")], "master")


class Said:
    """A setup of the workshop said in a dialect and read back, with the settings that it holds exactly."""

    def __init__(self, dialect: str, process: str, place: Path) -> None:
        self.lossy: set[str] = set()
        if dialect == "master":  # its files inherit from others of the folder
            self.paths = [os.path.join(MASTER, name) for name in (*SETUP, f"kestavo-{process}.toml")]
            return
        made = SESSION.convert(master(process), dialect)
        assert not made.problems
        folder = place / f"{dialect}-{process}"
        folder.mkdir()
        for file in made.files:
            (folder / file.name).write_bytes(file.data)
        self.paths = [str(folder / file.name) for file in made.files]
        fates: dict[str, set[str]] = {}
        for entry in made.ledger.entries:
            names = entry.setting if isinstance(entry.setting, list | tuple) else [entry.setting]
            for name in names:
                fates.setdefault(str(name), set()).add(str(entry.fate))
        self.lossy = {name for name, found in fates.items() if not found <= WHOLE}

    def read(self) -> Inputs:
        inputs = SESSION.read(self.paths)
        assert not inputs.errors
        return inputs


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory):  # type: ignore[no-untyped-def]
    place = tmp_path_factory.mktemp("said")

    @cache
    def make(dialect: str, process: str) -> Said:
        return Said(dialect, process, place)

    return make


def told(found: Difference) -> dict[str, tuple[object, object]]:
    return {
        fact.setting: (fact.before_resolved, fact.after_resolved)
        for change, _ in found.changes
        for fact in change.group.facts
    }


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_a_setup_does_not_differ_from_itself(said, one: str, two: str) -> None:  # type: ignore[no-untyped-def]
    first, second = said(one, "everyday"), said(two, "everyday")
    found = SESSION.diff(first.read(), second.read(), attributed=False)
    assert found.compared > 60
    held = set(told(found)) - first.lossy - second.lossy
    both = {name for name in held if None not in told(found)[name]}
    assert both == set(), {name: told(found)[name] for name in both}
    if one == two:
        assert told(found) == {}
        assert found.same == []


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_another_dialect_changes_no_verdict(said, one: str, two: str) -> None:  # type: ignore[no-untyped-def]
    """Changes between two processes are the same in whatever dialects they are said, but for what one cannot say."""
    plain = told(SESSION.diff(master("everyday"), master("quick"), attributed=False))
    first, second = said(one, "everyday"), said(two, "quick")
    found = SESSION.diff(first.read(), second.read(), attributed=False)
    here = told(found)
    lossy = first.lossy | second.lossy
    for name in set(plain) & set(here) - lossy:
        if None not in here[name]:
            assert here[name] == pytest.approx(plain[name]), name
    missing = {name for name in set(plain) - set(here) - lossy if None not in plain[name]}
    silent = {one.setting for one in found.same} | {one.what for one in found.not_compared}
    assert missing <= silent, missing - silent
    added = {name for name in set(here) - set(plain) - lossy if None not in here[name]}
    added -= {thickness for thickness, count in TWINS.items() if count in plain}  # how these dialects say the count
    assert added == set(), {name: here[name] for name in added}


@pytest.mark.parametrize("dialect", DIALECTS)
def test_a_whole_folder_does_not_differ_from_itself(dialect: str) -> None:
    folder = os.path.join(WORKSHOP, dialect)
    found = SESSION.diff(SESSION.read([folder]), SESSION.read([folder]))
    assert found.compared > 500
    assert found.changes == []
    assert found.same == []
    assert found.unpaired == []
    assert found.worst() is None


def test_the_bundles_of_two_machines_pair_by_name() -> None:
    paths = [bundle("trug", machine) for machine in ("kestavo", "orrindale")]
    found = SESSION.diff(SESSION.read([*paths[0], *paths[1]]), SESSION.read([*paths[1], *paths[0]]))
    assert found.unpaired == []
    assert found.changes == []
