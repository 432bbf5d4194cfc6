"""An audit, as JSON and as text: worst first, what follows from a finding under it, what could not be told at the
end.
"""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from convert.errors import Problem
from convert.report.document import problem
from convert.report.grid import WIDTH, Paint, count, plain
from convert.report.visible import visible
from convert.rules.bundle import Judged, Result
from convert.rules.finding import DEFERENCE, SEVERITIES, Finding

SHOWN = 4
"""Settings that a finding's head names."""

ROLES = {"note": "", "differs": "warn", "spoils": "warn", "fails": "bad", "hurts": "bad"}


def document(result: Result, doubts: Sequence[Problem] = ()) -> dict[str, Any]:
    """The audit/1 result; `doubts` are what is wrong with the files themselves."""
    return {
        "beadwise": "audit/1",
        "findings": [_finding(one) for one in result.findings],
        "checked": result.checked,
        "not_checked": [{"rule": gap.rule, "needs": gap.needs} for gap in result.not_checked],
        "assumed": [{"setting": name, "value": value} for name, value in sorted(result.assumed.items())],
        "suppressed": [
            {"rule": one.finding.rule, "settings": list(one.finding.settings), "reason": why.reason, "setup": one.setup}
            for one, why in result.suppressed
        ],
        "unused_suppressions": [one.label() for one in result.unused],
        "setups": result.setups,
        "problems": [problem(one) for one in doubts],
    }


def _finding(one: Judged) -> dict[str, Any]:
    finding = one.finding
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "signal": finding.signal,
        "settings": list(finding.settings),
        "says": finding.says,
        "value": finding.value,
        "limit": finding.limit,
        "unit": finding.unit,
        "margin": finding.margin,
        "source": finding.source,
        "where": finding.where,
        "precaution": f"{finding.precaution} {DEFERENCE}" if finding.signal else None,
        "repair": [{"setting": repair.setting, "to": repair.to} for repair in finding.repair],
        "consequences": [
            {"rule": other.rule, "settings": list(other.settings), "says": other.says} for other in finding.consequences
        ],
        "setup": one.setup,
    }


def table(result: Result, *, width: int = WIDTH, paint: Paint = plain, notes: bool = True) -> str:
    """The audit for people."""
    lines: list[str] = []
    folded = 0
    for one in result.findings:
        if one.finding.severity == "note" and not notes:
            folded += 1
            continue
        lines += [*_lines(one, result, width, paint), ""]
    if folded:
        lines += [f"{count(folded, 'note')} left out", ""]
    for one, why in result.suppressed:
        lines.append(f"suppressed  {one.finding.rule}{setup_label(one, result)}: {visible(why.reason)}")
    for unused in result.unused:
        lines.append(f"unused      the suppression of {visible(unused.label())} is needed by nothing")
    if result.suppressed or result.unused:
        lines.append("")
    if notes:
        lines += _gap_lines(result, width)
    elif result.not_checked:
        lines += [f"cannot tell: {count(len(result.not_checked), 'question')}", ""]
    for name, value in sorted(result.assumed.items()):
        lines.append(f"assumed     {name} = {value}")
    if result.assumed:
        lines.append("")
    lines.append(paint(verdict(result), "head"))
    return "\n".join(lines)


def _lines(one: Judged, result: Result, width: int, paint: Paint) -> list[str]:
    finding = one.finding
    head = f"{finding.signal}: {finding.severity}" if finding.signal else finding.severity
    more = len(finding.settings) - SHOWN
    about = ", ".join(finding.settings[:SHOWN]) + (f" and {more} more" if more > 0 else "")
    lines = [f"{paint(head, ROLES[finding.severity])}  {finding.rule}{setup_label(one, result)}"]
    lines += _wrapped(about, width)
    if finding.where:
        lines += _wrapped(f"at {finding.where}", width)
    lines += _wrapped(finding.says, width)
    if finding.signal:
        lines += _wrapped(f"{finding.precaution} {DEFERENCE}", width)
    if finding.repair:
        changes = " ".join(f"{repair.setting}={_quoted(repair.to)}" for repair in finding.repair)
        lines += _wrapped(f"passes with: {changes}", width)
    lines += _wrapped(f"source: {finding.source}", width)
    for other in finding.consequences:
        lines += _wrapped(f"so also {other.rule}: {other.says}", width, "  - ", "    ")
    return lines


def _wrapped(text: str, width: int, first: str = "  ", rest: str = "  ") -> list[str]:
    return wrap(visible(text), width, initial_indent=first, subsequent_indent=rest)


def _quoted(text: str) -> str:
    return f'"{text}"' if " " in text else text


def setup_label(one: Judged, result: Result) -> str:
    """Which setups a finding is about, where there are several."""
    if len(result.setups) < 2:
        return ""
    names = [visible(name) for name in dict.fromkeys(one.setup.values()) if name]
    return f"  [{' + '.join(names)}]" if names else "  [all]"


def gaps(result: Result) -> list[tuple[str, list[str]]]:
    """What is needed to tell more, and the rules that need it; what settles most comes first."""
    needs: dict[str, list[str]] = {}
    for gap in result.not_checked:
        needs.setdefault(gap.needs, []).append(gap.rule)
    return sorted(needs.items(), key=lambda item: (-len(item[1]), item[0]))


def _gap_lines(result: Result, width: int) -> list[str]:
    if not result.not_checked:
        return []
    lines = [f"cannot tell: {count(len(result.not_checked), 'question')}, for want of"]
    for need, rules in gaps(result):
        shown = ", ".join(rules[:6]) + (f" and {len(rules) - 6} more" if len(rules) > 6 else "")
        lines += wrap(f"{need}: {shown}", width, initial_indent="  ", subsequent_indent="      ")
    return [*lines, ""]


def verdict(result: Result) -> str:
    """How much was found and asked, in a line."""
    counts = dict.fromkeys(reversed(SEVERITIES), 0)
    for one in result.findings:
        counts[one.finding.severity] += 1
    told = [count(number, word) if word == "note" else f"{number} {word}" for word, number in counts.items() if number]
    said = ", ".join(told) or "nothing found"
    setups = len(result.setups)
    return f"{said}; {result.checked} questions answered over {setups} setup{'s' if setups != 1 else ''}"


def counted(finding: Finding) -> int:
    """A finding and its consequences."""
    return 1 + len(finding.consequences)
