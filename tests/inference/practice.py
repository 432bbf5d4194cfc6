"""Practice dialects: lists of keys in practice/*.tsv, filled with the values of a known setup.

They were written from trade words, with the vocabulary in reach, so they prove nothing about words. They are there for
the calibration of confidence and for shapes of files that the tune half has not: nested roles, several values in one
key, other languages, other orders of abbreviations.

A list has one row a key: group (parts by /), key, setting, form. The form is the unit (1: share of 1), `!` for an
inverted flag, `%SETTING` for percents of it, `mm;` for two tools, `word=spelling,...` for choices. Several settings
parted by | share a key; then a last column holds the template. Setting `-`: no setting, and the form is the value. The
second line holds syntax, flags and decimal mark.
"""

from __future__ import annotations

import json
import os
from fractions import Fraction

from convert.errors import BeadwiseError
from convert.inference.learn import learn
from convert.model.numbers import converted
from convert.model.setting import SETTINGS, Setting
from convert.model.value import Share, State, Value
from convert.text.source import Source
from convert.units import unit
from tests.inference.measure import Score, judge_rows, profile

FOLDER = os.path.join(os.path.dirname(os.path.abspath(__file__)), "practice")
PRACTICE = tuple(sorted(name.removesuffix(".tsv") for name in os.listdir(FOLDER)))
SETUPS = {"a": ("larkmere", "tinnock", "paxwell", "selvedge"), "b": ("selvedge", "paxwell", "tinnock", "larkmere")}
"""Whose known values fill a sample: the first that has the setting."""


def values(sample: str) -> dict[str, Value]:
    """The values that fill a sample."""
    found: dict[str, Value] = {}
    for dialect in reversed(SETUPS[sample]):
        for name, value in profile(dialect).items():
            if isinstance(value, tuple) and value and SETTINGS[name].per_tool:
                value = value[0]
            if not isinstance(value, (Share, State, tuple)):
                found[name] = value
    return found


def practice(dialect: str, sample: str = "a") -> tuple[list[Source], list[dict]]:
    """The sample of a dialect, and its truth in the form of the development set."""
    with open(os.path.join(FOLDER, f"{dialect}.tsv"), encoding="utf-8") as file:
        _, header, *lines = file.read().rstrip("\n").split("\n")
    options = dict(part.split("=", 1) for part in header.split("\t"))
    yes, no = options["flags"].split(" ")
    known = values(sample)
    percents = [line.split("\t")[2:4] for line in lines if _is_share(line.split("\t")[3])]
    for setting, form in percents:
        # A share is written with whole percents, and means what comes of them.
        known[setting] = round(known[setting] / known[form[1:]] * 100) * known[form[1:]] / 100
    entries: list[tuple[tuple[str, ...], str, str, str]] = []
    truth: list[dict] = []
    name = {"ini": "sample.ini", "json": "sample.json", "csv": "sample.csv"}[options["syntax"]]
    for line in lines:
        group, key, settings, form, template, *_ = [*line.split("\t"), "", ""]
        path = tuple(group.split("/")) if group else ()
        shown = ("Value",) if options["syntax"] == "csv" else path
        if settings == "-":
            entries.append((path, key, form, ""))
            truth.append(_row(name, shown, key, None, None, None))
            continue
        parts = settings.split("|")
        if any(part not in known for part in parts):
            continue
        if _is_share(form):
            share = known[settings] / known[form[1:]] * 100
            entries.append((path, key, f"{float(share):.10g}%", ""))
            truth.append(_row(name, shown, key, settings, "%", {"percent_of": form[1:]}))
            continue
        mark = options.get("decimal", ".")
        tools = form.endswith(";")
        form = form.removesuffix(";")
        said = [_text(known[part], part, form, yes, no, mark) for part in parts]
        if tools:  # a second tool with slightly less
            less = known[settings] * Fraction(19, 20)
            said = [f"{said[0]}; {_text(less, settings, form, yes, no, mark)}"]
        text = template
        for number, one in enumerate(said, 1):
            text = text.replace(f"{{{number}}}", one)
        beside = form if options["syntax"] == "csv" and SETTINGS[parts[0]].is_number and form else ""
        entries.append((path, key, text if template else said[0], beside))
        for number, part in enumerate(parts, 1):
            relation: dict[str, object] = {"compound": template, "part": number} if template else {}
            if form == "!":
                relation["inverted"] = True
            if form == "1" and not beside:
                relation["fraction"] = True
            truth.append(_row(name, shown, key, part, _written(form, SETTINGS[part]), relation or None))
    return [Source.from_bytes(_file(entries, options).encode(), name)], truth


def _is_share(form: str) -> bool:
    return form.startswith("%") and form[1:] in SETTINGS


def _row(
    name: str, path: tuple[str, ...], key: str, setting: str | None, written: str | None, relation: object
) -> dict:
    return {"file": name, "path": list(path), "key": key, "setting": setting, "unit": written, "relation": relation}


def _text(value: Value, name: str, form: str, yes: str, no: str, mark: str) -> str:
    setting = SETTINGS[name]
    if isinstance(value, bool):
        return yes if value != (form == "!") else no
    if not isinstance(value, Fraction):
        words = dict(part.split("=", 1) for part in form.split(",") if "=" in part)
        return words.get(str(value), str(value))
    if setting.kind == "percent":
        size = value / 100 if form == "1" else value
    else:
        size, written = value, _written(form, setting)
        if written:
            size = converted(value, unit(setting.unit, setting.kind), unit(written, setting.kind))
    return f"{float(size):.10g}".replace(".", mark)


def _written(form: str, setting: Setting) -> str | None:
    """The unit that the values of a setting are written in; None for kinds without one."""
    if not setting.is_number or setting.kind == "count":
        return None
    try:
        unit(form, setting.kind)
    except BeadwiseError:
        return setting.unit  # another quantity that shares the key
    return form


def _file(entries: list[tuple[tuple[str, ...], str, str, str]], options: dict[str, str]) -> str:
    if options["syntax"] == "json":
        root: dict = {}
        for path, key, text, _ in entries:
            place = root
            for group in path:
                place = place.setdefault(group, {})
            place[key] = _native(text)
        return json.dumps(root, indent=2, ensure_ascii=False) + "\n"
    if options["syntax"] == "csv":
        rows = [";".join((key, _one_line(text), beside)) for _, key, text, beside in entries]
        return "Setting;Value;Unit\n" + "\n".join(rows) + "\n"
    made, section = [], ""
    if "comment" in options:
        made.append(f"# {options['comment']}")
    for path, key, text, _ in entries:
        if path and path[0] != section:
            section = path[0]
            made.append(f"[{section}]")
        made.append(f"{key} = {_one_line(text)}")
    return "\n".join(made) + "\n"


def _one_line(text: str) -> str:
    return text.replace("\n", "\\n")


def _native(text: str) -> object:
    if text in ("true", "false"):
        return text == "true"
    try:
        return json.loads(text) if text[:1] in "-0123456789" else text
    except ValueError:
        return text


def run_practice(dialect: str, sample: str = "a", same_as: bool = False) -> Score:
    """Learn a practice sample and judge it."""
    sources, rows = practice(dialect, sample)
    return judge_rows(rows, learn(sources, [values(sample)] if same_as else ()))
