"""A Dask cluster as an engine: pieces of work go through its client, results come back in the order of the work.

The cluster is somebody else's: it is neither started nor stopped here, and workers may come and go. A piece whose
worker dies is done again by another one, so what is sent must be pure (see `remote`). The client itself is asked, not
the executor that it offers: a failure that cannot be unpacked here never reaches the executor's futures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from time import monotonic
from typing import Any

from convert.archive.pool import AHEAD, Result, Work, in_order
from convert.errors import Location, NothingDone, OutputError, UsageError

SCHEME = "dask://"
PATIENCE = 10.0
"""Seconds to wait for the scheduler, and for a first worker."""
ALONE = 30.0
"""Seconds without any worker before a run gives up; it can be taken up again."""
TICK = 1.0
"""Seconds between looks at a cluster that is waited for."""


def parse(engine: str) -> str:
    """The scheduler's address. UsageError if an engine is none of ours.

    >>> parse("dask://scheduler.example:8786"), parse("dask://tls://scheduler.example:8786")
    ('scheduler.example:8786', 'tls://scheduler.example:8786')
    """
    place = engine.removeprefix(SCHEME)
    port = place.rpartition(":")[2]
    if not engine.startswith(SCHEME) or place == port or not port.isdecimal():
        raise UsageError(f"{engine[:80]!r} is no engine", hint=f"write {SCHEME}HOST:PORT, the address of the scheduler")
    return place


class Cluster:
    """A connection to a cluster. UsageError without the packages; NothingDone if it is not there or has no workers."""

    def __init__(self, engine: str) -> None:
        self.place = parse(engine)
        self.client: Any = None
        self._under_way: set[Any] = set()
        self._slots, self._looked = 0, 0.0
        try:
            import dask.config
            from distributed import Client
        except ImportError:
            hint = "install the extra: pip install 'beadwise[dask]'"
            raise UsageError("--engine dask://... needs the packages dask and distributed", hint=hint) from None
        _hush()
        dask.config.set({"distributed.admin.large-graph-warning-threshold": "1GB"})  # one file may have 32 MB
        hint = f"is '{SCHEME}{self.place}' the address of its scheduler, and is it running?"
        try:
            self.client = Client(self.place, timeout=PATIENCE, set_as_default=False)
            self.client.wait_for_workers(1, timeout=PATIENCE)
        except TimeoutError:
            what = "cannot be reached" if self.client is None else "has no workers"
            self.close()
            raise NothingDone(f"the cluster {what} within {PATIENCE:.0f} s", Location(self.place), hint) from None
        except (OSError, ValueError, RuntimeError) as error:
            self.close()
            raise NothingDone(f"the cluster cannot be reached: {short(error)}", Location(self.place), hint) from None

    def each(self, function: Callable[[], Any]) -> dict[str, Any]:
        """What a function gives on each worker, by the worker's address; errors are values too."""
        found: dict[str, Any] = self.client.run(function, on_error="return")
        return found

    def map(self, function: Callable[[Work], Result], work: Iterable[Work]) -> Iterator[Result]:
        """The results, in order. OutputError if the cluster is lost on the way."""
        return in_order(work, lambda piece: self._submit(function, piece), self._wait, self._most)

    def _submit(self, function: Callable[[Work], Result], piece: Work) -> Any:
        future = self.client.submit(function, piece, pure=False)
        self._under_way.add(future)
        return future

    def _most(self) -> int:
        """Pieces under way: some for each thread of the cluster, as many as it has now."""
        now = monotonic()
        if now - self._looked > TICK:
            self._looked = now
            self._slots = sum(self._workers().values())
        return AHEAD * max(1, self._slots)

    def _workers(self) -> dict[str, int]:
        """Threads of each worker; none if nobody answers."""
        try:
            found: dict[str, int] = self.client.nthreads()
        except (OSError, RuntimeError):
            return {}
        return found

    def _wait(self, future: Any) -> Any:
        import asyncio
        from concurrent.futures import CancelledError

        from distributed import KilledWorker

        alone, patience = monotonic(), TICK
        while True:
            try:
                found = future.result(timeout=patience)
                self._under_way.discard(future)
                return found
            except TimeoutError:
                if future.status == "error":
                    raise  # the work's own
                if future.status == "finished":  # in this moment, or its result is still on the way
                    if patience == ALONE:
                        raise self._lost(f"a result has not come over within {ALONE:.0f} s") from None
                    patience = ALONE
                elif self.client.status != "running":
                    raise self._lost("the scheduler is gone") from None
                elif self._workers():
                    alone = monotonic()
                elif monotonic() - alone > ALONE:
                    raise self._lost(f"it has had no worker for {ALONE:.0f} s") from None
            except (CancelledError, asyncio.CancelledError, KilledWorker) as error:
                raise self._lost(short(error) or "the work was cancelled") from None

    def _lost(self, why: str) -> OutputError:
        hint = "what is in the catalogue is sound; see to the cluster and run again"
        return OutputError(f"the cluster cannot go on: {why}", Location(self.place), hint)

    def close(self, at_once: bool = False) -> None:
        """Leave the cluster; `at_once` takes back what it has not done."""
        if self.client is None:
            return
        if at_once and self.client.status == "running":
            self.client.cancel(list(self._under_way))
        self.client.close(timeout=PATIENCE)
        self.client = None


def _hush() -> None:
    """Dask's own log lines would stand between ours; what matters comes back as an error."""
    import logging

    for name in ("distributed", "tornado", "asyncio"):
        logging.getLogger(name).setLevel(logging.CRITICAL)
    for name in list(logging.root.manager.loggerDict):
        if name.startswith(("distributed.", "tornado.")):
            logging.getLogger(name).setLevel(logging.CRITICAL)


def short(error: BaseException) -> str:
    """What an error says, in one line."""
    return str(error).partition("\n")[0][:200].rstrip(".")
