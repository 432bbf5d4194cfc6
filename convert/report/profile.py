"""A canonical profile, with where each value comes from: for people, and as the show/1 result."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from convert.errors import BeadwiseError
from convert.model.codec import profile_to_json, value_to_json
from convert.model.profile import Carried, Origin, Profile
from convert.model.resolve import bases, resolve
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value
from convert.report.grid import WIDTH, Paint, count, grid, paragraph, plain
from convert.report.values import spoken
from convert.report.visible import shorten, visible

CODE_LINES = 12
"""Lines of command code that the table shows; JSON has all."""
CARRIED = 12
"""Carried keys that the table shows."""


def table(
    profile: Profile,
    dialect: str,
    path: str,
    context: Mapping[str, Value],
    *,
    width: int = WIDTH,
    paint: Paint = plain,
) -> str:
    """The profile as a table, by scope. `context` holds the values of the whole setup, for relations to other files."""
    scopes = " + ".join(profile.scopes) or "no scope"
    lines = [paint(visible(profile.name), "head") + f"  {scopes}, {dialect}, {visible(path)}"]
    parents = {
        (o.source, o.file): None for o in map(profile.origins.get, profile.settings) if o and o.how == "inherited"
    }
    if parents:
        named = (name if file == path else f"{name} ({file.rpartition('/')[2]})" for name, file in parents)
        lines.append(paragraph(visible(f"inherits from {', '.join(named)}"), width=width, indent=2))
    for scope in SCOPES:
        names = [name for name in SETTINGS if SETTINGS[name].scope == scope and name in profile.settings]
        if names:
            rows = [
                [name, value(profile.settings[name], name, context), place(profile.origins.get(name), path)]
                for name in names
            ]
            lines += ["", grid(rows, [scope, "value", "where from"], width=width, indent=2, whole=[0], paint=paint)]
    carried = [key for keys in profile.carried.values() for key in keys]
    if carried:
        lines += ["", f"  carried along word for word: {count(len(carried), 'key')}"]
        lines.append(carried_table(carried, width))
    if not profile.settings and not carried:
        lines += ["", "  nothing in it"]
    return "\n".join(lines)


def carried_table(carried: Sequence[Carried], width: int = WIDTH, most: int = CARRIED) -> str:
    """Keys as they stand in the file."""
    rows = [[visible("/".join((*key.path, key.key))), shorten(key.text)] for key in carried[:most]]
    text = grid(rows, width=width, indent=4)
    left = len(carried) - len(rows)
    return text + (f"\n    ... and {left} more; --format json lists all" if left else "")


def value(stated: Value, name: str, context: Mapping[str, Value]) -> str:
    """The value in words; a relation with what it comes to."""
    if SETTINGS[name].kind == "code" and isinstance(stated, str):
        lines = [visible(line) for line in stated.split("\n")]
        more = len(lines) - CODE_LINES
        return "\n".join([*lines[:CODE_LINES], *([f"... and {count(more, 'line')} more"] if more > 0 else [])])
    text = visible(spoken(stated, name))
    if not bases(stated):
        return text
    found = resolved(name, context)
    return f"{text} = {spoken(found, name)}" if found is not None else f"{text} (not known here)"


def resolved(name: str, context: Mapping[str, Value]) -> Value | None:
    """What a relation comes to, or None if that cannot be told."""
    try:
        return resolve(context, name)
    except BeadwiseError:
        return None


def place(origin: Origin | None, path: str) -> str:
    """Where a value comes from, in few words; the profile itself stands in the file `path`.

    >>> place(Origin("inherited", "a/base.toml", 7, "x", "Base"), "a/fine.toml")
    'base.toml:7'
    """
    if origin is None:
        return ""
    if origin.how == "default":
        return visible(f"assumed by {origin.source}")
    if origin.how == "derived" and origin.line is None:
        return visible(f"derived from {origin.source}")
    folder = path[: path.rfind("/") + 1]
    file = origin.file.removeprefix(folder)
    spot = file if origin.line is None else f"{file}:{origin.line}"
    if origin.file == path:
        spot = f"line {origin.line}" + (f", from {origin.source}" if origin.how == "inherited" else "")
    return visible(spot if origin.how in ("own", "inherited") else f"{origin.how} {origin.source}, {spot}")


def document(profile: Profile, dialect: str | None, context: Mapping[str, Value]) -> dict[str, Any]:
    """The profile of a show/1 result: the canonical profile with its dialect, relations resolved, origins."""
    made = profile_to_json(profile)
    made.pop("layouts", None)
    settings = made["settings"]
    for name, item in settings.items():
        if bases(profile.settings[name]):
            found = resolved(name, context)
            if found is not None:
                item["resolved"] = value_to_json(found, SETTINGS[name])
        origin = profile.origins.get(name)
        if origin is not None:
            item["origin"] = {"how": origin.how, "file": origin.file, "line": origin.line, "key": origin.key}
            if origin.source:
                item["origin"]["source"] = origin.source
    return {"beadwise": made.pop("beadwise"), "dialect": dialect, **made}
