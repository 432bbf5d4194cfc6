"""The demo workshop, as tests use it."""

from __future__ import annotations

import os

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
CORPUS = os.path.join(ROOT, "corpus")
WORKSHOP = os.environ.get("WS") or os.path.join(CORPUS, "workshop")


def bundle(dialect: str) -> list[str]:
    """All files of the workshop in a dialect, in order."""
    folder = os.path.join(WORKSHOP, dialect)
    return [os.path.join(folder, name) for name in sorted(os.listdir(folder))]
