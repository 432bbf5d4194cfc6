"""Placeholders in command code: `{setting.id}` stands for the setting's value, `{{setting.id}}` for itself.

Simple expansion of RFC 6570 and nothing more. Only a known id makes a placeholder; all other braces are text. In a run
of braces around a known id, one pair makes a placeholder, two or more pairs stand for one pair fewer of literal braces,
so any literal text can be written: `unprotect(protect(text, known), known) == text`.

>>> placeholders("M109 S{heat.nozzle} ; {{heat.bed}} {x}", {"heat.nozzle", "heat.bed"})
[((6, 19), 'heat.nozzle')]
>>> expand("M109 S{heat.nozzle} ; {{heat.bed}} {x}", {"heat.nozzle": 215.0, "heat.bed": 60})
'M109 S215 ; {heat.bed} {x}'
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping

# The look-behind keeps long runs of braces linear: a run is tried once, from its start.
_RUN = re.compile(r"(?<!\{)(\{++)([A-Za-z_][A-Za-z0-9_.-]*+)(\}++)")
Span = tuple[int, int]


def placeholders(text: str, known: Collection[str] | None = None) -> list[tuple[Span, str]]:
    """The placeholders of a text as ((start, end), id); without `known`, whatever looks like one."""
    found = []
    for run in _RUN.finditer(text):
        if min(len(run[1]), len(run[3])) == 1 and (known is None or run[2] in known):
            found.append(((run.start(2) - 1, run.end(2) + 1), run[2]))
    return found


def expand(text: str, values: Mapping[str, object], known: Collection[str] | None = None, tool: int = 0) -> str:
    """The text with the values in its placeholders and the doubled braces undone.

    A list gives the value of `tool` (the last one where the list is short). An id without a value stays as it is.
    """
    names = values if known is None else known

    def value(ident: str) -> str | None:
        return written(values[ident], tool) if ident in values else None

    return _rewrite(text, names, value, -1)


def protect(text: str, known: Collection[str]) -> str:
    """Writes a literal text so that nothing in it is a placeholder.

    >>> protect("{heat.bed} {x}", {"heat.bed"})
    '{{heat.bed}} {x}'
    """
    return _rewrite(text, known, lambda ident: "{{" + ident + "}}", 1)


def unprotect(text: str, known: Collection[str]) -> str:
    """The literal text that `protect` was given; placeholders proper stay."""
    return _rewrite(text, known, lambda ident: None, -1)


def _rewrite(text: str, known: Collection[str], single: Callable[[str], str | None], step: int) -> str:
    """Replaces single pairs by `single(id)` (None: leaves them) and adds `step` pairs where there are more."""

    def change(run: re.Match[str]) -> str:
        left, ident, right = run.groups()
        if ident not in known:
            return run[0]
        pairs = min(len(left), len(right))
        if pairs == 1:
            inner = single(ident)
            return run[0] if inner is None else left[1:] + inner + right[1:]
        return "{" * (len(left) + step) + ident + "}" * (len(right) + step)

    return _RUN.sub(change, text) if "{" in text else text


def written(value: object, tool: int = 0) -> str:
    """A value as command code writes it: plain decimals, 15 significant digits, 1 and 0 for flags.

    >>> written(0.1 + 0.2), written(1e-7), written([205, 240], 1), written(True), written("glass")
    ('0.3', '0.0000001', '240', '1', 'glass')
    """
    if isinstance(value, list | tuple):
        return written(value[min(tool, len(value) - 1)], 0) if value and _flat(value) else ""
    if isinstance(value, bool):
        return "1" if value else "0"
    if isinstance(value, str) or value is None:
        return value or ""
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        return str(value)
    text = f"{number:.15g}"
    if "e" in text:
        text = f"{number:.20f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _flat(values: list[object] | tuple[object, ...]) -> bool:
    return not any(isinstance(value, list | tuple) for value in values)
