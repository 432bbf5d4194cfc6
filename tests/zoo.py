"""The demo workshop, as tests use it."""

from __future__ import annotations

import os

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
CORPUS = os.path.join(ROOT, "corpus")
WORKSHOP = os.path.join(CORPUS, "workshop")


def folder(dialect: str) -> list[str]:
    """All files of the workshop in a dialect, in order."""
    place = os.path.join(WORKSHOP, dialect)
    return [os.path.join(place, name) for name in sorted(os.listdir(place))]


BUNDLES = {
    # one nozzle: outline with an excluded area, children of a base process, an abrasive filament
    "kestavo": ("kestavo c3", "kestavo base", "kestavo everyday", "kestavo fine", "house filament", "meadow", "flint"),
    # two nozzles: lists, one value per tool
    "orrindale": (
        "orrindale duo",
        "orrindale base",
        "orrindale everyday",
        "house filament",
        "meadow",
        "meadow with brook",
    ),
}


def bundle(dialect: str, machine: str) -> list[str]:
    """The files of one machine with some of its filaments and processes."""
    found = []
    for path in folder(dialect):
        stem = os.path.basename(path).partition(".")[0].replace("-", " ").lower()
        parts = [" ".join(part.split()) for part in os.path.basename(path).partition(".")[0].lower().split(" - ")]
        whole = parts[0].startswith(machine) and all(part in BUNDLES[machine] for part in parts)
        if (
            stem in BUNDLES[machine]
            or whole
            or (os.path.splitext(path)[1] in (".trug", ".csv", ".xml") and machine in stem)
        ):
            found.append(path)
    return found
