"""git itself, in a repository of its own: textconv, merge driver, gate."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.run import MARL, run
from tests.zoo import ROOT, WORKSHOP

FINE = os.path.join(WORKSHOP, "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")
NAME = "fine.quern.ini"


class Repository:
    """A git repository with beadwise on its PATH; nothing of the user's own settings counts."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.bin, home = folder / "work", folder / "bin", folder / "home"
        for one in (self.folder, self.bin, home):
            one.mkdir()
        program = self.bin / "beadwise"
        program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m convert "$@"\n')
        program.chmod(0o755)
        self.environment = {
            "PATH": f"{self.bin}{os.pathsep}{os.environ['PATH']}",
            "PYTHONPATH": ROOT,
            "PYTHONDONTWRITEBYTECODE": "1",
            "HOME": str(home),
            "XDG_CONFIG_HOME": str(home),
            "BEADWISE_HOME": str(home),
            "GIT_CONFIG_NOSYSTEM": "1",
            "GIT_AUTHOR_NAME": "a",
            "GIT_AUTHOR_EMAIL": "a@example.org",
            "GIT_COMMITTER_NAME": "a",
            "GIT_COMMITTER_EMAIL": "a@example.org",
            "LC_ALL": "C.UTF-8",
        }
        self.git("init", "-q", "-b", "main")

    def call(self, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(words, cwd=self.folder, env=self.environment, capture_output=True, text=True, check=False)

    def git(self, *words: str, status: int = 0) -> str:
        done = self.call("git", *words)
        assert done.returncode == status, done.stdout + done.stderr
        return done.stdout + done.stderr

    def commit(self, says: str) -> None:
        self.git("add", "-A")
        self.git("commit", "-q", "-m", says)

    def set(self, *words: str) -> None:
        done = self.call("beadwise", "set", *words)
        assert done.returncode == 0, done.stderr

    def text(self, name: str = NAME) -> str:
        return (self.folder / name).read_text(encoding="utf-8")


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    made = Repository(tmp_path)
    told = made.call("beadwise", "git", "install")
    assert told.returncode == 0, told.stderr
    (made.folder / ".gitattributes").write_text(told.stdout.partition("keep:\n")[2])
    (made.folder / NAME).write_bytes(Path(FINE).read_bytes())
    made.commit("first")
    return made


def test_textconv_hides_what_means_nothing(repository: Repository) -> None:
    lines = repository.text().splitlines(keepends=True)
    head = [line for line in lines if not line.strip() or line.startswith("#")]
    keys = [line for line in lines if line not in head]
    text = "".join([*head, "# another order\n", *reversed(keys)]).replace("core.share = 15", "core.share  =  15.0")
    (repository.folder / NAME).write_text(text, encoding="utf-8")
    assert repository.git("diff", "--stat")
    assert "\n@@" not in repository.git("diff")
    repository.set("infill.density=30%", NAME)
    shown = repository.git("diff")
    assert "-infill.density = 15 %\n+infill.density = 30 %\n" in shown
    changed = [line for line in shown.splitlines() if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    assert len(changed) == 2
    assert "\n@@" in repository.git("diff", "--no-textconv")


def branches(repository: Repository, ours: tuple[str, ...], theirs: tuple[str, ...]) -> None:
    repository.git("checkout", "-q", "-b", "theirs")
    repository.set(*theirs, NAME)
    repository.commit("theirs")
    repository.git("checkout", "-q", "main")
    repository.set(*ours, NAME)
    repository.commit("ours")


def test_edits_to_different_settings_are_merged(repository: Repository) -> None:
    """Neighbouring lines: git by itself would see a conflict here."""
    branches(repository, ("speed.outer_wall=70mm/s",), ("speed.inner_wall=90mm/s", "infill.density=30%"))
    before = repository.text()
    repository.git("merge", "--no-edit", "theirs")
    shown = repository.call("beadwise", "show", "--for-git", NAME).stdout
    for line in ("speed.outer_wall = 70 mm/s", "speed.inner_wall = 90 mm/s", "infill.density = 30 %"):
        assert f"\n{line}\n" in shown
    differing = [(a, b) for a, b in zip(before.splitlines(), repository.text().splitlines(), strict=True) if a != b]
    assert len(differing) == 2
    assert repository.git("status", "--porcelain") == ""


def test_git_by_itself_would_see_a_conflict(repository: Repository) -> None:
    """Guards the test above: without the driver, the same branches do not merge."""
    branches(repository, ("speed.outer_wall=70mm/s",), ("speed.inner_wall=90mm/s", "infill.density=30%"))
    done = repository.call("beadwise", "git", "uninstall")
    assert done.returncode == 0, done.stderr
    assert "CONFLICT" in repository.git("merge", "--no-edit", "theirs", status=1)


def test_the_same_setting_is_a_conflict_with_ours_kept(repository: Repository) -> None:
    branches(repository, ("layer.height=0.16mm",), ("layer.height=0.2mm", "infill.density=30%"))
    told = repository.git("merge", "--no-edit", "theirs", status=1)
    assert f"CONFLICT (content): Merge conflict in {NAME}" in told
    assert "conflict  layer.height" in told
    assert f'beadwise set "layer.height=0.2 mm" "{NAME}"' in told
    assert repository.git("status", "--porcelain") == f"UU {NAME}\n"
    shown = repository.call("beadwise", "show", "--for-git", NAME).stdout
    assert "\nlayer.height = 0.16 mm\n" in shown
    assert "\ninfill.density = 30 %\n" in shown
    assert "<<<<<<<" not in repository.text()
    repository.set("layer.height=0.2 mm", NAME)
    repository.commit("settled")


def test_the_same_change_on_both_sides(repository: Repository) -> None:
    branches(repository, ("layer.height=0.16mm", "fan.bridge=80%"), ("layer.height=160um", "infill.density=30%"))
    repository.git("merge", "--no-edit", "theirs")


def test_files_that_are_no_settings_are_merged_line_by_line(repository: Repository) -> None:
    name = "odd.quern.ini"
    path = repository.folder / name
    lines = [f"word {number}\n" for number in range(9)]
    path.write_text("".join(lines))
    repository.commit("odd")
    repository.git("checkout", "-q", "-b", "theirs")
    path.write_text("".join([*lines[:8], "theirs\n"]))
    repository.commit("theirs")
    repository.git("checkout", "-q", "main")
    path.write_text("".join(["ours\n", *lines[1:]]))
    repository.commit("ours")
    repository.git("merge", "--no-edit", "theirs")
    assert path.read_text() == "".join(["ours\n", *lines[1:8], "theirs\n"])
    repository.git("checkout", "-q", "-b", "again", "theirs~1")
    path.write_text("".join(["other\n", *lines[1:]]))
    repository.commit("again")
    repository.git("merge", "--no-edit", "main", status=1)
    assert path.read_text().startswith(f"<<<<<<< ours/{name}\nother\n")


def test_a_file_added_on_both_sides(repository: Repository) -> None:
    """git hands over an empty base: what both say alike is no conflict."""
    name = "new.quern.ini"
    repository.git("checkout", "-q", "-b", "theirs")
    (repository.folder / name).write_bytes(Path(FINE).read_bytes())
    repository.set("layer.height=0.2mm", name)
    repository.commit("theirs")
    repository.git("checkout", "-q", "main")
    (repository.folder / name).write_bytes(Path(FINE).read_bytes())
    repository.commit("ours")
    told = repository.git("merge", "--no-edit", "theirs", status=1)
    assert "conflict  layer.height" in told
    assert "1 conflict" in told


def test_parents_are_found_beside_the_real_path(tmp_path: Path) -> None:
    """git's temporary files lie elsewhere than the file they stand for, and have no extension."""
    repository = Repository(tmp_path)
    assert repository.call("beadwise", "git", "install", *MARL).returncode == 0
    (repository.folder / ".gitattributes").write_text("*.marl merge=beadwise diff=beadwise\n")
    (repository.folder / "sub").mkdir()
    for name in ("everyday.marl", "fine.marl"):
        source = os.path.join(os.path.dirname(MARL[1]), name)
        (repository.folder / "sub" / name).write_bytes(Path(source).read_bytes())
    path = repository.folder / "sub" / "fine.marl"
    text = path.read_text()
    repository.commit("first")
    repository.git("checkout", "-q", "-b", "theirs")
    path.write_text(text.replace("haste = 2400", "haste = 1800"))
    repository.commit("theirs")
    repository.git("checkout", "-q", "main")
    path.write_text(text.replace("rise = 120", "rise = 160").replace("lustre = high", "lustre = low"))
    repository.commit("ours")
    repository.git("merge", "--no-edit", "theirs")
    merged = text.replace("rise = 120", "rise = 160").replace("lustre = high", "lustre = low")
    assert path.read_text() == merged.replace("haste = 2400", "haste = 1800")


def test_exit_statuses_gate_a_commit(repository: Repository) -> None:
    hook = repository.folder / ".git" / "hooks" / "pre-commit"
    hook.write_text(f"#!/bin/sh\nexec beadwise audit --quiet --fail-on fails '{NAME}'\n")
    hook.chmod(0o755)
    repository.set("infill.density=30%", NAME)
    repository.commit("sound")
    repository.set("heat.bed=200Cel", NAME)
    repository.git("add", "-A")
    told = repository.git("commit", "-q", "-m", "unsound", status=1)
    assert "heat.bed" in told
    assert repository.git("log", "--format=%s", "-1") == "sound\n"


def test_install_prints_what_it_sets_and_uninstall_takes_it_away(tmp_path: Path) -> None:
    repository = Repository(tmp_path)
    shown = repository.call("beadwise", "git", "install", "--print").stdout
    assert "git config merge.beadwise.driver 'beadwise merge %O %A %B %P %L'" in shown
    assert "*.trug diff=beadwise merge=beadwise" in shown
    assert "beadwise" not in repository.git("config", "--list")
    assert repository.call("beadwise", "git", "install").stdout == shown
    listed = repository.git("config", "--list", "--local")
    assert "merge.beadwise.driver=beadwise merge %O %A %B %P %L\n" in listed
    assert "diff.beadwise.textconv=beadwise show --for-git\n" in listed
    assert repository.call("beadwise", "git", "uninstall").returncode == 0
    assert "beadwise" not in repository.git("config", "--list", "--local")
    again = repository.call("beadwise", "git", "uninstall")
    assert again.returncode == 0
    assert again.stdout.count("was not set") == 2


def test_install_outside_a_repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    result = run("git", "install")
    assert result.status == 3
    assert "git refused" in result.err
    assert "--global" in result.err


def test_hooks_have_what_a_manifest_needs() -> None:
    """Required by the format: id, name, entry, language (documentation of pre-commit, 'Creating new hooks')."""
    text = run("git", "--pre-commit").out
    assert text.count("- id: ") == text.count("  name: ") == text.count("  entry: ") == text.count("  language: ") == 2
    assert run("git").status == 2
    assert run("git", "install", "--pre-commit").status == 2


def test_for_git_shows_what_it_cannot_read_as_it_is(tmp_path: Path) -> None:
    odd = tmp_path / "odd.ini"
    odd.write_bytes(b"\xff\x00 no settings")
    assert run("show", "--for-git", str(odd)).data == odd.read_bytes()
    unknown = tmp_path / "unknown.ini"
    unknown.write_bytes(b"a = 1\r\nb = 2\r\n")
    assert run("show", "--for-git", str(unknown)).data == unknown.read_bytes()
    assert run("show", "--for-git", str(odd), str(unknown)).status == 2
    assert run("show", "--for-git", str(tmp_path / "missing")).status == 3


def test_for_git_is_sorted_and_needs_no_parent(tmp_path: Path) -> None:
    alone = tmp_path / "fine.marl"
    alone.write_bytes(Path(os.path.dirname(MARL[1]), "fine.marl").read_bytes())
    assert run("show", "--for-git", *MARL, str(alone)).out == (
        "[process] Fine\ninherits from everyday.marl\nlayer.height = 0.12 mm\nspeed.default = 40 mm/s\n"
        "(not understood) lustre = high\n"
    )
