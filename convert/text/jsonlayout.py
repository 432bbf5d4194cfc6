"""How a JSON file lays out its members (line ends, indentation, blanks), to write new ones the same way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from convert.text.blanks import back_over_blanks, broken, indentation, last_line
from convert.text.edit import line_end
from convert.text.jsonscan import BLANK
from convert.text.jsonwrite import member_start

# the raw key, or None in an array; the raw value
Member = tuple["str | None", str]


@dataclass(frozen=True, slots=True)
class Layout:
    """gap: between the comma and the next member. colon: between key and value. unit: one step of indentation.

    outer: the indentation of the line where the group begins.
    """

    gap: str
    colon: str
    unit: str
    outer: str

    @classmethod
    def seen(cls, text: str, groups: Sequence[Sequence], start: int, last: int | None) -> Layout:
        """The layout of the group at `start`, as its last value at `last` shows it; if None, as the rest does.

        groups: (path, start, end) of all groups, the root first.
        """
        compact = "," in text and ", " not in text and '": ' not in text
        unit = next((unit for _, first, end in groups if (unit := _unit(text, first, end))), "")
        outer = indentation(text, start)
        colon = ":" if compact else ": "
        loose = "" if compact else " "
        if last is None:
            lines = unit or broken(text[groups[0][1] : groups[0][2]])
            gap = line_end(text) + outer + (unit or "  ") if lines else loose
        else:
            at = member_start(text, last)
            before = back_over_blanks(text, at)
            blanks = text[before:at]
            gap = last_line(blanks) if broken(blanks) or text[before - 1] == "," else loose
            if at < last:
                key_end = text.rindex('"', at, last) + 1
                between = text[key_end:last]
                colon = colon if broken(between) else between
        return cls(gap, colon, unit or "  ", outer)

    @property
    def broken(self) -> bool:
        """Whether each member has its own line."""
        return broken(self.gap)

    def member(self, member: Member) -> str:
        """One member as text."""
        key, raw = member
        return raw if key is None else key + self.colon + raw

    def fill(self, members: Sequence[Member], blanks: str) -> str:
        """The text that goes behind the bracket of an empty group, in which only these blanks stand so far."""
        text = ("," + self.gap).join(map(self.member, members))
        if not self.broken:
            return text
        closing = "" if broken(blanks) else self._line(self.outer)
        return self.gap + text + closing

    def group(self, members: Sequence[Member], depth: int, array: bool) -> str:
        """A new group as text, `depth` levels below the one that is extended."""
        gap = self.gap + self.unit * depth if self.broken else self.gap
        text = ("," + gap).join(map(self.member, members))
        if self.broken and members:
            text = gap + text + self.gap + self.unit * (depth - 1)
        return f"[{text}]" if array else f"{{{text}}}"

    def _line(self, indentation: str) -> str:
        return self.gap[: len(self.gap) - len(self.gap.lstrip("\r\n"))] + indentation


def _unit(text: str, start: int, end: int) -> str:
    """One step of indentation, as the group at start:end shows it; "" if it does not."""
    first = text[start + 1 : BLANK.match(text, start + 1).end()]  # type: ignore[union-attr]
    last = text[back_over_blanks(text, end - 1) : end - 1]
    inner, outer = (last_line(blanks).lstrip("\r\n") for blanks in (first, last))
    return inner[len(outer) :] if broken(first) and broken(last) and inner.startswith(outer) else ""
