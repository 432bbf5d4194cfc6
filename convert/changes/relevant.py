"""Which rules of the audit can judge two sides differently: those that read a setting whose value differs.

`schemas/rules.reads.tsv` tells, for each rule, what it has been seen to read, over its own examples and the workshop's
setups (`python -m tests.changes.reads` makes it, a test holds it true). It is a shortcut only: a rule that is not in
it is always asked. Rules on command code run where the code, or a setting that it looks at, differs.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache

from convert.changes.compare import Facts
from convert.model.setting import FAMILIES, SETTINGS
from convert.model.value import Value
from convert.physics.tables import rows
from convert.rules.rule import Rule

FILE = "rules.reads.tsv"
CODE = (
    "code.", "heat.", "envelope.", "bed.", "chamber.", "hotend.", "axis.", "limit.", "tool.",
    "machine.kinematics", "feedstock.min_nozzle", "flow.lead", "fan.max",
)  # fmt: skip
"""What the interpreter of command code looks at, beside placeholders."""
_UNSURE = frozenset(("label", "inactive", "unit", "format"))
"""Reasons to call two values the same that a rule may see otherwise."""


@cache
def reads() -> Mapping[str, frozenset[str]]:
    """Rule -> the settings that it reads."""
    return {code: frozenset(names.split()) for code, names in rows(FILE, "rule reads")}


def moved(facts: Facts) -> set[str]:
    """The settings whose value may differ, those that take it from another one included."""
    names = {fact.setting for fact in facts.facts} | {one.setting for one in facts.same if one.why in _UNSURE}
    for name in list(names):
        head, _, tail = name.partition(".")
        if tail == "default" and head in FAMILIES:
            names.update(one for one in SETTINGS if one.startswith(f"{head}."))
    if "speed.first_layer" in names:
        names.add("speed.first_layer_area")
    if "speed.travel" in names:
        names.add("speed.first_layer_travel")
    return names


def relevant(names: Collection[str], sides: Sequence[Mapping[str, Value]]) -> tuple[Rule, ...]:
    """The rules of the latest set that may judge the sides differently where these settings do."""
    from importlib import import_module

    from convert.rules.rulesets import LATEST, RULESETS

    known = reads()
    found: list[Rule] = []
    if _code_moved(names, sides):
        from convert.rules.observed import RULES

        found += RULES
    for group, codes in RULESETS[LATEST].items():
        for code in codes:
            if code not in known or not known[code].isdisjoint(names):
                found.append(import_module(f"convert.rules.{group}.{code.replace('-', '_')}").RULE)
    return tuple(found)


def _code_moved(names: Collection[str], sides: Sequence[Mapping[str, Value]]) -> bool:
    if any(name.startswith(CODE) for name in names):
        return True
    texts = [
        value for side in sides for key, value in side.items() if key.startswith("code.") and isinstance(value, str)
    ]
    return any(f"{{{name}}}" in text for text in texts for name in names)
