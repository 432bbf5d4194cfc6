"""What command code is for, by its commands: RS-274 and the common words of machines (schemas/commands.tsv)."""

from __future__ import annotations

import re

OPENS = frozenset(("G28", "M109", "M190", "M191", "M116"))
"""Homing, and waiting for heat."""
CLOSES = frozenset(("M18", "M84", "M81"))
"""Motors or power off."""
FITS, CONTRADICTS, BARE = 0.4, -0.5, -0.15
"""What it is worth that the commands are those of the purpose, of another one, or of none."""
_WORD = re.compile(r"(?:^|\\n|\n)\s*([GMgm]\d+)\b")
_COLD = re.compile(r"(?:^|\\n|\n)\s*[Mm](?:104|140|141)\b[^\n;\\]*\b[Ss]0+\b")


def purpose(text: str) -> str:
    """ "start", "end", or "" where the commands tell neither.

    >>> purpose("G28\\nM190 S60"), purpose("M104 S0\\nM84"), purpose("G1 Z2")
    ('start', 'end', '')
    """
    words = {word.upper() for word in _WORD.findall(text)}
    opens, closes = bool(words & OPENS), bool(words & CLOSES) or bool(_COLD.search(text))
    return "" if opens == closes else "start" if opens else "end"


def fits(setting: str, texts: list[str]) -> float:
    """How well the commands suit a setting of command code."""
    said = {purpose(text) for text in texts}
    asked = {"code.start": "start", "code.end": "end"}.get(setting, "")
    if len(said) != 1:
        return 0.0
    told = said.pop()
    if told == asked:
        return FITS if asked else 0.0
    return CONTRADICTS if told else BARE
