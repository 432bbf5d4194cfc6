"""The audit of both sides: findings that appear, get worse, get milder or go away, and the changes that cause them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatchcase

from convert.changes.groups import Group
from convert.model.resolve import bases, stated
from convert.model.value import Value
from convert.rules.engine import audit_setups
from convert.rules.finding import RANK, Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup


@dataclass(slots=True)
class Judged:
    """Findings by what became of them. `come` holds those that got worse too, `gone` those that got milder."""

    come: list[Finding] = field(default_factory=list)
    gone: list[Finding] = field(default_factory=list)


def judge(old: Sequence[Setup], new: Sequence[Setup], rules: Sequence[Rule]) -> Judged:
    """Run the rules over both sides, a setup for each tool, and compare what they find."""
    before = _flat(audit_setups(old, rules).findings)
    after = _flat(audit_setups(new, rules).findings)
    found = Judged()
    left = list(before)
    fresh: list[Finding] = []
    for finding in after:
        twin = _twin(finding, left, exactly=True)
        if twin is None:
            fresh.append(finding)
            continue
        left.remove(twin)
        _file(twin, finding, found)
    for finding in fresh:
        twin = _twin(finding, left, exactly=False)
        if twin is not None:
            left.remove(twin)
        _file(twin, finding, found)
    found.gone += left
    return found


def _flat(findings: Sequence[Finding]) -> list[Finding]:
    """Findings and what follows from them, each on its own."""
    flat: list[Finding] = []
    todo = list(findings)
    while todo:
        finding = todo.pop(0)
        flat.append(finding)
        todo += finding.consequences
    return flat


def _twin(finding: Finding, others: Sequence[Finding], exactly: bool) -> Finding | None:
    """The finding of the other side that is about the same."""
    for other in others:
        if other.rule == finding.rule and (
            other.settings == finding.settings if exactly else _about_one_thing(other, finding)
        ):
            return other
    return None


def _about_one_thing(one: Finding, two: Finding) -> bool:
    """Whether two findings of a rule share a setting; a remark on code may have moved to another piece of it."""
    names = set(one.settings)
    return not names.isdisjoint(two.settings) or all(
        name.startswith("code.") for name in (*one.settings, *two.settings)
    )


def _file(before: Finding | None, after: Finding, found: Judged) -> None:
    if before is None or RANK[after.severity] > RANK[before.severity]:
        found.come.append(after)
    elif RANK[after.severity] < RANK[before.severity]:
        found.gone.append(before)


def holders_of(groups: Sequence[Group]) -> dict[str, int]:
    """Setting -> the place of the first group that holds it."""
    holders: dict[str, int] = {}
    for at, group in enumerate(groups):
        for name in group.settings:
            holders.setdefault(name, at)
    return holders


def causes(
    finding: Finding,
    holders: Mapping[str, int],
    rules: Mapping[str, Rule],
    sides: tuple[Mapping[str, Value], Mapping[str, Value]],
) -> list[int]:
    """The groups whose settings a finding names; if none, the first whose settings its rule reads."""
    named = [at for name in finding.settings for at in _holders(name, holders, sides)]
    if named:
        return list(dict.fromkeys(named))
    rule = rules.get(finding.rule)
    for pattern in rule.needs if rule is not None else ():
        for name, at in holders.items():
            if fnmatchcase(name, pattern):
                return [at]
    return []


def _holders(
    name: str, holders: Mapping[str, int], sides: tuple[Mapping[str, Value], Mapping[str, Value]]
) -> list[int]:
    """The group of a setting, or of what its value follows."""
    for _ in range(8):
        if name in holders:
            return [holders[name]]
        following = None
        for side in sides:
            known = stated(side, name)
            if known is not None and known != name:
                following = known
            elif known is not None and (base := next(iter(bases(side[known])), None)) is not None:
                following = base
            if following in holders:
                return [holders[following]]  # type: ignore[index]
        if following is None:
            return []
        name = following
    return []
