"""Finds the data folders `mappings` and `schemas`.

In a checkout and in an editable install they stand beside the package; a wheel carries them inside it. This is the only
module that knows.
"""

from __future__ import annotations

import os

_HERE = os.path.dirname(os.path.abspath(__file__))


def folder(kind: str) -> str:
    """The folder that holds the shipped data of a kind, "mappings" or "schemas".

    >>> sorted(os.listdir(folder("schemas")))[0].endswith((".json", ".toml", ".tsv"))
    True
    """
    inside = os.path.join(_HERE, "_data", kind)
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(_HERE), kind)


def path(kind: str, name: str) -> str:
    """The full path of one shipped data file."""
    return os.path.join(folder(kind), name)


def read_bytes(kind: str, name: str) -> bytes:
    """The bytes of one shipped data file.

    >>> read_bytes("schemas", "settings.tsv").startswith(b"id")
    True
    """
    with open(path(kind, name), "rb") as file:
        return file.read()
