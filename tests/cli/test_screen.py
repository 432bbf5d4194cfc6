"""Streams as shells have them: pipes that break, full disks, terminals, interrupts."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from convert.cli.screen import Screen
from tests.cli.run import BOTH, DATA, MARL
from tests.zoo import ROOT

COMMAND = [sys.executable, "-m", "convert"]


@pytest.fixture(autouse=True)
def importable(monkeypatch: pytest.MonkeyPatch) -> None:
    """The package is found from every folder, installed or not."""
    monkeypatch.setenv("PYTHONPATH", ROOT)


def test_broken_pipe_is_quiet() -> None:
    process = subprocess.Popen([*COMMAND, "settings"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    process.stdout.close()
    assert process.stderr is not None
    assert process.stderr.read() == b""
    assert process.wait() == 3
    process.stderr.close()


@pytest.mark.parametrize("call", [("settings",), ("convert", *BOTH, "everyday.marl", "--to", "loess", "--quiet")])
def test_full_disk(call: tuple[str, ...]) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run([*COMMAND, *call], stdout=full, stderr=subprocess.PIPE, cwd=DATA, check=False)
    assert done.returncode == 3
    assert done.stderr == b"beadwise: cannot go on: no space left on device\n"


def test_closed_stdout() -> None:
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" >&-', "sh", *COMMAND, "settings"], stderr=subprocess.PIPE, check=False
    )
    assert done.returncode == 3
    assert done.stderr.startswith(b"beadwise: ")
    assert done.stderr.count(b"\n") == 1


def test_interrupt(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [*COMMAND, "show", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    deadline = time.monotonic() + 20
    while time.monotonic() < deadline:  # until it waits for its input
        try:
            if "pipe" in Path(f"/proc/{process.pid}/wchan").read_text() and _loaded(process.pid):
                break
        except OSError:
            break
        time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=20)
    assert process.returncode == 130
    assert err == b"beadwise: interrupted\n"


def test_interrupt_before_all_is_imported(tmp_path: Path) -> None:
    (tmp_path / "click.py").write_text("raise KeyboardInterrupt")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path)}
    done = subprocess.run([*COMMAND, "--version"], capture_output=True, env=environment, timeout=20)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"beadwise: interrupted\n")


def _loaded(pid: int) -> bool:
    """Whether the process is past its start: it has used some time already."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return int(fields[11]) + int(fields[12]) > 2


def test_ascii_terminal() -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    call = [*COMMAND, "show", *MARL, "hank.marl"]
    done = subprocess.run(call, capture_output=True, cwd=DATA, env=environment, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert rb"210 \xb0C" in done.stdout


def _on_a_terminal(call: list[str], **more: str) -> bytes:
    """The output of a command whose stdout and stderr are a terminal."""
    lead, follow = pty.openpty()
    environment = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLUMNS")}
    environment.update({"TERM": "xterm", **more})
    with subprocess.Popen(call, stdout=follow, stderr=follow, cwd=DATA, env=environment) as process:
        os.close(follow)
        parts = []
        while True:
            try:
                part = os.read(lead, 65536)
            except OSError:
                break
            if not part:
                break
            parts.append(part)
        process.wait()
    os.close(lead)
    return b"".join(parts)


def test_colours_only_where_wanted() -> None:
    call = [*COMMAND, "show", *MARL, "hank.marl"]
    assert b"\x1b[1m" in _on_a_terminal(call)
    assert b"\x1b" not in _on_a_terminal([*call, "--no-color"])
    assert b"\x1b" not in _on_a_terminal(call, NO_COLOR="1")
    assert b"\x1b" not in _on_a_terminal(call, TERM="dumb")
    done = subprocess.run(call, stdout=subprocess.PIPE, cwd=DATA, check=True)
    assert b"\x1b" not in done.stdout


def test_no_progress_for_quick_work() -> None:
    assert b" ... " not in _on_a_terminal([*COMMAND, "show", *MARL, "hank.marl", "--no-color"])


def test_progress_for_slow_work(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("convert.cli.screen.PATIENCE", 0.01)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    with Screen().working("reading"):
        time.sleep(0.1)
    told = capsys.readouterr().err
    assert "\rreading ... " in told
    assert told.endswith("\r")
    with Screen(quiet=True).working("reading"):
        time.sleep(0.05)
    assert capsys.readouterr().err == ""
