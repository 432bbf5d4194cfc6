"""An audit as the XML that build servers show as test results: one suite, a case for each rule and finding.

There is no standard for it; the elements and attributes are the ones that all readers known to check it accept. A
finding below the threshold passes and stands in the case's output; what cannot be told, or is suppressed, is skipped.
"""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree as xml

from convert.errors import BeadwiseError, Problem
from convert.report.audit_words import UNTOLD, counts, setup_name, words
from convert.report.visible import visible
from convert.rules.bundle import Judged, Result
from convert.rules.finding import RANK

NAME = "beadwise audit"


def document(result: Result, fail_on: str, errors: Sequence[BeadwiseError | Problem] = ()) -> bytes:
    """The file. A finding as grave as `fail_on` is a failure, a file that could not be read an error."""
    suite = xml.Element("testsuite", name=NAME)
    xml.SubElement(suite, "properties")
    found = {one.finding.rule for one in result.findings} | {one.finding.rule for one, _ in result.suppressed}
    needs = {gap.rule: gap.needs for gap in result.not_checked}
    for rule in result.ruleset:
        if rule.code not in found:
            case = _case(suite, rule.code, rule.question)
            if rule.code in needs:
                xml.SubElement(case, "skipped", message=UNTOLD + visible(needs[rule.code]))
    for one in result.findings:
        case = _case(suite, one.finding.rule, _about(one))
        if RANK[one.finding.severity] >= RANK[fail_on]:
            failure = xml.SubElement(
                case, "failure", type=one.finding.severity, message=visible(one.finding.says).strip()
            )
            failure.text = words(one.finding)
        else:
            xml.SubElement(case, "system-out").text = f"{one.finding.severity}: {words(one.finding)}"
    for one, why in result.suppressed:
        case = _case(suite, one.finding.rule, _about(one))
        xml.SubElement(case, "skipped", message=f"suppressed: {visible(why.reason)}")
    for error in errors:
        case = _case(suite, "input", visible(error.where.path) if error.where else "files")
        xml.SubElement(case, "error", message=visible(str(error)))
    xml.SubElement(suite, "system-out").text = counts(result)
    numbers = {
        "tests": "testcase",
        "failures": "testcase/failure",
        "errors": "testcase/error",
        "skipped": "testcase/skipped",
    }
    for attribute, path in numbers.items():
        suite.set(attribute, str(len(suite.findall(path))))
    root = xml.Element("testsuites", name=NAME)
    for attribute in ("tests", "failures", "errors"):
        root.set(attribute, suite.get(attribute, ""))
    root.append(suite)
    xml.indent(root)
    return bytes(xml.tostring(root, encoding="utf-8", xml_declaration=True)) + b"\n"


def _case(suite: xml.Element, rule: str, name: str) -> xml.Element:
    return xml.SubElement(suite, "testcase", classname=rule, name=name)


def _about(one: Judged) -> str:
    """What tells one finding of a rule from another: its settings, its place in their code, and its setup."""
    finding, setup = one.finding, setup_name(list(one.setup.values()))
    about = finding.where or ", ".join(finding.settings) or finding.rule
    amount = f"({finding.value:g} {finding.unit})" if finding.where and finding.value is not None else ""
    return " ".join(filter(None, [visible(about), amount, f"[{setup}]" if setup else ""]))
