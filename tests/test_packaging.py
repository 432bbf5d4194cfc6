"""The data folders are found in a checkout, an editable install and a wheel alike.

Packages are built with the hatchling that is installed (a development dependency), without the network. Each build is
asked from a fresh interpreter in an empty folder, so that the checkout cannot help.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.zoo import ROOT

ASK = """
import json, os, sys
from convert import resources
from convert.cli.main import main
found = {kind: sorted(os.listdir(resources.folder(kind))) for kind in ("mappings", "schemas")}
import convert
print(json.dumps({"found": found, "where": os.path.dirname(convert.__file__)}))
main(["settings", "layer.height"])
"""


def ask(path: str, empty: Path, code: str = ASK) -> dict:
    """What a fresh interpreter finds with this entry at the front of its path."""
    environment = {**os.environ, "PYTHONPATH": path}
    done = subprocess.run(
        [sys.executable, "-P", "-c", code], cwd=empty, env=environment, capture_output=True, text=True, check=True
    )
    first, _, rest = done.stdout.partition("\n")
    assert "Layer height" in rest
    return json.loads(first)


def shipped() -> dict[str, list[str]]:
    return {kind: sorted(os.listdir(os.path.join(ROOT, kind))) for kind in ("mappings", "schemas")}


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of what a build needs, so that nothing is left behind in the checkout."""
    place = tmp_path_factory.mktemp("project")
    for name in ("convert", "mappings", "schemas"):
        shutil.copytree(os.path.join(ROOT, name), place / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "LICENSE", "README.md"):
        shutil.copy(os.path.join(ROOT, name), place)
    return place


def build(project: Path, target: Path, hook: str) -> Path:
    """Build a wheel through the standard hook of the build backend (PEP 517, PEP 660)."""
    target.mkdir()
    code = f"import sys; from hatchling import build; print(build.{hook}(sys.argv[1]))"
    done = subprocess.run(
        [sys.executable, "-c", code, str(target)], cwd=project, capture_output=True, text=True, check=True
    )
    return target / done.stdout.strip().splitlines()[-1]


def test_checkout(tmp_path: Path) -> None:
    found = ask(ROOT, tmp_path)
    assert found == {"found": shipped(), "where": os.path.join(ROOT, "convert")}


def test_wheel(project: Path, tmp_path: Path) -> None:
    wheel = build(project, tmp_path / "wheel", "build_wheel")
    site, empty = tmp_path / "site", tmp_path / "empty"
    empty.mkdir()
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
        names = archive.namelist()
    assert {name.split("/")[0] for name in names} == {"convert", wheel.name.split("-py3")[0] + ".dist-info"}
    entry_points = next(name for name in names if name.endswith("entry_points.txt"))
    assert "beadwise = convert.__main__:main" in (site / entry_points).read_text()
    found = ask(str(site), empty)
    assert found == {"found": shipped(), "where": str(site / "convert")}


def test_editable_install(project: Path, tmp_path: Path) -> None:
    wheel = build(project, tmp_path / "wheel", "build_editable")
    site, empty = tmp_path / "site", tmp_path / "empty"
    empty.mkdir()
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    pointers = list(site.glob("*.pth"))
    assert pointers, "an editable wheel points back to the project"
    found = ask(pointers[0].read_text().strip(), empty)
    assert found == {"found": shipped(), "where": str(project / "convert")}


def test_source_distribution(project: Path, tmp_path: Path) -> None:
    import tarfile

    archive = build(project, tmp_path / "sdist", "build_sdist")
    with tarfile.open(archive) as file:
        names = {name.split("/", 1)[1] for name in file.getnames() if "/" in name}
    for kind, files in shipped().items():
        assert {f"{kind}/{name}" for name in files} <= names
    assert "convert/cli/main.py" in names
