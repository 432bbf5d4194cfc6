"""JSON results as text."""

from __future__ import annotations

from typing import Any

from convert.errors import BeadwiseError, Problem


def encode(document: object) -> bytes:
    r"""A document as UTF-8, members in the order given, indented by two blanks where one line is too short.

    >>> encode({"beadwise": "tables/1", "tables": []})
    b'{"beadwise": "tables/1", "tables": []}\n'
    """
    from convert.model.jsontext import dumps

    return dumps(document).encode() + b"\n"


def problem(found: Problem | BeadwiseError) -> dict[str, Any]:
    """A problem or error as a member of a JSON result."""
    where = found.where
    return {
        "file": where.path if where else None,
        "line": where.line if where else None,
        "column": where.column if where else None,
        "says": found.says,
        "hint": found.hint,
    }
