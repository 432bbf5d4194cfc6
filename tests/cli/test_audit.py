"""`audit`, `explain` and `compute` from the outside."""

from __future__ import annotations

import json
import os
from pathlib import Path

import jsonschema
import pytest

from convert.resources import read_bytes
from tests.cli.run import run
from tests.zoo import WORKSHOP

SETUP = [os.path.join(WORKSHOP, "master", name) for name in ("kestavo-c3.toml", "meadow.toml", "kestavo-everyday.toml")]


def checked(text: str, kind: str) -> dict:
    document = json.loads(text)
    jsonschema.Draft202012Validator(json.loads(read_bytes("schemas", f"{kind}.schema.json"))).validate(document)
    assert document["beadwise"] == f"{kind}/1"
    return document


@pytest.fixture
def hot(tmp_path: Path) -> str:
    """A setup that leaves its heater on and asks for more than the hot end may reach."""
    path = tmp_path / "hot.toml"
    path.write_text(
        'beadwise = "master/1"\nname = "hot"\nmachine.name = "hot"\nfeedstock.name = "hot"\nprocess.name = "hot"\n'
        'code.start = "G28\\nM109 S{heat.nozzle_first}"\ncode.end = "G28 X"\nhotend.max_temperature = "250 Cel"\n'
        'heat.nozzle_first = "290 Cel"\nlayer.height = "0.2 mm"\nnozzle.diameter = "0.4 mm"\n'
    )
    return str(path)


def test_a_sound_setup_passes() -> None:
    done = run("audit", *SETUP)
    assert done.status == 0
    assert "questions answered over 1 setup" in done.out


def test_json_holds_to_its_schema(hot: str) -> None:
    for sources in (SETUP, [hot]):
        done = run("audit", "--format", "json", *sources)
        assert done.status in (0, 1)
        document = checked(done.out, "audit")
        assert document["setups"]
        assert document["checked"] > 50


def test_harm_has_a_signal_word_a_precaution_and_the_deferral(hot: str) -> None:
    done = run("audit", hot)
    assert done.status == 1
    assert "WARNING: hurts  left-hot" in done.out
    text = " ".join(done.out.split())
    assert "maker's manual and local rules come first" in text
    document = checked(run("audit", "--format", "json", hot).out, "audit")
    for finding in document["findings"]:
        assert (
            (finding["signal"] is not None) == (finding["severity"] == "hurts") == (finding["precaution"] is not None)
        )


def test_fail_on(hot: str) -> None:
    assert run("audit", "--fail-on", "hurts", *SETUP).status == 0
    assert run("audit", "--fail-on", "note", *SETUP).status == 1


def test_several_of_a_kind_are_judged_in_every_combination() -> None:
    more = os.path.join(WORKSHOP, "master", "harbour.toml")
    document = checked(run("audit", "--format", "json", *SETUP, more).out, "audit")
    assert {one["feedstock"] for one in document["setups"]} == {"Meadow", "Harbour"}


def test_steps_mark_the_first_violation(hot: str) -> None:
    out = run("audit", "--steps", hot).out
    assert "homes X Y Z" in out
    assert ">>" in out


