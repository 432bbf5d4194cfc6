"""An audit as SARIF 2.1.0 (OASIS standard), which code hosts show beside the lines of a change.

Severities become levels: note stays one, differs and spoils are warnings, fails and hurts are errors. What cannot be
told is a result of kind "open"; what the policy suppresses is there with its reason. The standard wants suppressions on
all results of a run or on none (section 3.27.23), so each has them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from convert.errors import BeadwiseError, Problem
from convert.model.profile import Origin, Profile
from convert.report.audit_words import UNTOLD, places, setup_name, words
from convert.report.visible import visible
from convert.rules.bundle import Judged, Result
from convert.rules.engine import Unchecked

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {"note": "note", "differs": "warning", "spoils": "warning", "fails": "error", "hurts": "error"}
MOST_PLACES = 10
"""Places of one finding; readers show a few at the most."""


def document(
    version: str,
    result: Result,
    profiles: Sequence[Profile],
    errors: Sequence[BeadwiseError | Problem] = (),
    doubts: Sequence[Problem] = (),
) -> dict[str, Any]:
    """The log of one run of this version of beadwise.

    `errors` are files that could not be read, `doubts` what is wrong with those that could.
    """
    results = [_result(one, profiles) for one in result.findings]
    results += [
        {**_result(one, profiles), "suppressions": [_suppression(why.reason)]} for one, why in result.suppressed
    ]
    results += [_open(gap) for gap in result.not_checked]
    notes = [_notification(one, "error") for one in errors] + [_notification(one, "warning") for one in doubts]
    _tell_apart(results)
    run: dict[str, Any] = {
        "tool": {"driver": {"name": "beadwise", "version": version, "rules": _rules(result)}},
        "columnKind": "unicodeCodePoints",
        "invocations": [{"executionSuccessful": not errors, "toolExecutionNotifications": notes}],
        "results": results,
    }
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def _tell_apart(results: Sequence[dict[str, Any]]) -> None:
    """Number the fingerprints that several results share, such as those of two heaters in one piece of code."""
    seen: Counter[str] = Counter()
    for one in results:
        print_ = one["partialFingerprints"]
        seen[print_["finding/1"]] += 1
        if seen[print_["finding/1"]] > 1:
            print_["finding/1"] += f"/{seen[print_['finding/1']]}"


def _rules(result: Result) -> list[dict[str, Any]]:
    return [
        {
            "id": rule.code,
            "shortDescription": {"text": rule.question},
            "help": {"text": f"'beadwise explain {rule.code}' tells more. Source: {rule.source}"},
            "defaultConfiguration": {"level": LEVELS[rule.severity]},
        }
        for rule in result.ruleset
    ]


def _result(one: Judged, profiles: Sequence[Profile]) -> dict[str, Any]:
    finding = one.finding
    setup = setup_name(list(one.setup.values()))
    return {
        "ruleId": finding.rule,
        "level": LEVELS[finding.severity],
        "message": {"text": words(finding)},
        "locations": [_location(*place) for place in places(one, profiles)][:MOST_PLACES],
        "partialFingerprints": {"finding/1": "/".join([finding.rule, *finding.settings, setup])},
        "suppressions": [],
        "properties": {
            "severity": finding.severity,
            "signal": finding.signal,
            "setup": setup,
            "value": finding.value,
            "limit": finding.limit,
            "unit": finding.unit,
            "margin": finding.margin,
            "source": finding.source,
        },
    }


def _open(gap: Unchecked) -> dict[str, Any]:
    return {
        "ruleId": gap.rule,
        "kind": "open",
        "level": "none",
        "message": {"text": UNTOLD + visible(gap.needs)},
        "locations": [],
        "partialFingerprints": {"finding/1": f"{gap.rule}/open"},
        "suppressions": [],
        "properties": {},
    }


def _suppression(reason: str) -> dict[str, Any]:
    return {"kind": "external", "status": "accepted", "justification": visible(reason)}


def _location(setting: str, origin: Origin | None) -> dict[str, Any]:
    place: dict[str, Any] = {"logicalLocations": [{"fullyQualifiedName": setting, "kind": "member"}]}
    if origin is not None:
        place["physicalLocation"] = _physical(origin.file, origin.line, None)
    return place


def _physical(path: str, line: int | None, column: int | None) -> dict[str, Any]:
    place: dict[str, Any] = {"artifactLocation": {"uri": uri(path)}}
    if line:
        place["region"] = {"startLine": line, **({"startColumn": column} if column else {})}
    return place


def uri(path: str) -> str:
    """A path as a URI reference (RFC 3986); what is relative stays so.

    >>> uri("corpus/Kestavo C3.ini"), uri("/srv/a#1.ini")
    ('corpus/Kestavo%20C3.ini', 'file:///srv/a%231.ini')
    """
    pure = PurePath(path)
    text = quote(pure.as_posix().encode("utf-8", "surrogateescape"), safe="/!$&'()*+,;=@~-._")
    return f"file://{text if text[:1] == '/' else '/' + text}" if pure.is_absolute() else text


def _notification(one: BeadwiseError | Problem, level: str) -> dict[str, Any]:
    text = one.says + (f"; {one.hint}" if one.hint else "")
    made: dict[str, Any] = {"level": level, "message": {"text": visible(text)}}
    if one.where is not None and one.where.path != "-":
        made["locations"] = [{"physicalLocation": _physical(one.where.path, one.where.line, one.where.column)}]
    return made
