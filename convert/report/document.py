"""JSON results as text."""

from __future__ import annotations


def encode(document: object) -> bytes:
    r"""A document as UTF-8, two blanks of indentation, members in the order given, a line end at the end.

    >>> encode({"beadwise": "tables/1", "tables": []})
    b'{\n  "beadwise": "tables/1",\n  "tables": []\n}\n'
    """
    from convert.model.jsontext import dumps

    return dumps(document).encode() + b"\n"
