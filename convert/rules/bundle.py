"""Audits what was read: which setups the profiles form, each judged, and one result for all of them.

Several profiles form every combination of machine, feedstock and process; a profile that holds all three is a setup by
itself. What is the same in all combinations is said once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from convert.model.profile import Profile
from convert.model.setting import SCOPES
from convert.model.value import Value
from convert.rules.engine import Unchecked, audit, order
from convert.rules.finding import RANK, Finding
from convert.rules.policy import Policy, Suppression
from convert.rules.rule import Rule
from convert.rules.rulesets import rules


@dataclass(frozen=True, slots=True)
class Combination:
    """One setup: the names of its parts ("" where a scope is missing) and all its values."""

    names: dict[str, str]
    values: dict[str, Value]


@dataclass(slots=True)
class Judged:
    """A finding, and the setups it holds for: a name where all of them share it, else None."""

    finding: Finding
    setup: dict[str, str | None]


@dataclass(slots=True)
class Result:
    """The audit of everything that was given."""

    findings: list[Judged] = field(default_factory=list)
    suppressed: list[tuple[Judged, Suppression]] = field(default_factory=list)
    unused: list[Suppression] = field(default_factory=list)
    checked: int = 0
    not_checked: list[Unchecked] = field(default_factory=list)
    assumed: dict[str, str] = field(default_factory=dict)
    setups: list[dict[str, str]] = field(default_factory=list)
    ruleset: tuple[Rule, ...] = ()

    def worst(self) -> str | None:
        """The gravest severity, consequences included."""
        return max((one.finding.severity for one in self.findings), key=lambda word: RANK[word], default=None)


def combinations(profiles: Sequence[Profile]) -> list[Combination]:
    """The setups that the profiles form, in order."""
    found = []
    for profile in profiles:
        if len(profile.scopes) == len(SCOPES):
            names = {scope: _name(profile, scope) for scope in SCOPES}
            found.append(Combination(names, dict(profile.settings)))
    parts: list[list[Profile | None]] = []
    for scope in SCOPES:
        of_scope: list[Profile | None] = [p for p in profiles if scope in p.scopes and len(p.scopes) < len(SCOPES)]
        parts.append(of_scope or [None])
    for chosen in product(*parts):
        held = [p for at, p in enumerate(chosen) if p is not None and not any(p is q for q in chosen[:at])]
        if not held:
            continue
        values: dict[str, Value] = {}
        for profile in reversed(held):
            values.update(profile.settings)
        names = {scope: _name(p, scope) if p is not None else "" for scope, p in zip(SCOPES, chosen, strict=True)}
        found.append(Combination(names, values))
    return found


def _name(profile: Profile, scope: str) -> str:
    said = profile.settings.get(f"{scope}.name")
    return said if isinstance(said, str) and said and len(profile.scopes) > 1 else profile.name


def audit_all(setups: Sequence[Combination], policy: Policy | None = None) -> Result:
    """Judge every setup and fold what they share."""
    policy = policy or Policy()
    ruleset = rules(policy.rules)
    result = Result(setups=[one.names for one in setups], ruleset=ruleset)
    by_finding: dict[Finding, list[dict[str, str]]] = {}
    hidden: dict[Finding, tuple[list[dict[str, str]], Suppression]] = {}
    used: set[int] = set()
    unchecked: dict[tuple[str, str], Unchecked] = {}
    for one in setups:
        family = one.values.get("feedstock.family")
        card = policy.polymers(str(one.values.get("feedstock.name", one.names.get("feedstock"))), str(family))
        judged = audit(one.values, ruleset, one.names, limits=policy.limits or None, polymers=card or None)
        result.checked += judged.checked
        result.assumed.update(judged.assumed)
        for gap in judged.not_checked:
            unchecked[gap.rule, gap.needs] = gap
        for finding in judged.findings:
            granted = _granted(finding, one.names, policy, used)
            if isinstance(granted, Suppression):
                hidden.setdefault(finding, ([], granted))[0].append(one.names)
            else:
                by_finding.setdefault(granted, []).append(one.names)
    result.findings = sorted(
        (Judged(finding, _shared(names)) for finding, names in by_finding.items()), key=lambda one: order(one.finding)
    )
    result.suppressed = [(Judged(f, _shared(names)), why) for f, (names, why) in hidden.items()]
    result.unused = [one for at, one in enumerate(policy.suppressions) if at not in used]
    result.not_checked = sorted(unchecked.values(), key=lambda gap: (gap.rule, gap.needs))
    return result


def _granted(finding: Finding, names: dict[str, str], policy: Policy, used: set[int]) -> Finding | Suppression:
    """The suppression that covers a finding, or the finding, with a word about one that no longer holds."""
    for at, one in enumerate(policy.suppressions):
        if one.covers(finding, names):
            used.add(at)
            if one.still_holds(finding):
                return one
            was = "no value" if one.value is None else f"{one.value:g} {finding.unit}".rstrip()
            now = "" if finding.value is None else f", and is {finding.value:g} {finding.unit}".rstrip()
            finding = replace(
                finding, says=f"{finding.says} The exception was granted for {was}{now}: it is open again."
            )
    return finding


def _shared(names: Sequence[dict[str, str]]) -> dict[str, str | None]:
    """Per scope, the name that all have, or None."""
    shared: dict[str, str | None] = {}
    for scope in SCOPES:
        different = {one.get(scope, "") for one in names}
        shared[scope] = (different.pop() or None) if len(different) == 1 else None
    return shared
