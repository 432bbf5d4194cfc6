"""Hostile input through the command line: a clear error, never a traceback, nothing that acts on the terminal."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.run import BOTH, MARL, run

COMMANDS = (("show",), ("convert", "--to", "loess"), ("convert", "--to", "canonical"), ("set", "heat.nozzle=201 Cel"))

HOSTILE = {
    "empty": b"",
    "binary": bytes(range(256)) * 40,
    "zeros": b"\0" * 5000,
    "escapes": b"concerns = hank\ndubbed = \x1b]0;owned\x07\x1b[2J\nwarmth = \x1b[31m200\n\x1b[1mkey = \x9b31m\n",
    "escape in unknown": b"[\x1b[31mtea]\n\x1b[2Jleaf = \x1b[0mgreen\n",
    "bidi": "concerns = hank\ndubbed = \u202eevil\u2066\nwarmth = 200\nfirst warmth = 210\n".encode(),
    "surrogates": b"concerns = hank\ndubbed = \xc3\xa4\xed\xa0\x80\nwarmth = 200\nfirst warmth = 210\n",
    "deep json": b'{"card": ' + b"[" * 50_000 + b"]" * 50_000 + b"}",
    "deep objects": b'{"a":' * 20_000 + b"1" + b"}" * 20_000,
    "long number": b"concerns = hank\nwarmth = " + b"9" * 100_000 + b"\nfirst warmth = 1e999999999\n",
    "long line": b"concerns = hank\nwarmth = 200\nfirst warmth = 210\nx = " + b"y" * 1_000_000,
    "many lines": b"concerns = hank\nwarmth = 200\nfirst warmth = 210\n" + b"a\n" * 50_000,
    "entities": b'<!DOCTYPE a [<!ENTITY b "bb">]><a>&b;</a>',
    "nan": b"concerns = hank\nwarmth = nan\nfirst warmth = -inf\n",
    "circle": b"concerns = manner\nleans on = circle.marl\nrise = 100\n",
    "way out": b"concerns = manner\nleans on = ../../../../etc/passwd\nrise = 100\nhaste = 3000\n",
    "pipe name": b"concerns = manner\nleans on = \x00\nrise = 100\nhaste = 3000\n",
    "half utf-16": b"\xff\xfeh\x00a\x00n\x00k\x00\n",
}


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_hostile_file(shop: Path, name: str, command: tuple[str, ...]) -> None:
    path = f"{name}.marl"
    Path(path).write_bytes(HOSTILE[name])
    result = run(*command, *BOTH, path, "--no-color")
    assert result.status in (0, 2, 3, 4)
    if command[0] == "show" or result.status:
        printed = result.out + result.err if command[0] in ("show", "set") or result.status else result.err
        assert all(char.isprintable() or char == "\n" for char in printed)
    assert all(char.isprintable() or char == "\n" for char in result.err)
    assert "Traceback" not in result.err
    assert len(result.err) < 20_000


def test_hostile_names(shop: Path) -> None:
    name = "\x1b[31mred\n.marl"
    Path(name).write_bytes(Path("hank.marl").read_bytes())
    for call in (("show", *MARL, name), ("set", *MARL, "heat.nozzle=205 Cel", name), ("show", name + "missing")):
        result = run(*call)
        assert all(char.isprintable() or char == "\n" for char in result.out + result.err)
    raw = os.fsdecode(b"caf\xe9.marl")
    Path(raw).write_bytes(Path("hank.marl").read_bytes())
    result = run("show", *MARL, raw)
    assert result.status == 0
    assert "caf\\udce9.marl" in result.out
    assert run("show", *MARL, raw, "--format", "json").document["profiles"][0]["settings"]
    result = run("convert", *BOTH, raw, "--to", "loess", "--ledger", "l.json", "--quiet")
    assert result.status == 0


def test_things_that_are_no_files(shop: Path) -> None:
    os.mkfifo("pipe.marl")
    for path in ("pipe.marl", "/dev/zero", "a\0b"):
        result = run("show", *MARL, path)
        assert result.status == 3
        assert result.err.startswith("beadwise: ")
    Path("none").mkdir()
    assert run("show", *MARL, "none").status == 3


def test_a_file_beyond_the_limit(shop: Path) -> None:
    with open("huge.marl", "wb") as file:
        file.truncate(5_000_000_000)
    result = run("show", *MARL, "huge.marl")
    assert result.status == 3
    assert "more than the limit" in result.err


def test_hostile_arguments(shop: Path) -> None:
    for word in (
        "layer.height=\x1b[31m",
        "\x1b=1",
        "=",
        "=1mm",
        "layer.height=" + "9" * 10_000 + "mm",
        "x" * 10_000 + "=1",
    ):
        result = run("set", *MARL, word, "everyday.marl")
        assert result.status == 2
        assert all(char.isprintable() or char == "\n" for char in result.err)
        assert len(result.err) < 2_000
