"""An audit in the forms that code hosts and build servers read."""

from __future__ import annotations

import json
import os
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree as xml

import pytest
from jsonschema import Draft202012Validator

from tests.cli.run import run
from tests.zoo import ROOT

SLIP = os.path.join(ROOT, "corpus", "awkward", "quern-unit-slip.quern.ini")
MASTER = os.path.join(ROOT, "corpus", "workshop", "master")
SETUP = [os.path.join(MASTER, f"{name}.toml") for name in ("kestavo-c3", "meadow", "kestavo-everyday")]

# What SARIF 2.1.0 (OASIS) requires of the parts that are written here, retyped from its schema: members, words, counts.
PLACE = {
    "type": "object",
    "properties": {
        "artifactLocation": {"type": "object", "required": ["uri"]},
        "region": {"type": "object", "properties": {"startLine": {"minimum": 1}, "startColumn": {"minimum": 1}}},
    },
    "additionalProperties": False,
    "required": ["artifactLocation"],
}
LOCATIONS = {
    "type": "array",
    "items": {
        "type": "object",
        "properties": {"physicalLocation": PLACE, "logicalLocations": {"type": "array"}},
        "additionalProperties": False,
    },
}
LEVEL = {"enum": ["none", "note", "warning", "error"]}
TEXT = {"type": "object", "required": ["text"], "properties": {"text": {"type": "string", "minLength": 1}}}
RESULT = {
    "type": "object",
    "required": ["message", "ruleId", "suppressions"],
    "additionalProperties": False,
    "properties": {
        "ruleId": {"type": "string"},
        "level": LEVEL,
        "kind": {"enum": ["notApplicable", "pass", "fail", "review", "open", "informational"]},
        "message": TEXT,
        "locations": LOCATIONS,
        "partialFingerprints": {"type": "object", "additionalProperties": {"type": "string"}},
        "suppressions": {
            "type": "array",
            "items": {
                "required": ["kind"],
                "additionalProperties": False,
                "properties": {
                    "kind": {"enum": ["inSource", "external"]},
                    "status": {"enum": ["accepted", "underReview", "rejected"]},
                    "justification": {"type": "string"},
                },
            },
        },
        "properties": {"type": "object"},
    },
}
RULE = {
    "type": "object",
    "required": ["id"],
    "properties": {"shortDescription": TEXT, "help": TEXT, "defaultConfiguration": {"properties": {"level": LEVEL}}},
}
NOTIFICATION = {"required": ["message"], "properties": {"message": TEXT, "level": LEVEL, "locations": LOCATIONS}}
LOG = {
    "type": "object",
    "required": ["version", "runs"],
    "properties": {
        "version": {"const": "2.1.0"},
        "runs": {
            "minItems": 1,
            "items": {
                "required": ["tool"],
                "properties": {
                    "tool": {
                        "required": ["driver"],
                        "properties": {"driver": {"required": ["name"], "properties": {"rules": {"items": RULE}}}},
                    },
                    "invocations": {
                        "items": {
                            "required": ["executionSuccessful"],
                            "properties": {"toolExecutionNotifications": {"items": NOTIFICATION}},
                        }
                    },
                    "results": {"items": RESULT},
                },
            },
        },
    },
}


def sarif(*arguments: str, status: int) -> dict:
    found = run("audit", *arguments, "--format", "sarif")
    assert found.status == status
    Draft202012Validator(LOG).validate(found.document)
    (made,) = found.document["runs"]
    return made


def test_each_finding_is_a_result_beside_its_lines() -> None:
    made = sarif(SLIP, status=1)
    known = run("audit", SLIP, "--format", "json").document
    results = made["results"]
    closed = [one for one in results if one.get("kind") != "open"]
    assert Counter(one["ruleId"] for one in closed) == Counter(one["rule"] for one in known["findings"])
    assert len(results) - len(closed) == len(known["not_checked"])
    slip = next(one for one in closed if one["ruleId"] == "acceleration-in-metres")
    assert slip["level"] == "error"
    assert 'Passes with: acceleration.default="6000 mm/s2".' in slip["message"]["text"]
    (place,) = slip["locations"]
    lines = Path(SLIP).read_text().splitlines()
    assert "= 6000" in lines[place["physicalLocation"]["region"]["startLine"] - 1]
    assert place["logicalLocations"] == [{"fullyQualifiedName": "acceleration.default", "kind": "member"}]
    rules = [rule["id"] for rule in made["tool"]["driver"]["rules"]]
    assert len(set(rules)) == len(rules) > 100
    assert {one["ruleId"] for one in results} <= set(rules)
    assert len({json.dumps(one["partialFingerprints"]) for one in results}) == len(results)


