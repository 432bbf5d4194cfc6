"""Aligned columns of plain text that fit the screen. tabulate sets them; the widths are ours."""

from __future__ import annotations

from collections.abc import Callable, Sequence

WIDTH = 100
"""Columns of text where no terminal says otherwise."""
NARROWEST = 12
"""A column is never wrapped to less than this."""
GAP = 2

Paint = Callable[[str, str], str]
"""(text, role) -> text in the colour of that role: "head", "good", "warn" or "bad"."""

Cell = "str | tuple[str, str]"
"""A cell is a text, or a text and its role. Line ends in it break the line; everything else should be visible()."""


def plain(text: str, role: str) -> str:
    """No colour."""
    return text


def grid(
    rows: Sequence[Sequence[str | tuple[str, str]]],
    heads: Sequence[str] = (),
    *,
    width: int = WIDTH,
    indent: int = 0,
    right: Sequence[int] = (),
    whole: Sequence[int] = (),
    paint: Paint = plain,
) -> str:
    """Rows as lines. `right` are the columns set to the right, `whole` those that are never wrapped; empty ones go.

    >>> print(grid([["layer.height", "0.2 mm"], ["wall.count", "3"]], ["setting", "value"], indent=2))
      setting       value
      layer.height  0.2 mm
      wall.count    3
    """
    if not rows:
        return ""
    from tabulate import tabulate

    texts = [[cell if isinstance(cell, str) else cell[0] for cell in row] for row in rows]
    roles = [["" if isinstance(cell, str) else cell[1] for cell in row] for row in rows]
    filled = [column for column in range(len(texts[0])) if any(row[column] for row in texts)]
    texts, roles = ([[row[column] for column in filled] for row in part] for part in (texts, roles))
    heads = [heads[column] for column in filled] if heads else []
    right, whole = ([filled.index(c) for c in part if c in filled] for part in (right, whole))
    widths = _widths([heads, *texts] if heads else texts, width - indent, whole)
    body = [
        [
            "\n".join(_painted(_wrap(text, size), role, paint))
            for text, size, role in zip(row, widths, kinds, strict=True)
        ]
        for row, kinds in zip(texts, roles, strict=True)
    ]
    if heads:  # as a row: tabulate would pad real headers
        body.insert(0, [paint(head, "head") for head in heads])
    made = tabulate(
        body,
        tablefmt="plain",
        disable_numparse=True,
        colalign=["right" if column in right else "left" for column in range(len(widths))],
    )
    margin = " " * indent
    return "\n".join((margin + line).rstrip() for line in made.split("\n"))


def _widths(rows: Sequence[Sequence[str]], width: int, whole: Sequence[int]) -> list[int]:
    """The natural widths, the widest taken back until all fit."""
    columns = list(zip(*rows, strict=True))
    widths = [max(max(map(len, cell.split("\n"))) for cell in column) for column in columns]
    spare = width - GAP * (len(widths) - 1)
    while sum(widths) > spare:
        soft = [column for column in range(len(widths)) if column not in whole and widths[column] > NARROWEST]
        if not soft:
            break
        widest = max(soft, key=lambda column: widths[column])
        rest = max((widths[column] for column in soft if widths[column] < widths[widest]), default=NARROWEST)
        widths[widest] = max(rest, NARROWEST, widths[widest] - (sum(widths) - spare))
    return widths


def _wrap(text: str, size: int) -> list[str]:
    if len(text) <= size and "\n" not in text:
        return [text]
    from textwrap import wrap

    lines: list[str] = []
    for line in text.split("\n"):
        lines += [line] if len(line) <= size else wrap(line, size, break_on_hyphens=False)
    return lines


def _painted(lines: list[str], role: str, paint: Paint) -> list[str]:
    return [paint(line, role) for line in lines] if role else lines


def paragraph(text: str, *, width: int = WIDTH, indent: int = 0, hang: int | None = None) -> str:
    """A text wrapped to the width; lines after the first are indented by `hang`, if it is given."""
    from textwrap import fill

    rest = indent if hang is None else hang
    return fill(text, width, initial_indent=" " * indent, subsequent_indent=" " * rest, break_on_hyphens=False)


def count(number: int, one: str, several: str = "") -> str:
    """A number with its noun.

    >>> count(1, "file"), count(3, "key"), count(0, "entry", "entries")
    ('1 file', '3 keys', '0 entries')
    """
    return f"{number} {one if number == 1 else several or one + 's'}"
