"""Runs a rule set over a setup: findings worst first, folded by cause; what could not be checked, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.physics import OutOfRange
from convert.rules.finding import RANK, Finding
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup


class Unchecked(NamedTuple):
    """A rule that cannot tell, and what would settle it."""

    rule: str
    needs: str


@dataclass(slots=True)
class Audit:
    """The result for one setup."""

    names: dict[str, str] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    checked: int = 0
    not_checked: list[Unchecked] = field(default_factory=list)
    assumed: dict[str, str] = field(default_factory=dict)

    def worst(self) -> str | None:
        return max((f.severity for f in self.findings), key=lambda word: RANK[word], default=None)


def audit(
    values: Mapping[str, Value], rules: Sequence[Rule], names: Mapping[str, str] | None = None, **tables: object
) -> Audit:
    """Judge one setup with each of its tools. `tables` may override `limits` and `polymers`."""
    setups = [Setup(values, tool, names, **tables) for tool in range(tools(values))]  # type: ignore[arg-type]
    return audit_setups(setups, rules)


def audit_setups(setups: Sequence[Setup], rules: Sequence[Rule]) -> Audit:
    """Judge the setups of all tools of one print together."""
    result = Audit(names=setups[0].names)
    unchecked: dict[str, Unchecked] = {}
    found: list[Finding] = []
    checked: set[str] = set()
    by_code = {rule.code: rule for rule in rules}
    for setup in setups:
        for rule in rules:
            try:
                new = list(rule.check(setup))
            except Missing as missing:
                unchecked.setdefault(rule.code, Unchecked(rule.code, missing.needs))
                continue
            except (OutOfRange, ArithmeticError) as error:
                unchecked.setdefault(rule.code, Unchecked(rule.code, f"usable values ({error})"))
                continue
            checked.add(rule.code)
            for finding in new:
                if finding not in found:
                    found.append(finding)
        result.assumed.update(setup.assumed)
    result.checked = len(checked)
    result.not_checked = [one for code, one in unchecked.items() if code not in checked]
    result.findings = sorted(fold(found, by_code), key=order)
    return result


def tools(values: Mapping[str, Value]) -> int:
    """As many as the longest per-tool list; one for a setup without lists."""
    rows = SETTINGS.rows()
    return max((len(v) for name, v in values.items() if isinstance(v, tuple) and rows[name].per_tool), default=1) or 1


def order(finding: Finding) -> tuple:
    """Worst first, then by how far beyond the limit."""
    return -RANK[finding.severity], finding.margin if finding.margin is not None else 0.0, finding.rule


def fold(findings: Sequence[Finding], rules: Mapping[str, Rule]) -> list[Finding]:
    """Put findings that follow from another one under it; severity of the whole is never less than that of a part."""
    causes = [f for f in findings if rules[f.rule].explains]
    out: list[Finding] = []
    under: dict[int, list[Finding]] = {}
    for finding in findings:
        cause = next((c for c in causes if c is not finding and _explains(c, finding, rules)), None)
        if cause is None:
            out.append(finding)
        else:
            under.setdefault(id(cause), []).append(finding)
    folded = []
    for finding in out:
        rest = under.get(id(finding), [])
        worst = max([finding, *rest], key=lambda f: RANK[f.severity])
        if worst is not finding and worst.severity == "hurts":
            # A person's safety is never told as a footnote.
            folded.append(worst)
            rest = [f for f in rest if f is not worst]
        elif worst is not finding:
            finding = replace(finding, severity=worst.severity)
        folded.append(replace(finding, consequences=(*finding.consequences, *rest)))
    return folded


def _explains(cause: Finding, finding: Finding, rules: Mapping[str, Rule]) -> bool:
    codes = rules[cause.rule].explains
    if rules[finding.rule].explains and "*" in rules[finding.rule].explains:
        return False
    causes = cause.settings if "*" in codes else cause.settings[:1]
    return ("*" in codes or finding.rule in codes) and not set(causes).isdisjoint(finding.settings)
