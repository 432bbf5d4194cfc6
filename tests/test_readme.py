"""The README is true: every example in it is run, and prints what stands there.

`BEADWISE_GOLDEN=write python -m pytest tests/test_readme.py` puts the present output into the README; read the
difference.
"""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from convert.cli.main import COMMANDS
from tests.zoo import CORPUS, ROOT

README = Path(ROOT, "README.md")
TEXT = README.read_text(encoding="utf-8")


def blocks(kind: str) -> list[str]:
    """The fenced blocks of a kind, in order."""
    found, inside, lines = [], False, []
    for line in TEXT.split("\n"):
        if line == f"```{kind}":
            inside, lines = True, []
        elif line == "```" and inside:
            inside = False
            found.append("\n".join(lines))
        elif inside:
            lines.append(line)
    return found


def run(command: str, folder: Path) -> str:
    """What a command of the README prints on a terminal of 100 columns, both streams in order."""
    command, _, cut = command.partition(" | head -")
    name, *arguments = shlex.split(command)
    assert name == "beadwise"
    environment = {**os.environ, "PYTHONPATH": ROOT, "COLUMNS": "100", "BEADWISE_HOME": str(folder / "home")}
    done = subprocess.run(
        [sys.executable, "-m", "convert", *arguments],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    lines = done.stdout.decode().split("\n")
    return "\n".join(lines[: int(cut)] if cut else lines)


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """A folder as the README assumes it: the corpus in it, and nothing else."""
    (tmp_path / "corpus").symlink_to(CORPUS)
    return tmp_path


def test_the_tour_prints_what_it_says(desk: Path) -> None:
    said = blocks("console")
    assert said
    made = []
    for block in said:
        out = []
        for command in [line[2:] for line in block.split("\n") if line.startswith("$ ")]:
            out += [f"$ {command}", *run(command, desk).rstrip("\n").split("\n")]
        made.append("\n".join(out))
    if os.environ.get("BEADWISE_GOLDEN") == "write":
        text = TEXT
        for old, new in zip(said, made, strict=True):
            text = text.replace(f"```console\n{old}\n```", f"```console\n{new}\n```", 1)
        README.write_text(text, encoding="utf-8")
        said = made
    assert made == said


def test_python_examples_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    assert blocks("python")
    for block in blocks("python"):
        exec(compile(block, "README.md", "exec"), {})


def test_toml_examples_are_in_order(tmp_path: Path) -> None:
    from convert.dialects.checking import check
    from convert.rules.policy import load

    kinds = set()
    for block in blocks("toml"):
        if "table/1" in block:
            kinds.add("table")
            checked = check(block.encode(), "furrow.toml")
            assert not checked.mistakes, [str(mistake) for mistake in checked.mistakes]
        elif "policy/1" in block:
            kinds.add("policy")
            assert load(block.encode(), "policy.toml").suppressions
    assert kinds == {"table", "policy"}


def test_the_table_of_the_readme_reads_a_file(tmp_path: Path) -> None:
    table = next(block for block in blocks("toml") if "table/1" in block)
    (tmp_path / "furrow.toml").write_text(table)
    (tmp_path / "a.furrow").write_text("title = Field\nrise = 200\npace = 3000\npace rim = 0\nblow = 51\nbore = 0.4\n")
    out = run("beadwise show --table furrow.toml a.furrow", tmp_path)
    for line in ("layer.height", "0.2 mm", "50 mm/s", "20 %", "wall.count"):
        assert line in out


def test_every_command_is_in_the_readme() -> None:
    assert all(f"`{command} " in TEXT for command in COMMANDS)


def test_links_lead_somewhere() -> None:
    heads = {line.lstrip("# ").lower().replace(" ", "-") for line in TEXT.split("\n") if line.startswith("#")}
    anchors = {part.partition(")")[0] for part in TEXT.split("](#")[1:]}
    assert anchors
    assert anchors <= heads


def test_the_two_commands_name_what_exists() -> None:
    first, second = blocks("sh")
    assert "corpus/workshop/quern" in first
    assert os.path.isdir(os.path.join(CORPUS, "workshop", "quern"))
    assert "pytest" in second
