"""The syntaxes and their modules. To add one: write the module, then add its line here and in `sniff.py`."""

from __future__ import annotations

from convert.errors import UsageError

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import ModuleType

    from convert.text.source import Source

SYNTAXES = {
    "ini": "convert.text.initree",
    "comments": "convert.text.commentstree",
    "csv": "convert.text.csvtree",
    "json": "convert.text.jsontree",
    "xml": "convert.text.xmltree",
    "toml": "convert.text.tomltree",
}


def load(name: str) -> ModuleType:
    """The module of a syntax; it has `parse(source, options) -> Tree`. UsageError for an unknown name.

    >>> load("yaml")
    Traceback (most recent call last):
    convert.errors.UsageError: there is no syntax 'yaml'; the syntaxes are ini, comments, csv, json, xml, toml
    """
    from importlib import import_module

    if name not in SYNTAXES:
        raise UsageError(f"there is no syntax {name!r}", hint=f"the syntaxes are {', '.join(SYNTAXES)}")
    return import_module(SYNTAXES[name])


def sniff(source: Source) -> list[str]:
    """The syntaxes that a text may be written in, the likeliest first; [] if it looks like none."""
    from convert.text.sniff import candidates

    return candidates(source)
