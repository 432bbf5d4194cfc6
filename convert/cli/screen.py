"""Where a command's words go: results to stdout, what accompanies them to stderr; and the exit status they make."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from convert.errors import BeadwiseError, OutputError, Problem
from convert.report.grid import WIDTH
from convert.report.visible import visible

if TYPE_CHECKING:
    from convert.api import Inputs

STYLES = {"head": {"bold": True}, "good": {"fg": "green"}, "warn": {"fg": "yellow"}, "bad": {"fg": "red"}}
"""Role -> how it looks on a terminal."""
PATIENCE = 1.0
"""Seconds of work before there is a sign of it."""


class Screen:
    """The output of one command."""

    def __init__(self, json: bool = False, quiet: bool = False, colour: bool = True) -> None:
        self.json, self.quiet = json, quiet
        self.colour = colour and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"
        self.statuses: set[int] = set()

    # ---- results

    def result(self, text: str) -> None:
        """Text of the result, to stdout."""
        if sys.stdout is None:
            raise OutputError("standard output is closed")
        sys.stdout.write(text if text.endswith("\n") else text + "\n")

    def data(self, data: bytes) -> None:
        """Bytes of the result, to stdout, unchanged."""
        if sys.stdout is None:
            raise OutputError("standard output is closed")
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()

    def document(self, document: object) -> None:
        """A JSON result, to stdout, in UTF-8 whatever the terminal's encoding."""
        from convert.report.document import encode

        self.data(encode(document))

    # ---- what accompanies them

    def say(self, text: str) -> None:
        """Text for people beside the result, to stderr; not with --quiet."""
        if not self.quiet and sys.stderr is not None:
            sys.stderr.write(text if text.endswith("\n") else text + "\n")

    def notes(self, problems: Iterable[Problem], more: str = "", most: int = 12) -> None:
        """What is worth knowing about inputs that could be read; `more` tells where to find what is folded."""
        lines = list(dict.fromkeys(f"note: {visible(str(problem))}" for problem in problems))
        for line in lines[:most]:
            self.say(line)
        if len(lines) > most:
            self.say(f"note: {len(lines) - most} more like these" + (f"; {more}" if more else ""))

    def warn(self, problems: Iterable[Problem], most: int = 12) -> None:
        """What is wrong with inputs that could be read; it is no accompaniment, so --quiet does not take it away."""
        lines = list(dict.fromkeys(f"beadwise: {visible(str(problem))}" for problem in problems))
        if len(lines) > most:
            lines = [*lines[:most], f"beadwise: {len(lines) - most} more like these; 'show' lists all"]
        for line in lines if sys.stderr is not None else ():
            print(line, file=sys.stderr, flush=True)

    def fail(self, error: BeadwiseError | Problem, status: int | None = None) -> None:
        """Say what went wrong and go on; the exit status remembers it."""
        if status is None:
            status = error.exit_code if isinstance(error, BeadwiseError) else OutputError.exit_code
        self.statuses.add(status)
        if sys.stderr is not None:
            print(f"beadwise: {visible(str(error))}", file=sys.stderr, flush=True)

    def fail_inputs(self, inputs: Inputs) -> None:
        """Say which files cannot be used: those that cannot be read, and those of no known dialect."""
        for one in inputs.unusable():
            self.fail(one)

    def status(self) -> int:
        """The exit status so far."""
        from convert.cli.main import gravest

        return gravest(self.statuses)

    # ---- how it looks

    def paint(self, text: str, role: str) -> str:
        """Colours for stdout, if it is a terminal."""
        return self._painted(text, role, sys.stdout)

    def paint_aside(self, text: str, role: str) -> str:
        """Colours for stderr, if it is a terminal."""
        return self._painted(text, role, sys.stderr)

    def _painted(self, text: str, role: str, stream: object) -> str:
        if not self.colour or role not in STYLES or not getattr(stream, "isatty", bool)():
            return text
        import click

        return click.style(text, **STYLES[role])  # type: ignore[arg-type]

    @property
    def width(self) -> int:
        """Columns to fill: the terminal's, at most WIDTH."""
        try:
            columns = int(os.environ.get("COLUMNS") or os.get_terminal_size(2).columns)
        except (ValueError, OSError):
            return WIDTH
        return max(40, min(columns, WIDTH)) if columns > 0 else WIDTH

    @contextmanager
    def working(self, what: str) -> Iterator[None]:
        """Tell on a terminal what goes on, once it has taken more than a second; the line goes away at the end."""
        if self.quiet or sys.stderr is None or not sys.stderr.isatty():
            yield
            return
        from threading import Event, Thread

        done = Event()

        def tell() -> None:
            passed = 0.0
            while not done.wait(PATIENCE):
                passed += PATIENCE
                sys.stderr.write(f"\r{what} ... {passed:.0f} s")
                sys.stderr.flush()
            if passed:
                sys.stderr.write("\r" + " " * (len(what) + 12) + "\r")
                sys.stderr.flush()

        teller = Thread(target=tell, daemon=True)
        teller.start()
        try:
            yield
        finally:
            done.set()
            teller.join()
