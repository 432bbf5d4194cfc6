"""Command code compared by what it makes the machine do, not by its text.

>>> values = {"code.commands": "word-basic"}
>>> same_code("code.start", "G28\\nM190 S60", "N1 g28 ; home\\r\\nN2 M190   S60.0", values)
True
>>> same_code("code.start", "G28\\nM190 S60", "G28\\n; M190 S60", values)
False
"""

from __future__ import annotations

from collections.abc import Mapping

from convert.model.value import Value
from convert.program import signature
from convert.rules.observed import SECTIONS, run_of
from convert.rules.setup import Setup


def same_code(name: str, one: str, two: str, values: Mapping[str, Value]) -> bool:
    """Whether two pieces of code make a machine with these values do the same; placeholders count by name."""
    if _settled(one) == _settled(two):
        return True
    rest = {key: value for key, value in values.items() if key not in SECTIONS}
    found = []
    for text in (one, two):
        run = run_of(Setup({**rest, name: text}))
        found.append(dict(signature(run)).get(name) if run is not None else None)
    return found[0] == found[1]


def _settled(text: str) -> str:
    """The text without what no machine reads: kinds of line ends, blanks at the end of lines."""
    return "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").rstrip("\n").split("\n"))
