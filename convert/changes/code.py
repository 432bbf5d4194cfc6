"""Command code compared by what it makes the machine do, not by its text.

>>> old = {"code.start": "G28\\nM190 S60", "code.commands": "word-basic"}
>>> same_code("code.start", old, {**old, "code.start": "N1 g28 ; home\\r\\nN2 M190   S60.0"})
True
>>> same_code("code.start", old, {**old, "code.start": "G28\\n; M190 S60"})
False
"""

from __future__ import annotations

from collections.abc import Mapping

from convert.model.value import Value
from convert.program import signature
from convert.rules.observed import SECTIONS, run_of
from convert.rules.setup import Setup


def same_code(name: str, old: Mapping[str, Value], new: Mapping[str, Value]) -> bool:
    """Whether a piece of code makes the machine do the same on both sides; placeholders count by name."""
    one, two = old.get(name), new.get(name)
    if not isinstance(one, str) or not isinstance(two, str):
        return False
    if _settled(one) == _settled(two):
        return True
    rest = {key: value for key, value in new.items() if key not in SECTIONS}
    first, second = (run_of(Setup({**rest, name: text})) for text in (one, two))
    if first is None or second is None:
        return first is second
    return dict(signature(first)).get(name) == dict(signature(second)).get(name)


def _settled(text: str) -> str:
    """The text without what no machine reads: kinds of line ends, blanks at the end of lines."""
    return "\n".join(line.rstrip() for line in text.replace("\r\n", "\n").rstrip("\n").split("\n"))
