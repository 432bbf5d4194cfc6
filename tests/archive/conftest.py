"""A quiet environment, and one archive that the read-only tests share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from convert.archive.run import Summary, normalise
from tests.archive.generator import Truth, make


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path_factory.mktemp("home")))
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Truth, Summary]:
    """An archive, its catalogue, what is in it, and what the first run said. Not to be changed."""
    base: Any = tmp_path_factory.mktemp("shared")
    truth = make(str(base / "archive"), seed=3, families=4, size=25, zips=2)
    found = normalise(str(base / "archive"), str(base / "catalogue"))
    return base / "archive", base / "catalogue", truth, found
