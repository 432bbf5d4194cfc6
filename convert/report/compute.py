"""The calculator: inputs with units to the model's own units, results with theirs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from textwrap import wrap
from typing import Any

from convert.errors import InputError, UsageError
from convert.model.numbers import parse_number, parse_quantity, split_quantity
from convert.physics.models import Input, Model, evaluate
from convert.report.grid import WIDTH, Paint, grid, plain
from convert.report.values import unit as shown_unit
from convert.report.visible import visible
from convert.units import codes, convert, kinds, unit


def quantities(row: Model, texts: Sequence[str]) -> dict[str, float]:
    """NAME=VALUE texts as numbers in the model's units. UsageError tells what is wrong with one.

    >>> from convert.physics.models import model
    >>> quantities(model("volume_flow"), ["width=0.45mm", "height=200um", "speed=3.6 m/min"])
    {'width': 0.45, 'height': 0.2, 'speed': 60.0}
    """
    known = {one.name: one for one in row.inputs}
    found: dict[str, float] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        name = name.strip()
        if not equals:
            raise UsageError(f"{visible(text)!r} is no NAME=VALUE", hint=_asked(row))
        if name not in known:
            raise UsageError(f"{row.name} has no input {visible(name)!r}", hint=_asked(row))
        if name in found:
            raise UsageError(f"{name} is given twice", hint="give it once")
        found[name] = _number(known[name], value.strip())
    return found


def _asked(row: Model) -> str:
    asked = ", ".join(f"{one.name} ({one.unit})" + ("" if one.default is None else " or nothing") for one in row.inputs)
    return f"its inputs are {asked}"


def _number(one: Input, text: str) -> float:
    """One value in the unit that the model wants."""
    number, found = split_quantity(text)
    try:
        if one.unit == "1" and not found:
            return _double(parse_number(number))
        if not found:
            name = "a unit" if not number else f"its unit, {one.name}={number}{one.unit}"
            raise UsageError(
                f"{one.name} needs {name}", hint=f"it is {one.meaning}, in {one.unit} or any unit of that kind"
            )
        if found == one.unit:
            return _double(parse_number(number))
        error: InputError | None = None
        for kind in _kinds(one.unit):
            try:
                value, given = parse_quantity(text, kind)
                return _double(convert(value, given, unit(one.unit, kind)))
            except InputError as wrong:
                error = error or wrong
    except InputError as wrong:
        error = wrong
    says = error.says if error else f"{found} is no unit for it"
    raise UsageError(f"{one.name}: {says}", hint=f"it is {one.meaning}, in {one.unit} or any unit of that kind")


def _double(value: Fraction) -> float:
    try:
        return float(value)
    except OverflowError:
        raise InputError("the number is too large to compute with") from None


def _kinds(code: str) -> list[str]:
    """The kinds of quantity that a unit belongs to."""
    return [kind for kind in kinds() if code in codes(kind)]


def evaluated(row: Model, given: Mapping[str, float]) -> dict[str, float]:
    """The results, by name."""
    return evaluate(row.name, given)


def document(row: Model, given: Mapping[str, float], results: Mapping[str, float]) -> dict[str, Any]:
    """The compute/1 result."""
    units = {one.name: one.unit for one in row.inputs}
    made = {one.name: one.unit for one in row.results}
    return {
        "beadwise": "compute/1",
        "quantity": row.name,
        "inputs": [{"name": name, "value": value, "unit": units[name]} for name, value in given.items()],
        "results": [{"name": name, "value": value, "unit": made[name]} for name, value in results.items()],
        **_about(row),
    }


def listing(rows: Sequence[Model]) -> dict[str, Any]:
    """All models as a document."""
    return {
        "beadwise": "compute/1",
        "models": [
            {
                "quantity": row.name,
                "inputs": [
                    {"name": one.name, "unit": one.unit, "meaning": one.meaning, "default": one.default}
                    for one in row.inputs
                ],
                "results": [{"name": one.name, "unit": one.unit} for one in row.results],
                "example": {"inputs": row.example, "results": row.gives},
                **_about(row),
            }
            for row in rows
        ],
    }


def _about(row: Model) -> dict[str, Any]:
    return {
        "meaning": row.meaning,
        "formula": row.formula,
        "valid": row.valid or None,
        "status": row.status,
        "source": row.source,
    }


def table(
    row: Model, given: Mapping[str, float], results: Mapping[str, float], *, width: int = WIDTH, paint: Paint = plain
) -> str:
    """Results first, then what they were computed from."""
    made = {one.name: one.unit for one in row.results}
    lines = [
        grid(
            [[(name, "head"), spelled(value), shown_unit(made[name])] for name, value in results.items()],
            right=[1],
            width=width,
            paint=paint,
        ),
        "",
    ]
    rows = []
    for one in row.inputs:
        if one.name in given:
            rows.append([one.name, spelled(given[one.name]), shown_unit(one.unit), one.meaning])
        elif one.default is not None:
            rows.append([one.name, spelled(one.default), shown_unit(one.unit), f"{one.meaning} (the default)"])
    lines.append(grid(rows, right=[1], width=width, indent=2, paint=paint))
    return "\n".join([*lines, "", *_notes(row, width)])


def explained(row: Model, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """What a model needs and gives."""
    asked = [
        [one.name, one.unit, one.meaning + ("" if one.default is None else f" (if not given: {one.default:g})")]
        for one in row.inputs
    ]
    made = ", ".join(f"{one.name} in {one.unit}" for one in row.results)
    example = " ".join(f"{name}={value}{_glued(row, name)}" for name, value in row.example.items())
    return "\n".join(
        [
            f"{paint(row.name, 'head')}  {row.meaning}",
            "",
            grid(asked, ["input", "unit", "meaning"], width=width, indent=2, paint=paint),
            "",
            f"  gives {made}",
            *_notes(row, width),
            f"  try: beadwise compute {row.name} {example}",
        ]
    )


def _glued(row: Model, name: str) -> str:
    code = next(one.unit for one in row.inputs if one.name == name)
    return "" if code == "1" else code


def _notes(row: Model, width: int) -> list[str]:
    texts = [f"formula: {row.formula}"]
    if row.valid:
        texts.append(f"holds for {row.valid}")
    texts.append(f"source: {row.status}" + (f", {row.source}" if row.source and row.source != row.status else ""))
    return [line for text in texts for line in wrap(text, width, initial_indent="  ", subsequent_indent="    ")]


def list_table(rows: Sequence[Model], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """One line a model."""
    cells = [
        [row.name, ", ".join(one.name for one in row.inputs), ", ".join(one.unit for one in row.results), row.meaning]
        for row in rows
    ]
    return grid(cells, ["quantity", "inputs", "in", "meaning"], width=width, whole=[0], paint=paint)


def spelled(value: float) -> str:
    """Five significant digits, without exponent where that is readable.

    >>> spelled(24.41592), spelled(0.000123456), spelled(2311.3)
    ('24.416', '0.00012346', '2311.3')
    """
    return f"{value:.5g}"
