"""What goes to a reader of files and comes back from it, as plain tuples, texts and numbers; light to import."""

from __future__ import annotations

from typing import NamedTuple

READ, REFUSED, SKIPPED = "read", "refused", "skipped"

Cell = int | float | str | None
"""What a column of the catalogue holds."""


class Meaning(NamedTuple):
    """What a profile means. `row` has the columns of `meaning.columns()`; `scopes` is bits in the order of SCOPES."""

    digest: bytes
    body: str
    scopes: int
    size: int
    row: tuple[Cell, ...]


class Portrait(NamedTuple):
    """One profile of a file.

    `name` is None where the file's own name is the profile's. `own` is the text of what the profile says itself, for
    those with parents. `added` are settings of the meaning that the profile does not say itself (defaults, derived).
    `parents` are (name, line, column). `outside` tells that a parent has to be looked for in other files; then there
    is no meaning yet.
    """

    name: str | None
    scopes: int
    meaning: Meaning | None
    labels: tuple[Cell, ...]
    own: str | None
    added: tuple[str, ...]
    parents: tuple[tuple[str, int, int], ...]
    broken: tuple[str, ...]
    line: int
    outside: bool


class Digest(NamedTuple):
    """What became of one file: its hash, read or refused or skipped and why, its dialect and its profiles."""

    sha: bytes
    status: str
    why: str
    dialect: str
    portraits: tuple[Portrait, ...] = ()


class Same(NamedTuple):
    """The file holds what it held before."""

    sha: bytes


Outcome = Digest | Same


class Task(NamedTuple):
    """One file to read: its path with "/" behind the "!" of a zip, where its bytes are, and the hash known from before.

    `zip` is the real path of the zip that holds it; `real` is then its place there.
    """

    path: str
    real: str
    zip: str
    known: bytes
