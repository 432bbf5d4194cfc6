"""Cuts CSV text into cells with their spans: RFC 4180, and beyond it as the csv module of Python reads."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from convert.text.limits import check
from convert.text.pairs import BLANKS

TYPE_CHECKING = False
if TYPE_CHECKING:
    from convert.text.source import Source

# start, end and value of a cell; a quoted cell has its quotes in the span
Cell = tuple[int, int, str]

# Where two cut a table equally well the first is taken: commas turn up within cells, as decimal marks, others rarely.
DELIMITERS = (";", "\t", ",")
_SAMPLE = 50


def scan(source: Source, delimiter: str) -> Iterator[list[Cell]]:
    """The rows of a text; a blank line is a row without cells. An unclosed quote takes in the rest.

    >>> from convert.text.source import Source
    >>> [[cell[2] for cell in row] for row in scan(Source.from_bytes(b'a,"b ""c""\\n",\\n'), ",")]
    [['a', 'b "c"\\n', '']]
    """
    flat, at = source.flat, 0
    while at < len(flat):
        row, at = cells_at(source, flat, at, delimiter)
        yield row


def read(source: Source, delimiter: str) -> tuple[list[list[str]], list[int]]:
    """The values of the rows, without the white space around those that have no quotes; and where each row begins.

    Most rows hold no quotes and need no look at each cell.
    """
    text, flat = source.text, source.flat
    rows, starts, at = [], [], 0
    while at < len(text):
        starts.append(at)
        stop, after = _line(text, flat, at)
        line = text[at:stop]
        if '"' in line:
            cells, after = cells_at(source, flat, at, delimiter)
            rows.append([cell[2] if is_quoted(text, cell) else cell[2].strip(BLANKS) for cell in cells])
        else:
            rows.append([value.strip(BLANKS) for value in line.split(delimiter)] if line else [])
            check("columns", len(rows[-1]), source.location(at) if len(rows[-1]) > 100 else None)
        at = after
    return rows, starts


def cells_at(source: Source, flat: str, at: int, delimiter: str) -> tuple[list[Cell], int]:
    """The cells of the row that begins at an offset, and where the next row begins. flat: see Source.flat."""
    text = source.text
    row: list[Cell] = []
    stop, after = _line(text, flat, at)
    while at < stop or row:
        end = text.find(delimiter, at, stop)
        if text.startswith('"', at, stop):
            close = _closing(text, at)
            if close > stop:
                stop, after = _line(text, flat, close)
            end = text.find(delimiter, close, stop)
            end = stop if end < 0 else end
            value = text[at + 1 : close].replace('""', '"') + text[close + 1 : end]
        else:
            end = stop if end < 0 else end
            value = text[at:end]
        row.append((at, end, value))
        if end >= stop:
            break
        at = end + len(delimiter)
    check("columns", len(row), source.location(row[0][0]) if len(row) > 100 else None)
    return row, after


def is_quoted(text: str, cell: Cell) -> bool:
    return text.startswith('"', cell[0], cell[1])


def _line(text: str, flat: str, at: int) -> tuple[int, int]:
    """Where the line that holds an offset ends, and where the next one starts."""
    end = flat.find("\n", at)
    if end < 0:
        return len(text), len(text)
    return (end - 1 if end > at and text[end - 1 : end + 1] == "\r\n" else end), end + 1


def _closing(text: str, at: int) -> int:
    """Offset of the quote that closes the one at an offset; the end of the text if there is none."""
    at += 1
    while True:
        at = text.find('"', at)
        if at < 0:
            return len(text)
        if text[at + 1 : at + 2] != '"':
            return at
        at += 2


def sniff_delimiter(source: Source) -> str:
    """The delimiter that cuts most of the first rows into as many cells as the header has; the comma if none cuts it.

    >>> from convert.text.source import Source
    >>> sniff_delimiter(Source.from_bytes(b"name;A\\nwidth;0,4\\n"))
    ';'
    """
    best, chosen = (0.0, 0), ","
    for delimiter in DELIMITERS:
        rows = [row for row in islice(scan(source, delimiter), _SAMPLE) if row]
        if rows and len(rows[0]) > 1:
            alike = sum(len(row) == len(rows[0]) for row in rows)
            score = alike / len(rows), len(rows[0])
            if score > best:
                best, chosen = score, delimiter
    return chosen
