"""What `explain` says of a rule, a setting or a quantity, and of a setup's own numbers in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from textwrap import wrap
from typing import Any

from convert.errors import InputError, UsageError
from convert.model.profile import Origin
from convert.model.resolve import effective, stated
from convert.model.setting import SETTINGS, Setting
from convert.model.value import Value
from convert.physics import OutOfRange
from convert.report.grid import WIDTH, Paint, grid, plain
from convert.report.values import spoken
from convert.report.values import unit as shown_unit
from convert.report.visible import visible
from convert.rules.bundle import Combination
from convert.rules.derived import QUANTITIES, Quantity
from convert.rules.engine import audit
from convert.rules.finding import Finding
from convert.rules.policy import Policy
from convert.rules.quantities import FEATURES
from convert.rules.rule import Rule
from convert.rules.rulesets import group_of, rules
from convert.rules.setup import Missing, Setup

Subject = Rule | Setting | Quantity


@dataclass(slots=True)
class Case:
    """One setup's own numbers: inputs (setting, value in words, where from), results by feature, findings, what is
    missing.
    """

    setup: dict[str, str]
    inputs: list[tuple[str, str, str]] = field(default_factory=list)
    results: list[tuple[str, float | None, str]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    missing: str = ""


def subject(name: str) -> Subject:
    """The rule, setting or quantity of this name; UsageError with the closest ones."""
    known: dict[str, Subject] = {one.code: one for one in rules()}
    known.update(QUANTITIES)
    known.update(SETTINGS.rows())
    if name in known:
        return known[name]
    close = get_close_matches(name, known, 4, 0.5)
    hint = f"did you mean {', '.join(close)}?" if close else "'explain --list' names rules and quantities"
    raise UsageError(f"there is no rule, setting or quantity {visible(name[:60])!r}", hint=hint)


def _name(one: Subject) -> str:
    return one.code if isinstance(one, Rule) else one.id if isinstance(one, Setting) else one.name


def _needs(one: Subject, values: Mapping[str, Value]) -> list[str]:
    """The stated settings that a subject looks at."""
    if isinstance(one, Setting):
        return [one.id]
    found: list[str] = []
    for need in one.needs:
        if need.endswith(".*"):
            found += [name for name in SETTINGS if name.startswith(need[:-1]) and name in values]
        else:
            found.append(need)
    return list(dict.fromkeys(found))


def case(one: Subject, setup: Combination, origins: Mapping[str, Origin], policy: Policy | None = None) -> Case:
    """The numbers of one setup."""
    made = Case({scope: name for scope, name in setup.names.items() if name})
    for name in _needs(one, setup.values):
        made.inputs.append((name, *_input(name, setup.values, origins)))
    limits = policy.limits or None if policy else None
    judge = Setup(setup.values, limits=limits)
    if isinstance(one, Quantity):
        for feature in FEATURES if one.per_feature else ("",):
            try:
                made.results.append((feature, one(judge, feature or None), one.unit))
            except Missing as gap:
                made.missing = gap.needs
            except OutOfRange as error:
                made.missing = f"a usable value ({error})"
    elif isinstance(one, Rule):
        result = audit(setup.values, [one], setup.names, limits=limits)
        made.findings = result.findings
        made.missing = result.not_checked[0].needs if result.not_checked else ""
    return made


def _input(name: str, values: Mapping[str, Value], origins: Mapping[str, Origin]) -> tuple[str, str]:
    """Value and place of a setting, or what stands in for it."""
    if name in values:
        text = spoken(values[name], name)
        try:
            resolved = effective(values, name)
        except InputError as error:
            return f"{text} ({error.says})", ""
        if resolved is not None and resolved != values[name]:
            text += f" = {spoken(resolved, name)}"
        origin = origins.get(name)
        if origin is None:
            return text, ""
        file = origin.file.replace("\\", "/").rsplit("/", 1)[-1]
        place = f"{file}:{origin.line}" if origin.line else file
        how = {"own": "", "inherited": "", "default": f" (default of {origin.source})"}.get(
            origin.how, f" ({origin.source})"
        )
        return text, place + how
    source = stated(values, name)
    if source is not None:
        found = effective(values, name)
        return (spoken(found, name) if found is not None else "?"), f"not stated: as {source}"
    found = effective(values, name)
    return (spoken(found, name), "not stated: the full 100 %") if found is not None else ("not stated", "")


def document(one: Subject, cases: list[Case]) -> dict[str, Any]:
    """The explain/1 result."""
    return {
        "beadwise": "explain/1",
        "name": _name(one),
        "kind": "rule" if isinstance(one, Rule) else "setting" if isinstance(one, Setting) else "quantity",
        **_facts(one),
        "cases": [
            {
                "setup": made.setup,
                "inputs": [{"setting": name, "value": value, "origin": place} for name, value, place in made.inputs],
                "results": [{"feature": f or None, "value": value, "unit": unit} for f, value, unit in made.results],
                "findings": [
                    {
                        "severity": f.severity,
                        "says": f.says,
                        "value": f.value,
                        "limit": f.limit,
                        "unit": f.unit,
                        "margin": f.margin,
                        "repair": [{"setting": r.setting, "to": r.to} for r in f.repair],
                    }
                    for f in made.findings
                ],
                "needs": made.missing or None,
            }
            for made in cases
        ],
    }


def _facts(one: Subject) -> dict[str, Any]:
    if isinstance(one, Rule):
        return {
            "question": one.question,
            "group": group_of(one.code),
            "needs": list(one.needs),
            "formula": one.formula or None,
            "source": one.source,
            "good": dict(one.good),
            "bad": dict(one.bad),
        }
    if isinstance(one, Setting):
        return {
            "meaning": one.meaning,
            "scope": one.scope,
            "unit": one.unit or None,
            "rules": [rule.code for rule in rules() if _looks_at(rule, one.id)],
            "quantities": [row.name for row in QUANTITIES.values() if _looks_at(row, one.id)],
        }
    return {"meaning": one.meaning, "unit": one.unit, "formula": one.formula, "needs": list(one.needs)}


def _looks_at(one: Rule | Quantity, name: str) -> bool:
    return any(name == need or (need.endswith(".*") and name.startswith(need[:-1])) for need in one.needs)


def table(one: Subject, cases: list[Case], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """The explanation for people."""
    facts = _facts(one)
    lines = [f"{paint(_name(one), 'head')}  {facts.get('question') or facts.get('meaning')}"]
    for word in ("unit", "formula", "source", "needs", "rules", "quantities"):
        said = facts.get(word)
        if said:
            text = ", ".join(said) if isinstance(said, list) else shown_unit(said) if word == "unit" else said
            lines += wrap(f"{word}: {text}", width, initial_indent="  ", subsequent_indent="    ")
    for word in ("good", "bad"):
        if facts.get(word):
            text = "; ".join(f"{name} = {phrase}" for name, phrase in facts[word].items())
            lines += wrap(f"{word} example: {visible(text)}", width, initial_indent="  ", subsequent_indent="    ")
    for made in cases:
        lines += ["", *_case_lines(one, made, width, paint)]
    return "\n".join(lines)


def _case_lines(one: Subject, made: Case, width: int, paint: Paint) -> list[str]:
    lines = [paint(visible(" + ".join(dict.fromkeys(made.setup.values()))), "head")]
    if made.results:
        results = [[f, "" if v is None else f"{v:.4g}", shown_unit(unit)] for f, v, unit in made.results]
        lines.append(grid(results, width=width, indent=2, right=[1] if results[0][0] else [0], paint=paint))
    if isinstance(one, Rule):
        for finding in made.findings:
            lines += wrap(
                f"{finding.severity}: {visible(finding.says)}", width, initial_indent="  ", subsequent_indent="  "
            )
            if finding.margin is not None and finding.limit is not None:
                side = "beyond" if finding.margin < 0 else "within"
                limit = f"{finding.limit:.4g} {shown_unit(finding.unit)}".rstrip()
                by = f": {side} it by {abs(finding.margin):.1%}" if finding.limit else ""  # nothing is a share of 0
                lines.append(f"  {finding.value:.4g} against a limit of {limit}{by}")
            for repair in finding.repair:
                lines.append(f"  passes with {repair.setting} = {repair.to}")
            lines += ["  to grant it in a policy:", *(f"    {line}" for line in _grant(finding))]
        if not made.findings and not made.missing:
            lines.append("  passes")
    if made.missing:
        lines.append(f"  cannot tell: needs {made.missing}")
    rows = [[name, visible(value), visible(place)] for name, value, place in made.inputs]
    if rows:
        lines += ["  from", grid(rows, width=width, indent=4, paint=paint)]
    return lines


def _grant(finding: Finding) -> list[str]:
    """A suppression as a policy takes it, the reason left to the person."""
    lines = ["[[suppress]]", f'rule = "{finding.rule}"', f'setting = "{finding.settings[0]}"']
    if finding.value is not None:
        lines.append(f"value = {finding.value!r}")
    return [*lines, 'reason = ""']


def listing() -> dict[str, Any]:
    """All rules and quantities."""
    return {
        "beadwise": "explain/1",
        "rules": [
            {"rule": one.code, "group": group_of(one.code), "question": one.question, "source": one.source}
            for one in rules()
        ],
        "quantities": [{"quantity": row.name, "unit": row.unit, "meaning": row.meaning} for row in QUANTITIES.values()],
    }


def list_table(*, width: int = WIDTH, paint: Paint = plain) -> str:
    """One line each."""
    cells = [[one.code, group_of(one.code), one.question] for one in rules()]
    rows = [[row.name, shown_unit(row.unit), row.meaning] for row in QUANTITIES.values()]
    return "\n\n".join(
        [
            grid(cells, ["rule", "group", "question"], width=width, whole=[0], paint=paint),
            grid(rows, ["quantity", "unit", "meaning"], width=width, whole=[0], paint=paint),
        ]
    )
