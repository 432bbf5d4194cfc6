"""The registry of settings: the rows of schemas/settings.tsv, read on first use.

>>> setting("layer.height").unit, setting("layer.height").maximum
('mm', Fraction(10, 1))
>>> feature("speed.outer_wall"), family("speed.outer_wall")
('outer_wall', 'speed')
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from convert.errors import UsageError
from convert.resources import read_bytes

SCOPES = ("machine", "feedstock", "process")

# Kinds whose values are numbers; all others hold words, flags, texts, code or outlines.
PLAIN_KINDS = frozenset(("flag", "choice", "text", "code", "outline"))

# What a print consists of, as far as speeds, accelerations, flows and bead widths are stated for each.
FEATURES = (
    "first_layer",
    "outer_wall",
    "inner_wall",
    "infill",
    "solid",
    "top",
    "bridge",
    "overhang",
    "gap",
    "small",
    "support",
    "interface",
    "outline",
    "travel",
)
FAMILIES = ("speed", "acceleration", "jump", "width", "flow")


class Setting(NamedTuple):
    """One row of the schema. `unit` is the schema's unit ("" for words, flags, texts and code; "1" for counts)."""

    id: str
    scope: str
    kind: str
    unit: str
    minimum: Fraction | None
    maximum: Fraction | None
    per_tool: bool
    choices: tuple[str, ...]
    meaning: str

    @property
    def is_number(self) -> bool:
        """Whether the values are numbers: quantities, percents or counts."""
        return self.kind not in PLAIN_KINDS

    @property
    def unit_kind(self) -> str:
        """The kind under which the units of this setting are found: an outline is made of lengths."""
        return "length" if self.kind == "outline" else self.kind


def read_settings(text: str) -> dict[str, Setting]:
    """Read the text of a settings table: a header line, then nine fields a line, parted by tabs."""
    numbers: dict[str, Fraction | None] = {"": None}
    rows: dict[str, Setting] = {}
    for line in text.split("\n")[1:]:
        if not line:
            continue
        name, scope, kind, unit, low, high, per_tool, choices, meaning = line.split("\t")
        for bound in (low, high):
            if bound not in numbers:
                whole, _, decimals = bound.partition(".")
                numbers[bound] = Fraction(int(whole + decimals), 10 ** len(decimals))
        words = tuple(choices.split("|")) if choices else ()
        rows[name] = Setting(name, scope, kind, unit, numbers[low], numbers[high], per_tool == "yes", words, meaning)
    return rows


class Registry(Mapping[str, Setting]):
    """The settings by id, in the order of the table; the file is read on the first look."""

    __slots__ = ("_rows",)

    def __init__(self) -> None:
        self._rows: dict[str, Setting] = {}

    def rows(self) -> dict[str, Setting]:
        """The plain dictionary, for loops that look up many settings."""
        if not self._rows:
            self._rows = read_settings(read_bytes("schemas", "settings.tsv").decode())
        return self._rows

    def __getitem__(self, name: str) -> Setting:
        return self.rows()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self.rows())

    def __len__(self) -> int:
        return len(self.rows())


SETTINGS = Registry()


def setting(name: str) -> Setting:
    """The setting of this id. Raises UsageError that names the closest ones.

    >>> setting("layer.hight")
    Traceback (most recent call last):
    convert.errors.UsageError: there is no setting 'layer.hight'; did you mean layer.height, layer.first, layer.min?
    """
    try:
        return SETTINGS.rows()[name]
    except KeyError:
        near = closest(name)
        hint = f"did you mean {', '.join(near)}?" if near else "the command `settings` lists them all"
        raise UsageError(f"there is no setting {name[:60]!r}", None, hint) from None


def closest(name: str) -> list[str]:
    """Up to three known ids that look like this one, the best first."""
    from difflib import get_close_matches  # only on the way to an error

    folded = name[:60].casefold().replace("-", "_").replace("/", ".")
    group = [known for known in SETTINGS if folded and known.startswith(folded + ".")]
    return [*group, *(known for known in get_close_matches(folded, SETTINGS, n=3) if known not in group)][:3]


def scope_of(name: str) -> str:
    """machine, feedstock or process."""
    return setting(name).scope


def family(name: str) -> str | None:
    """speed, acceleration, jump, width or flow, for a setting stated per feature and for the default of those."""
    head, _, tail = name.partition(".")
    return head if head in FAMILIES and (tail in FEATURES or tail == "default") else None


def feature(name: str) -> str | None:
    """The feature that a setting of a family is about; None for a default and for all other settings."""
    tail = name.partition(".")[2]
    return tail if tail in FEATURES and family(name) else None
