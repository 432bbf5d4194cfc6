"""Progress of long work on stderr: how much, how fast, how long yet. Nothing is shown in the first second."""

from __future__ import annotations

import sys
from collections.abc import Callable
from threading import Thread
from time import monotonic

PATIENCE = 1.0
TICK = 0.2


class Progress:
    """One line on a terminal, rewritten in place. `estimate` counts what there is to do; it runs beside the work."""

    def __init__(self, shown: bool, estimate: Callable[[], int]) -> None:
        self.shown, self.estimate = shown, estimate
        self.start("reading", -1)

    def start(self, what: str, total: int) -> None:
        """Begin a stage; a total of 0 is not known, -1 is counted if the work takes long."""
        self.what, self.total, self.began, self.last, self.width = what, total, monotonic(), 0.0, 0

    def tell(self, done: int) -> None:
        """So much is done."""
        now = monotonic()
        if not self.shown or now - self.began < PATIENCE or now - self.last < TICK:
            return
        self.last = now
        if self.total == -1:
            self.total = 0
            Thread(target=self._count, daemon=True).start()
        text = line(self.what, done, self.total, now - self.began)
        self.clear()
        self.width = len(text)
        sys.stderr.write("\r" + text)
        sys.stderr.flush()

    def _count(self) -> None:
        self.total = self.estimate()

    def clear(self) -> None:
        """Take the line away."""
        if self.width:
            sys.stderr.write("\r" + " " * self.width + "\r")
            sys.stderr.flush()
            self.width = 0


def line(what: str, done: int, total: int, seconds: float) -> str:
    """The line.

    >>> line("reading", 500, 2000, 2.0), line("reading", 500, 0, 2.0)
    ('reading: 500 of about 2000, 250 a second, 6 s left', 'reading: 500, 250 a second')
    """
    rate = done / seconds if seconds else 0.0
    made = f"{what}: {done}" + (f" of about {total}" if total > done else "") + f", {rate:.0f} a second"
    if total > done and rate:
        left = (total - done) / rate
        made += f", {left:.0f} s left" if left < 120 else f", {left / 60:.0f} min left"
    return made