def test_a_policy_suppresses_with_a_reason_and_reopens(hot: str, tmp_path: Path) -> None:
    document = checked(run("audit", "--format", "json", hot).out, "audit")
    found = next(f for f in document["findings"] if f["rule"] == "too-hot")
    policy = tmp_path / "policy.toml"
    head = 'beadwise = "policy/1"\n'
    entry = f'[[suppress]]\nrule = "too-hot"\nreason = "sensor reads high"\nvalue = {found["value"]}\n'
    policy.write_text(head + entry + '[[suppress]]\nrule = "left-hot"\nsetting = "code.pause"\nreason = "never used"\n')
    done = checked(run("audit", "--format", "json", "--policy", str(policy), hot).out, "audit")
    assert "too-hot" not in [f["rule"] for f in done["findings"]]
    assert done["suppressed"][0]["reason"] == "sensor reads high"
    assert done["unused_suppressions"] == ["left-hot about code.pause"]
    policy.write_text(head + entry.replace(str(found["value"]), "285.0"))
    done = checked(run("audit", "--format", "json", "--policy", str(policy), hot).out, "audit")
    assert any("open again" in f["says"] for f in done["findings"] if f["rule"] == "too-hot")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("nonsense", "no valid TOML"),
        ('beadwise = "policy/1"\n[limits]\n"no.such" = 1\n', "no limit is called"),
        ('beadwise = "policy/1"\n[[suppress]]\nrule = "left-hot"\n', "has no reason"),
        ('beadwise = "policy/1"\n[[suppress]]\nrule = "left-hat"\nreason = "x"\n', "did you mean left-hot"),
        ('beadwise = "policy/1"\nlimit = 1\n', "unknown word"),
    ],
)
def test_a_wrong_policy_is_a_usage_error(text: str, says: str, hot: str, tmp_path: Path) -> None:
    policy = tmp_path / "policy.toml"
    policy.write_text(text)
    done = run("audit", "--policy", str(policy), hot)
    assert done.status == 2
    assert says in done.err
    assert str(policy) in done.err


def test_nothing_to_audit_is_no_pass(tmp_path: Path) -> None:
    odd = tmp_path / "odd.ini"
    odd.write_text("some = thing\nother = 2\n")
    assert run("audit", str(odd)).status == 4


def test_explain_a_quantity_with_the_files_own_numbers() -> None:
    options = [part for path in SETUP for part in ("--for", path)]
    document = checked(run("explain", "wall_stack", "--format", "json", *options).out, "explain")
    assert document["cases"][0]["results"][0]["value"] == pytest.approx(
        0.42 + 2 * (0.45 - 0.2 * (1 - 3.141592653589793 / 4))
    )
    assert "wall.count" in run("explain", "wall_stack", *options).out


@pytest.mark.parametrize("name", ["left-hot", "layer.height", "volume_flow", "time_block"])
def test_explain_without_and_with_files(name: str) -> None:
    options = [part for path in SETUP for part in ("--for", path)]
    checked(run("explain", name, "--format", "json").out, "explain")
    document = checked(run("explain", name, "--format", "json", *options).out, "explain")
    assert len(document["cases"]) == 1
    assert run("explain", name, *options).status == 0


def test_explain_lists_and_offers() -> None:
    checked(run("explain", "--list", "--format", "json").out, "explain")
    done = run("explain", "volume_flaw")
    assert done.status == 2
    assert "did you mean volume_flow" in done.err


def test_compute() -> None:
    # 0.45 x 0.20 mm at 60 mm/s: 4.885 mm3/s; the bead is a rectangle with half-round ends (derived)
    document = checked(
        run("compute", "volume_flow", "width=0.45mm", "height=200um", "speed=3.6 m/min", "--format", "json").out,
        "compute",
    )
    assert document["results"][0]["value"] == pytest.approx(4.885, abs=5e-4)
    assert document["results"][0]["unit"] == "mm3/s"
    assert "4.885" in run("compute", "volume_flow", "width=0.45mm", "height=0.2mm", "speed=60mm/s").out


def test_compute_lists_every_model_with_inputs_units_formula_and_source() -> None:
    document = checked(run("compute", "--list", "--format", "json").out, "compute")
    assert len(document["models"]) > 80
    assert all(model["formula"] and model["source"] is not None and model["inputs"] for model in document["models"])


@pytest.mark.parametrize(
    ("inputs", "says"),
    [
        (["width=0.45"], "width=0.45mm"),
        (["width=0.45s"], "length is wanted"),
        (["width=0.45mm"], "needs height, speed"),
        (["wide=0.45mm"], "no input 'wide'"),
        (["width"], "NAME=VALUE"),
        (["width=0.45mm", "width=0.5mm"], "given twice"),
        (["width=0.1mm", "height=0.2mm", "speed=10mm/s"], "at least"),
        (["width=nan mm", "height=0.2mm", "speed=10mm/s"], "width"),
    ],
)
def test_wrong_input_is_told(inputs: list[str], says: str) -> None:
    done = run("compute", "volume_flow", *inputs)
    assert done.status == 2
    assert says in done.err
