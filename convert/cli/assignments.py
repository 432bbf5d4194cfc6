"""What `set` is told to do: SETTING=VALUE, checked against the schema before any file is touched."""

from __future__ import annotations

from collections.abc import Sequence

from convert.errors import BeadwiseError, UsageError
from convert.model.check import explain, is_good
from convert.model.phrase import parse_phrase
from convert.model.resolve import bases
from convert.model.setting import Setting, setting
from convert.model.value import Value
from convert.report.visible import shorten

Assignments = dict[str, Value | None]


def parse(words: Sequence[str]) -> tuple[Assignments, list[str]]:
    """Assignments and files of the command's arguments. An empty value (None) takes the setting away.

    A word with "=" is an assignment, unless a slash stands before it: ./a=b.ini is a file.
    """
    assigned: Assignments = {}
    files = []
    for word in words:
        name, equals, text = word.partition("=")
        if not equals or "/" in name or "\\" in name:
            files.append(word)
            continue
        try:
            known = setting(name)
        except UsageError as error:
            hint = f"{error.hint} (a file of that name is ./{shorten(word)})"
            raise UsageError(error.says, None, hint) from None
        if name in assigned:
            raise UsageError(f"{name} is given twice", hint="give it once")
        assigned[name] = value(text, known) if text.strip() else None
    if not assigned:
        raise UsageError(
            "there is nothing to set", hint="write SETTING=VALUE before the files, such as layer.height=0.2mm"
        )
    if not files:
        raise UsageError("no file is named", hint="name the files to change; '-' is standard input")
    return assigned, files


def value(text: str, known: Setting) -> Value:
    """The value that a phrase says, if the setting may have it. UsageError, with the likely slip, otherwise.

    >>> value("9000 mm/s", setting("speed.outer_wall"))
    Traceback (most recent call last):
    convert.errors.UsageError: speed.outer_wall is 9000 mm/s, allowed 0.1 to 5000; 9000 looks like mm/min: 150 mm/s
    """
    try:
        found = parse_phrase(text, known)
    except BeadwiseError as error:
        raise UsageError(error.says, None, error.hint) from None
    if not is_good(known, found):
        says, hint = explain(known, found)
        raise UsageError(says, None, hint)
    if known.id in bases(found):
        raise UsageError(f"{known.id} cannot be a percent of itself", None, f"name another {known.kind}")
    return found
