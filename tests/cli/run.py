"""Runs the command line inside the test's own process, and compares its output with golden files."""

from __future__ import annotations

import io
import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from convert.cli.main import main

HERE = os.path.dirname(os.path.abspath(__file__))
DATA = os.path.join(HERE, "data")
GOLDEN = os.path.join(os.path.dirname(HERE), "golden")
MARL = ("--table", os.path.join(DATA, "marl.toml"))
LOESS = ("--table", os.path.join(DATA, "loess.toml"))
BOTH = (*MARL, *LOESS)


@dataclass(frozen=True)
class Result:
    """What a command left behind."""

    status: int
    data: bytes
    err: str

    @property
    def out(self) -> str:
        return self.data.decode()

    @property
    def document(self) -> Any:
        return json.loads(self.data)


def run(*arguments: str, stdin: bytes = b"") -> Result:
    """Call `main` with these arguments; stdin, stdout and stderr are pipes of our own."""
    out, err = io.BytesIO(), io.BytesIO()
    old = sys.stdin, sys.stdout, sys.stderr
    sys.stdin = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8")
    sys.stdout = io.TextIOWrapper(out, encoding="utf-8", newline="\n", write_through=True)
    sys.stderr = io.TextIOWrapper(err, encoding="utf-8", newline="\n", write_through=True)
    try:
        status = main(list(arguments))
        sys.stdout.flush()
        sys.stderr.flush()
        return Result(status, out.getvalue(), err.getvalue().decode())
    finally:
        sys.stdin, sys.stdout, sys.stderr = old


@contextmanager
def inside(folder: str) -> Iterator[None]:
    """Work in a folder, so that paths in outputs are short and the same everywhere."""
    old = os.getcwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(old)


def golden(name: str, text: str) -> None:
    """Compare with tests/golden/NAME; with BEADWISE_GOLDEN=write in the environment, write it instead."""
    path = os.path.join(GOLDEN, name)
    if os.environ.get("BEADWISE_GOLDEN") == "write":
        with open(path, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
    with open(path, encoding="utf-8", newline="") as file:
        assert text == file.read(), f"{name} differs; BEADWISE_GOLDEN=write accepts the new text"
