"""A Dask cluster on this machine, in a process of its own: prints its address, ends when stdin does.

python -m tests.archive.dask_cluster WORKERS
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from tests.zoo import ROOT


@contextmanager
def cluster(workers: int, *preload: str) -> Iterator[dict[str, Any]]:
    """`address` of the scheduler. Workers run the scripts of `preload` first."""
    command = [sys.executable, "-m", "tests.archive.dask_cluster", str(workers), *preload]
    pipe = subprocess.PIPE
    process = subprocess.Popen(command, cwd=ROOT, stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL, text=True)
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        yield json.loads(process.stdout.readline())
    finally:
        process.stdin.close()
        process.wait(60)
        process.stdout.close()


def main(workers: int, preload: Sequence[str]) -> None:
    from distributed import Client, LocalCluster

    options = {"dashboard_address": None, "preload": list(preload), "host": "127.0.0.1"}
    with (
        LocalCluster(n_workers=workers, threads_per_worker=2, **options) as running,
        Client(running) as client,
    ):
        if workers:
            client.wait_for_workers(workers)
        print(json.dumps({"address": running.scheduler_address.removeprefix("tcp://")}), flush=True)
        sys.stdin.read()


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2:])
