"""Tables are read on the first look, and are then there as a whole: no thread sees a part that another one reads."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module

import pytest


@pytest.mark.parametrize(
    ("module", "name"),
    [
        ("convert.physics.limits", "limits"),
        ("convert.physics.polymers", "spans"),
        ("convert.changes.relevant", "reads"),
    ],
)
def test_another_thread_looks_meanwhile(module: str, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    place = import_module(module)
    look, rows = getattr(place, name), place.rows
    seen: list[int] = []

    def slowly(*arguments: str) -> Iterator[list[str]]:
        for at, row in enumerate(rows(*arguments)):
            if at == 3:
                monkeypatch.setattr(place, "rows", rows)
                with ThreadPoolExecutor(1) as other:
                    seen.append(other.submit(lambda: len(look())).result())
            yield row

    look.cache_clear()
    monkeypatch.setattr(place, "rows", slowly)
    assert [len(look())] == seen