def test_what_hurts_has_its_signal_word_and_precaution_in_every_form(tmp_path: Path) -> None:
    hot = tmp_path / "hot.toml"

    text = Path(SETUP[0]).read_text().replace("M104 S0", "M104 S210").replace("M140 S0", "M140 S60")
    hot.write_text(text)
    found = run("audit", str(hot), *SETUP[1:], "--format", "json").document
    hurting = [one for one in found["findings"] if one["severity"] == "hurts"]
    assert hurting
    made = sarif(str(hot), *SETUP[1:], status=1)
    cases = junit(str(hot), *SETUP[1:], status=1)
    for one in hurting:
        texts = [other["message"]["text"] for other in made["results"] if other["ruleId"] == one["rule"]]
        texts += [case.findtext("failure") or "" for case in cases if case.get("classname") == one["rule"]]
        assert len(texts) >= 2
        for said in texts:
            assert said.startswith(f"{one['signal']}: ")
            assert one["precaution"] in said


def test_what_a_policy_suppresses_is_there_with_its_reason(tmp_path: Path) -> None:
    policy = tmp_path / "policy.toml"
    rule = "acceleration-in-metres"
    granted = f'[[suppress]]\nrule = "{rule}"\nvalue = 6000000\nreason = "the board takes metres"\n'
    policy.write_text(f'beadwise = "policy/1"\n{granted}')
    made = sarif(SLIP, "--policy", str(policy), status=1)
    (one,) = [one for one in made["results"] if one["ruleId"] == rule]
    assert one["suppressions"] == [
        {"kind": "external", "status": "accepted", "justification": "the board takes metres"}
    ]
    (case,) = [case for case in junit(SLIP, "--policy", str(policy), status=1) if case.get("classname") == rule]
    assert case.find("skipped").get("message") == "suppressed: the board takes metres"  # type: ignore[union-attr]


def test_files_that_cannot_be_used_are_errors(tmp_path: Path) -> None:
    broken = tmp_path / "a #1 \x07.json"
    broken.write_bytes(b'{"a": ')
    made = sarif(SLIP, str(broken), status=3)
    (ran,) = made["invocations"]
    assert ran["executionSuccessful"] is False
    (wrong,) = [one for one in ran["toolExecutionNotifications"] if one["level"] == "error"]
    uri = wrong["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    assert uri.endswith("/a%20%231%20%07.json")
    cases = junit(SLIP, str(broken), status=3)
    assert len([case for case in cases if case.find("error") is not None]) == 1


def junit(*arguments: str, status: int) -> list[xml.Element]:
    """The cases, after a look at all that readers of such files check."""
    found = run("audit", *arguments, "--format", "junit")
    assert found.status == status
    root = xml.fromstring(found.data)
    assert root.tag == "testsuites"
    (suite,) = root
    assert suite.tag == "testsuite"
    cases = suite.findall("testcase")
    counted = {"tests": cases}
    for attribute, tag in {"failures": "failure", "errors": "error", "skipped": "skipped"}.items():
        counted[attribute] = [case for case in cases if case.find(tag) is not None]
    assert {name: int(suite.get(name, "-1")) for name in counted} == {name: len(of) for name, of in counted.items()}
    assert set(root.attrib) == {"name", "tests", "failures", "errors"}
    for case in cases:
        assert set(case.attrib) == {"name", "classname"}
        assert len(case) <= 1
    keys = [(case.get("classname"), case.get("name")) for case in cases]
    assert len(set(keys)) == len(keys)
    return cases


@pytest.mark.parametrize("threshold", ["note", "differs", "spoils", "fails", "hurts"])
def test_a_case_fails_from_the_threshold_on(threshold: str) -> None:
    found = run("audit", SLIP, "--format", "json", "--fail-on", threshold)
    ranks = ["note", "differs", "spoils", "fails", "hurts"]
    grave = [one for one in found.document["findings"] if ranks.index(one["severity"]) >= ranks.index(threshold)]
    cases = junit(SLIP, "--fail-on", threshold, status=found.status)
    failed = [case for case in cases if case.find("failure") is not None]
    assert Counter(case.get("classname") for case in failed) == Counter(one["rule"] for one in grave)
    assert (found.status == 1) == bool(failed)


def test_rules_that_pass_are_cases_too() -> None:
    cases = junit(*SETUP, status=0)
    assert len([case for case in cases if len(case) == 0]) > 100


def test_a_finding_about_standard_input_names_its_setting() -> None:
    found = run("audit", "-", "--format", "sarif", stdin=Path(SLIP).read_bytes())
    (slip,) = (one for one in found.document["runs"][0]["results"] if one["ruleId"] == "acceleration-in-metres")
    names = [part["fullyQualifiedName"] for place in slip["locations"] for part in place["logicalLocations"]]
    assert names == ["acceleration.default"]
    assert not any("physicalLocation" in place for place in slip["locations"])
