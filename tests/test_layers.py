"""Imports go one way. Every package and module at the top of `convert` has a place here; a new one must be given one.

A line of LAYERS may import from the lines below it. Names in one line are siblings that do not know each other. What a
layer may import is narrowed further by ONLY. Imports under `if TYPE_CHECKING` and inside functions count too: they are
dependencies as well.
"""

from __future__ import annotations

import ast
import os
import sys
from collections.abc import Iterator

import pytest

from tests.zoo import ROOT

LAYERS = (
    ("cli",),
    ("report", "api"),
    ("archive",),
    ("inference",),
    ("changes",),
    ("rules",),
    ("dialects", "physics", "program"),
    ("model",),
    ("text", "units"),
    ("files", "resources"),
    ("errors",),
)
OUTSIDE = ("__init__", "__main__")
"""The package's own front doors: they lead to api and cli, on use."""

ONLY = {
    "text": {"errors"},
    "units": {"errors", "resources"},
    "model": {"errors", "resources", "units"},
    "physics": {"errors", "resources", "units"},
    "program": {"errors", "resources", "units"},
}
"""Layers that may import less than all that lies below."""

FORBIDDEN = {
    "report": {"convert.dialects.reader", "convert.dialects.writer", "convert.text"},
    "rules": {"convert.dialects", "convert.text"},
    "changes": {"convert.dialects", "convert.text"},
}
"""What a layer may not import although it lies below it."""

THIRD_PARTY = {
    "click": {"cli"},
    "tabulate": {"report"},
    "jsonschema": {"dialects", "model", "rules", "inference", "archive"},
    "deepdiff": {"changes"},
    "jinja2": {"report"},
    "dask": {"archive"},
    "distributed": {"archive"},
}
"""Package -> the layers that may use it; at module level only click may be imported, in cli."""

DEPTH = {name: len(LAYERS) - place for place, line in enumerate(LAYERS) for name in line}


def modules() -> Iterator[tuple[str, str]]:
    """Dotted name and path of every module of the package."""
    package = os.path.join(ROOT, "convert")
    for folder, folders, names in os.walk(package):
        folders[:] = sorted(name for name in folders if name not in ("__pycache__", "_data"))
        for name in sorted(names):
            if name.endswith(".py"):
                path = os.path.join(folder, name)
                dotted = os.path.relpath(path, ROOT)[:-3].replace(os.sep, ".")
                yield dotted.removesuffix(".__init__") if dotted != "convert.__init__" else dotted, path


MODULES = dict(modules())


def imports(path: str) -> Iterator[tuple[str, int, bool]]:
    """Dotted names that a module imports: name, line, whether at module level."""
    with open(path, encoding="utf-8") as file:
        tree = ast.parse(file.read())
    inner: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)):
            inner.update(ast.walk(node))
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            inner.update(child for part in node.body for child in ast.walk(part))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno, node not in inner
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: write imports in full"
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                yield full if full in MODULES else str(node.module), node.lineno, node not in inner


def layer(dotted: str) -> str:
    return dotted.split(".")[1] if "." in dotted else "__init__"


def test_every_module_has_a_place() -> None:
    places = {layer(dotted) for dotted in MODULES} - set(OUTSIDE)
    assert places <= set(DEPTH), f"give {sorted(places - set(DEPTH))} a place in LAYERS"
    assert set(ONLY) | set(FORBIDDEN) <= set(DEPTH)


@pytest.mark.parametrize("dotted", MODULES)
def test_imports(dotted: str) -> None:
    own = layer(dotted)
    if own in OUTSIDE:
        return
    wrong = []
    for name, line, at_top in imports(MODULES[dotted]):
        top = name.split(".")[0]
        where = f"{dotted}:{line} imports {name}"
        if top == "convert":
            other = layer(name)
            allowed = ONLY.get(own)
            if other == own:
                continue
            if other == "__init__":
                if own != "cli":
                    wrong.append(f"{where}: the front door is for users")
            elif DEPTH[other] >= DEPTH[own]:
                wrong.append(f"{where}: {other} does not lie below {own}")
            elif allowed is not None and other not in allowed:
                wrong.append(f"{where}: {own} may import {', '.join(sorted(allowed))} only")
            if any(name == one or name.startswith(f"{one}.") for one in FORBIDDEN.get(own, ())):
                wrong.append(f"{where}: forbidden for {own}")
        elif top not in sys.stdlib_module_names:
            if own not in THIRD_PARTY.get(top, set()):
                wrong.append(f"{where}: {own} may not use {top}")
            elif at_top and own != "cli":
                wrong.append(f"{where}: import it where it is used")
    assert wrong == []


def test_no_module_is_called_like_one_that_the_package_imports() -> None:
    imported = {name.split(".")[0] for path in MODULES.values() for name, _, _ in imports(path)} - {"convert"}
    names = {dotted.rsplit(".", 1)[-1] for dotted in MODULES}
    assert names & imported & sys.stdlib_module_names == set()


def test_no_package_bears_the_name_of_a_public_function() -> None:
    import convert

    places = {layer(dotted) for dotted in MODULES}
    assert places & set(convert.__all__) == set()
    assert places & {"diff", "audit", "learn"} == set()


def test_modules_are_small() -> None:
    """Soft limit 400 lines, hard limit 700, median below 150."""
    sizes = {}
    for dotted, path in MODULES.items():
        with open(path, encoding="utf-8") as file:
            sizes[dotted] = sum(1 for _ in file)
    assert {dotted: size for dotted, size in sizes.items() if size > 700} == {}
    filled = sorted(size for size in sizes.values() if size > 5)
    assert filled[len(filled) // 2] < 150
