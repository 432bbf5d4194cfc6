"""Start-up stays lean: what a fresh interpreter may have loaded, as allow-lists."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.cli.run import DATA, MARL
from tests.zoo import ROOT

HEAVY = {
    "jsonschema", "deepdiff", "jinja2", "tabulate", "tomllib", "sqlite3", "importlib.metadata", "xml", "csv", "json"
}  # fmt: skip
"""What no command loads before it is needed."""


def loaded(code: str, *, base: str = "pass") -> set[str]:
    """The modules that `code` loads in a fresh interpreter beyond those that `base` loads."""
    found = []
    for text in (base, code):
        script = f"import sys\ntry:\n    {text}\nexcept SystemExit:\n    pass\nprint(*sys.modules, file=sys.stderr)"
        done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
        found.append(set(done.stderr.split()))
    return found[1] - found[0]


def test_import_convert_loads_nothing() -> None:
    assert loaded("import convert") == {"convert", "__future__"}


def test_version_loads_click_and_the_errors() -> None:
    code = "from convert.cli.main import main; main(['--version'])"
    more = loaded(code, base="import click")
    ours = {name for name in more if name.split(".")[0] == "convert"}
    assert ours == {"convert", "convert.cli", "convert.cli.main", "convert.errors"}
    assert more - ours <= {"gc", "locale", "_locale"}  # locale: click asks for translations


def test_help_loads_no_command_s_work() -> None:
    more = loaded("from convert.cli.main import main; main(['--help'])", base="import click")
    ours = {name for name in more if name.split(".")[0] == "convert"}
    allowed = ("convert.cli", "convert.errors", "convert.dialects.fates")
    assert {name for name in ours if not name.startswith(allowed)} == {"convert", "convert.dialects"}
    assert not more & HEAVY


@pytest.mark.parametrize(
    ("call", "may"),
    [
        (["show", *MARL, f"{DATA}/hank.marl"], {"tomllib", "tabulate"}),
        (["show", *MARL, f"{DATA}/hank.marl", "--format", "json"], {"tomllib", "json"}),
        (["convert", *MARL, f"{DATA}/hank.marl", "--to", "marl", "--quiet"], {"tomllib"}),
        (["settings", "layer"], {"tabulate"}),
        (["tables", "--help"], set()),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_commands_load_what_they_need(call: list[str], may: set[str]) -> None:
    more = loaded(f"from convert.cli.main import main; main({call!r})")
    heavy = HEAVY & more
    assert heavy <= (may | {"csv", "importlib.metadata", "json"} if "tabulate" in may else may)  # tabulate brings these
    assert not {name for name in more if name.startswith(("convert.physics", "convert.rules", "convert.changes"))}


def test_only_the_syntax_at_hand_is_loaded() -> None:
    call = ["show", *MARL, f"{DATA}/hank.marl", "--from", "marl"]
    more = loaded(f"from convert.cli.main import main; main({call!r})")
    trees = {name for name in more if name.startswith("convert.text.") and name.endswith("tree")} - {
        "convert.text.tree"
    }
    assert trees == {"convert.text.initree"}
