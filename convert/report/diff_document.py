"""A comparison as the diff/1 result."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from convert.changes.compare import Fact
from convert.changes.difference import Compared, Difference
from convert.changes.figures import Figure
from convert.changes.meaning import Change
from convert.changes.pairs import Pair
from convert.model.codec import value_to_json
from convert.model.profile import Origin
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.rules.finding import Finding

if TYPE_CHECKING:
    from convert.changes.symptoms import Suspect


def document(result: Difference, about: str | None = None, suspects: Sequence[Suspect] = ()) -> dict[str, Any]:
    """The diff/1 result."""
    changes = [
        _change(change, fact, results[0], result) for change, results in result.changes for fact in change.group.facts
    ]
    made: dict[str, Any] = {
        "beadwise": "diff/1",
        "verdict": result.verdict(),
        "changes": changes,
        "same": [{"setting": one.setting, "why": one.why} for one in result.same],
        "figures": [_figure(one, of, result) for of in result.results for one in of.figures],
        "overall": result.overall(),
        "compared": result.compared,
        "not_compared": [{"what": one.what, "why": one.why} for one in result.not_compared],
        "attribution": [_attribution(one) for one in result.results if one.totals is not None and one.shares],
        "not_understood": [
            {"dialect": one.dialect, "path": list(one.path), "key": one.key, "before": one.before, "after": one.after,
             "inside": one.inside}
            for one in result.carried
        ],
        "findings": [_finding(one) for one in result.unplaced],
        "notes": result.notes,
        "pairs": [_pair(one.pair) for one in result.results],
    }  # fmt: skip
    if about is not None:
        made["about"] = {
            "symptom": about,
            "suspects": [{"settings": list(one.change.group.settings), "why": one.why} for one in suspects],
        }
    return made


def _pair(pair: Pair) -> dict[str, Any]:
    old, new = pair.old, pair.new
    return {"scopes": list(pair.scopes), "old": old.name if old else None, "new": new.name if new else None}


def _change(change: Change, fact: Fact, of: Compared, result: Difference) -> dict[str, Any]:
    old, new = of.pair.old, of.pair.new
    made = {
        "setting": fact.setting,
        "before": _value(fact.before_resolved if fact.before_resolved is not None else fact.before, fact.setting),
        "after": _value(fact.after_resolved if fact.after_resolved is not None else fact.after, fact.setting),
        "derived_from": fact.derived_from,
        "severity": change.severity,
        "effects": change.effects[fact.setting],
        "says": change.says,
        "with": [name for name in change.group.settings if name != fact.setting],
        "signal": change.signal,
        "findings": [_finding(one) for one in change.come],
        "resolved": [_finding(one) for one in change.gone],
        "origin": {
            "before": _origin(old.origin(fact.setting) if old else None),
            "after": _origin(new.origin(fact.setting) if new else None),
        },
    }
    if len(result.results) > 1:
        made["pair"] = of.pair.name
    return made


def _value(value: Value | None, name: str) -> dict[str, Any] | None:
    """{value, unit}, the unit null where there is none; a state or relation that comes to no number as it stands."""
    if value is None:
        return None
    made = value_to_json(value, SETTINGS[name])
    return {"value": made["value"], "unit": made.get("unit")} if "value" in made else made


def _origin(origin: Origin | None) -> dict[str, Any] | None:
    if origin is None:
        return None
    return {"how": origin.how, "file": origin.file, "line": origin.line, "key": origin.key, "source": origin.source}


def _finding(finding: Finding) -> dict[str, Any]:
    return {"rule": finding.rule, "severity": finding.severity, "says": finding.says}


def _figure(figure: Figure, of: Compared, result: Difference) -> dict[str, Any]:
    made = {
        "quantity": figure.quantity,
        "feature": figure.feature,
        "before": figure.before,
        "after": figure.after,
        "unit": figure.unit,
    }
    if figure.tool > 1:
        made["tool"] = figure.tool
    if len(result.results) > 1:
        made["pair"] = of.pair.name
    return made


def _attribution(of: Compared) -> dict[str, Any]:
    assert of.totals is not None
    parts = ("time", "material", "flow")
    before, after = of.totals
    return {
        "pair": of.pair.name,
        "body": "block",
        "exact": of.exact,
        "before": dict(zip(parts, before, strict=True)),
        "after": dict(zip(parts, after, strict=True)),
        "units": {"time": "s", "material": of.mass_unit, "flow": "mm3/s"},
        "shares": [
            {
                "settings": list(one.settings),
                **dict(zip(parts, one.amount, strict=True)),
                "error": dict(zip(parts, one.error, strict=True)),
            }
            for one in of.shares
        ],
    }
