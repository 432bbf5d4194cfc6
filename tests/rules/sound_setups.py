"""The sound setups of tests/rules/sound/, read as anyone would read them, and what the rules say about them."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache

from convert.api import Session
from convert.model.value import Value
from convert.rules.engine import Audit, audit
from convert.rules.rulesets import rules

FOLDER = os.path.join(os.path.dirname(__file__), "sound")
NAMES = tuple(sorted(name.removesuffix(".toml") for name in os.listdir(FOLDER) if name.endswith(".toml")))


@cache
def values(name: str) -> Mapping[str, Value]:
    """The values of one setup; an AssertionError where the file has anything wrong with it."""
    inputs = Session().read([os.path.join(FOLDER, f"{name}.toml")], "master")
    assert not inputs.errors, [error.says for error in inputs.errors]
    assert not inputs.problems(), [problem.says for problem in inputs.problems()]
    (profile,) = inputs.profiles
    assert sorted(profile.scopes) == ["feedstock", "machine", "process"]
    return dict(profile.settings)


def judge(settings: Mapping[str, Value]) -> Audit:
    """All rules of version 1 over one setup."""
    return audit(settings, rules(1))


@cache
def judged(name: str) -> Audit:
    return judge(values(name))
