"""One numeric check of the physics: what is asked, what must come, how far its source can be trusted.

    published        the numbers were read in a published text, table or data file, and the source column says where;
                     often that is a library which carries the example of a book, and the book itself was not opened
    quoted           taken from an abstract, excerpt or summary of the named work, which itself was not seen
    derived oracle   worked separately, by hand or script, from the geometry or balance that the source column names
    common practice  figures of the trade that nobody has to have published
    from memory      believed; a textbook that is named is where the example should stand, and nobody looked

The first two and the last are told apart by one thing: who has read the words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from convert.physics import heat, pressure
from convert.physics.limits import limit
from convert.physics.models import evaluate
from convert.physics.polymers import span
from convert.units import convert

PUBLISHED, QUOTED, DERIVED = "published", "quoted", "derived oracle"
PRACTICE, MEMORY = "common practice", "from memory"

INCH, FOOT, POUND, POUND_FORCE = 25.4, 304.8, 0.45359237, 4.4482216152605
"""mm, mm, kg, N: exact (UCUM essence 2.2), written out so that no code of the product takes part."""

PSI = POUND_FORCE / INCH**2
"""MPa"""

Inputs = Mapping[str, float]


@dataclass(frozen=True)
class Check:
    quantity: str
    """a model; "A result" of a model; polymer:FAMILY.QUANTITY.low|middle|high; limit:NAME; constant:NAME[i];
    unit:FROM>TO, for one FROM"""
    inputs: Inputs | tuple[Inputs, Inputs] | None
    """of the model; two of them ask for the ratio of its results; None where nothing is put in"""
    expected: float
    tolerance: float
    """relative; for published rows, the rounding of the source"""
    kind: str
    source: str

    @property
    def sort(self) -> str:
        """model, unit or table: a table row only holds a constant of the product to its source."""
        return "model" if self.inputs is not None else "unit" if self.quantity.startswith("unit:") else "table"

    def agrees(self, value: float) -> bool:
        return abs(value - self.expected) <= self.tolerance * abs(self.expected)


def found(check: Check, inputs: Inputs | tuple[Inputs, Inputs] | None = None) -> float:
    """What the product says, with the check's own inputs or with others in their place."""
    inputs = check.inputs if inputs is None else inputs
    sort, _, rest = check.quantity.partition(":")
    if sort == "polymer":
        family, quantity, end = rest.split(".")
        value = getattr(span(family, quantity), end)
        assert value is not None
        return value
    if sort == "limit":
        return limit(rest).value
    if sort == "constant":
        name, _, place = rest.partition("[")
        value = getattr(heat, name, None) or getattr(pressure, name)
        return float(value[int(place[:-1])] if place else value)
    if sort == "unit":
        source, target = rest.split(">")
        return float(convert(Fraction(1), source, target))
    assert inputs is not None
    if isinstance(inputs, tuple):
        first, second = (next(iter(evaluate(sort, one).values())) for one in inputs)
        return first / second
    model, _, result = check.quantity.partition(" ")
    values = evaluate(model, inputs)
    return values[result] if result else next(iter(values.values()))
