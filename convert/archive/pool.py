"""Where the per-file work runs: here, or in processes of its own (`cluster` is for other machines).

Results come back in the order of the work.

Workers are started afresh, not forked, so that none of them keeps the catalogue's lock; they heed no Ctrl-C of their
own, and end when the run that started them is gone.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Protocol, TypeVar

Work = TypeVar("Work")
Result = TypeVar("Result")

AHEAD = 3
"""Pieces of work that wait for each worker; more would only fill memory."""


class Engine(Protocol):
    """Whatever does pieces of work and gives the results in order."""

    def map(self, function: Callable[[Work], Result], work: Iterable[Work]) -> Iterator[Result]: ...

    def close(self, at_once: bool = False) -> None: ...


class Pool:
    """`jobs` workers; with one, the work is done in this process."""

    def __init__(self, jobs: int, prepare: Callable[..., None], arguments: tuple[Any, ...]) -> None:
        self.jobs = jobs
        self.executor: Any = None
        self.prepare, self.arguments = prepare, arguments
        self.ready = False

    def map(self, function: Callable[[Work], Result], work: Iterable[Work]) -> Iterator[Result]:
        """The results, in order."""
        if self.jobs == 1:
            for piece in work:
                if not self.ready:
                    self.prepare(*self.arguments)
                    self.ready = True
                yield function(piece)
            return
        yield from in_order(
            work,
            lambda piece: self._executor().submit(function, piece),
            lambda future: future.result(),
            lambda: AHEAD * self.jobs,
        )

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


def in_order(
    work: Iterable[Work], submit: Callable[[Work], Any], wait: Callable[[Any], Any], most: Callable[[], int]
) -> Iterator[Any]:
    """Results in the order of the work; only so much of it is taken that `most()` pieces are under way.

    >>> list(in_order(range(4), lambda piece: [piece], list.pop, lambda: 2))
    [0, 1, 2, 3]
    """
    waiting: deque[Any] = deque()
    for piece in work:
        waiting.append(submit(piece))
        while len(waiting) >= most():
            yield wait(waiting.popleft())
    while waiting:
        yield wait(waiting.popleft())


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
