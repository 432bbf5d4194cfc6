"""Where made files go: to stdout, to one file, or into a folder."""

from __future__ import annotations

import os
from collections.abc import Sequence

from convert.cli.screen import Screen
from convert.dialects.conversion import OutputFile
from convert.errors import BeadwiseError, Location, OutputError, UsageError
from convert.report.grid import count
from convert.report.visible import shorten

NAMED = 6
"""File names that an error message lists."""


def targets(made: Sequence[OutputFile], out: str | None) -> list[str] | None:
    """The path for each file, or None for stdout. UsageError where one place has to take several files."""
    if out is None:
        if len(made) > 1:
            hint = "give --out FOLDER, or pick profiles with --profile"
            raise UsageError(f"{_listed(made)} would come out, and stdout takes one", hint=hint)
        return None
    ends = out.endswith(("/", os.sep))
    if os.path.isdir(out) or ends or len(made) > 1:
        if os.path.lexists(out) and not os.path.isdir(out):
            says = f"{_listed(made)} would come out, and this is no folder" if not ends else "is no folder"
            raise UsageError(says, Location(out), "give --out another name")
        return [os.path.join(out, _plain_name(file.name)) for file in made]
    return [out]


def _listed(made: Sequence[OutputFile]) -> str:
    names = ", ".join(shorten(file.name, 40) for file in made[:NAMED])
    more = f" and {len(made) - NAMED} more" if len(made) > NAMED else ""
    return f"{count(len(made), 'file')} ({names}{more})"


def _plain_name(name: str) -> str:
    """The name as it is, if it names a file in the folder. Names come from files, so they may be hostile."""
    if name in ("", ".", "..") or any(char in "/\\\0" for char in name) or (os.name == "nt" and ":" in name):
        raise OutputError(f"the name {shorten(name)!r} leads out of the folder", None, "rename the profile")
    return name


def deliver(
    screen: Screen, made: Sequence[OutputFile], paths: Sequence[str] | None, *, replace: bool, dry_run: bool
) -> list[str]:
    """Write the files; says for each where it went. What is refused is told on stderr and in the exit status."""
    from convert.files import write_bytes

    if paths is None:
        for file in made:
            if not dry_run:
                screen.data(file.data)
        return [f"{file.name}: {'would go' if dry_run else 'gone'} to standard output" for file in made]
    told = []
    for file, path in zip(made, paths, strict=True):
        try:
            if dry_run:
                if os.path.lexists(path) and not replace:
                    raise OutputError(
                        "exists already", Location(path), "give --replace to overwrite it, or another --out"
                    )
            else:
                write_bytes(path, file.data, replace)
        except BeadwiseError as error:
            screen.fail(error)
            told.append(f"{path}: not written")
        else:
            told.append(f"{path}: {'would be written' if dry_run else 'written'}, {count(len(file.data), 'byte')}")
    return told
