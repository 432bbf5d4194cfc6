"""A quiet environment: no user tables, no colours, a known width."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def environment(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("BEADWISE_HOME", str(tmp_path_factory.mktemp("home")))
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("NO_COLOR", "BEADWISE_DEBUG", "TERM"):
        monkeypatch.delenv(name, raising=False)
