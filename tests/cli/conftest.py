"""A quiet environment: no user tables, no colours, a known width."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.cli.run import DATA


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path_factory.mktemp("home")))
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("NO_COLOR", "BEADWISE_DEBUG", "TERM"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with copies of the test files, to work in."""
    for name in os.listdir(DATA):
        shutil.copy(os.path.join(DATA, name), tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path
