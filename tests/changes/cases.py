"""The pairs of corpus/pairs, as tests use them."""

from __future__ import annotations

import os
import shutil
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from convert.api import Session, judged
from convert.changes.difference import Difference, difference
from convert.model.phrase import parse_phrase
from convert.model.profile import Profile
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value
from convert.rules import bundle
from tests.zoo import CORPUS, WORKSHOP

FOLDER = os.path.join(CORPUS, "pairs")
FILES = ("changes.toml", "nothing.toml", "tiny.toml")
MASTER = os.path.join(WORKSHOP, "master")


def load(name: str) -> dict[str, Any]:
    with open(os.path.join(FOLDER, name), "rb") as file:
        return tomllib.load(file)


PAIRS = [pair for name in FILES for pair in load(name)["pair"]]


@cache
def base() -> dict[str, Value]:
    """The setup that both sides start from."""
    inputs = Session().read([os.path.join(MASTER, name) for name in load("base.toml")["files"]], "master")
    (combination,) = bundle.combinations(judged(inputs))
    return dict(combination.values)


def phrases(written: dict[str, str]) -> dict[str, Value]:
    return {name: parse_phrase(text, SETTINGS[name]) for name, text in written.items()}


def sides(pair: dict[str, Any]) -> tuple[dict[str, Value], dict[str, Value]]:
    """The values of both sides of a pair that starts from the base."""
    old = {**base(), **phrases(pair.get("both", {}))}
    for name in pair.get("without", ()):
        del old[name]
    new = {**old, **phrases(pair.get("new", {}))}
    for name in pair.get("drop", ()):
        del new[name]
    return old, new


def setup(values: dict[str, Value], name: str = "setup") -> Profile:
    return Profile(name, SCOPES, values)


def compared(pair: dict[str, Any], place: Path) -> Difference:
    """The comparison of a pair."""
    if "old_text" not in pair:
        old, new = sides(pair)
        return difference([setup(old)], [setup(new)])
    return Session().diff(*(files(pair, place)))


def files(pair: dict[str, Any], place: Path) -> Iterator[Any]:
    """Both sides of a pair of texts, written and read."""
    for side in ("old", "new"):
        folder = place / side
        folder.mkdir()
        if pair.get("folder"):
            for name in os.listdir(MASTER):
                shutil.copy(os.path.join(MASTER, name), folder)
        path = folder / "a.toml"
        path.write_text(pair[f"{side}_text"], encoding="utf-8")
        yield Session().read([str(path)], pair["dialect"])
