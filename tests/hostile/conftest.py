"""A quiet environment in an empty folder of one's own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Work in an empty folder, without user tables, at a known width."""
    (tmp_path / "home").mkdir()
    (tmp_path / "work").mkdir()
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("NO_COLOR", "BEADWISE_DEBUG", "TERM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.chdir(tmp_path / "work")
    return tmp_path / "work"
