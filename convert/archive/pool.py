"""Where the per-file work runs: here, or in processes of its own. Results come back in the order of the work.

Workers are started afresh, not forked, so that none of them keeps the catalogue's lock; they heed no Ctrl-C of their
own, and end when the run that started them is gone.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from typing import Any, TypeVar

Work = TypeVar("Work")
Result = TypeVar("Result")

AHEAD = 3
"""Pieces of work that wait for each worker; more would only fill memory."""


class Pool:
    """`jobs` workers; with one, the work is done in this process."""

    def __init__(self, jobs: int, prepare: Callable[..., None], arguments: tuple[Any, ...]) -> None:
        self.jobs = jobs
        self.executor: Any = None
        self.prepare, self.arguments = prepare, arguments
        self.ready = False

    def map(self, function: Callable[[Work], Result], work: Iterable[Work]) -> Iterator[Result]:
        """The results, in order. Only so much work is taken as is needed to keep the workers busy."""
        if self.jobs == 1:
            for piece in work:
                if not self.ready:
                    self.prepare(*self.arguments)
                    self.ready = True
                yield function(piece)
            return
        waiting: deque[Any] = deque()
        for piece in work:
            waiting.append(self._executor().submit(function, piece))
            if len(waiting) >= AHEAD * self.jobs:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()

    def _executor(self) -> Any:
        if self.executor is None:
            from concurrent.futures import ProcessPoolExecutor
            from multiprocessing import get_context

            self.executor = ProcessPoolExecutor(
                self.jobs, get_context("spawn"), _start, (os.getpid(), self.prepare, self.arguments)
            )
        return self.executor

    def close(self, at_once: bool = False) -> None:
        """End the workers; `at_once` does not wait for what they are doing."""
        if self.executor is None:
            return
        processes = list((getattr(self.executor, "_processes", None) or {}).values())
        self.executor.shutdown(wait=not at_once, cancel_futures=True)
        if at_once:
            for process in processes:
                process.terminate()
        self.executor = None


def _start(parent: int, prepare: Callable[..., None], arguments: tuple[Any, ...]) -> None:
    import signal
    from threading import Thread

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_watch, args=(parent,), daemon=True).start()
    prepare(*arguments)


def _watch(parent: int) -> None:
    """End this worker when its parent is gone: a killed run leaves nobody behind."""
    from time import sleep

    while os.getppid() == parent or os.name == "nt":
        sleep(0.5)
    os._exit(1)
