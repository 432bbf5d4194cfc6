"""The one list of physics models that a person can compute with: `schemas/models.tsv`, and the functions behind it.

A row names the function, its inputs (units and meanings stand in `schemas/models.inputs.tsv`, one meaning a name), its
results with their units, formula, range, status and source, and a worked example. An input with "=" has a default.

>>> model("wall_stack").results
(Result(name='thickness', unit='mm'),)
>>> evaluate("volume_flow", {"width": 0.45, "height": 0.2, "speed": 60})
{'flow': 4.884955592153876}
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from convert.errors import UsageError
from convert.physics import INFINITY, OutOfRange
from convert.physics.tables import rows

_COLUMNS = "name function meaning inputs results formula valid status source example"


@dataclass(frozen=True, slots=True)
class Input:
    """One input: value expected in `unit` (UCUM); `default` is None where it must be given."""

    name: str
    unit: str
    meaning: str
    default: float | None


@dataclass(frozen=True, slots=True)
class Result:
    """One result and its unit (UCUM)."""

    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Model:
    """One row of the list."""

    name: str
    function: str
    """module:function"""
    meaning: str
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    formula: str
    valid: str
    """range beyond what the inputs' own limits say; empty: none"""
    status: str
    """published, derived, common practice or from memory"""
    source: str
    example: dict[str, str]
    """inputs of a worked example"""
    gives: dict[str, str]
    """its results, to six digits"""

    def load(self) -> Callable[..., float | tuple[float, ...]]:
        """The function itself; its parameters bear the names of the inputs."""
        from importlib import import_module

        module, _, name = self.function.partition(":")
        function: Callable[..., float | tuple[float, ...]] = getattr(import_module(module), name)
        return function


@cache
def models() -> Mapping[str, Model]:
    """All models by name, in the order of the table, read on first use (also as `MODELS`)."""
    meanings = {name: (unit, meaning) for name, unit, meaning in rows("models.inputs.tsv", "name unit meaning")}
    return {cells[0]: _model(cells, meanings) for cells in rows("models.tsv", _COLUMNS)}


def __getattr__(name: str) -> Mapping[str, Model]:
    if name == "MODELS":
        return models()
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def _model(cells: list[str], meanings: Mapping[str, tuple[str, str]]) -> Model:
    name, function, meaning, inputs, results, formula, valid, status, source, example = cells
    given = []
    for text in inputs.split(", "):
        key, _, default = text.partition("=")
        given.append(Input(key, *meanings[key], float(default) if default else None))
    made = [Result(*text.split(" ")) for text in results.split(", ")]
    asked, gives = (dict(pair.split("=") for pair in part.split(", ")) for part in example.split(" -> "))
    return Model(name, function, meaning, tuple(given), tuple(made), formula, valid, status, source, asked, gives)


def model(name: str) -> Model:
    """The model of this name; an unknown name is an error that offers the closest ones.

    >>> model("wal_stack")
    Traceback (most recent call last):
    convert.errors.UsageError: no model is called 'wal_stack'; did you mean wall_stack, wall_rest, wall_stress?
    """
    known = models()
    if name in known:
        return known[name]
    raise UsageError(f"no model is called {name[:60]!r}", None, _offer(name, known))


def _offer(name: str, known: Iterable[str]) -> str:
    from difflib import get_close_matches  # only on the way to an error

    close = get_close_matches(name[:60].replace("-", "_").replace(" ", "_").casefold(), list(known), 3, 0.5)
    return f"did you mean {', '.join(close)}?" if close else f"there are {', '.join(list(known)[:200])}"


def evaluate(name: str, inputs: Mapping[str, float]) -> dict[str, float]:
    """The results of a model by name, for inputs in the units that its row declares.

    Raises UsageError for an unknown model, a missing or an unknown input, and `OutOfRange` (a UsageError and
    ValueError) for a value in which the formula means nothing.

    >>> evaluate("filament_speed", {"flow": 12, "diametre": 1.75})
    Traceback (most recent call last):
    convert.errors.UsageError: filament_speed has no input 'diametre'; did you mean diameter?
    >>> evaluate("filament_speed", {"flow": 12})
    Traceback (most recent call last):
    convert.errors.UsageError: filament_speed needs diameter; diameter of the filament, in mm
    """
    row = model(name)
    known = {one.name: one for one in row.inputs}
    for given in inputs:
        if given not in known:
            raise UsageError(f"{name} has no input {given[:60]!r}", None, _offer(given, known))
    missing = [one for one in row.inputs if one.default is None and one.name not in inputs]
    if missing:
        hint = ", ".join(f"{one.meaning}, in {one.unit}" for one in missing)
        raise UsageError(f"{name} needs {', '.join(one.name for one in missing)}", None, hint)
    try:
        found = row.load()(**{one: float(value) for one, value in inputs.items()})
    except OutOfRange:
        raise
    except (ArithmeticError, ValueError) as error:  # overflow, or the sine of an overflow
        raise UsageError(f"{name} cannot be computed: {error}", None, "these inputs are too far apart") from error
    numbers = found if isinstance(found, tuple) else (found,)
    for number in numbers:
        if not abs(number) < INFINITY:
            raise OutOfRange("the result", number, "finite; these inputs are too far apart")
    return {result.name: float(number) for result, number in zip(row.results, numbers, strict=True)}
