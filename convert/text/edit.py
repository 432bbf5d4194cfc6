"""Splicing text: the edits of all syntaxes are spans and what takes their place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

# start, end, new text; an insertion has start == end
Edit = tuple[int, int, str]


def splice(text: str, edits: Iterable[Edit]) -> str:
    """The text with each span replaced. Spans may touch; insertions at one offset keep their order.

    A span inside one that is cut goes with it; other overlaps are a mistake of the caller.

    >>> splice("a = 1, b = 2", [(11, 12, "7"), (0, 5, ""), (0, 0, "c")])
    'c, b = 7'
    """
    parts: list[str] = []
    done = 0
    for start, end, new in sorted(edits, key=_order):
        if start < done:
            if not new:  # a cut that overlaps the cut before it
                done = max(done, end)
                continue
            raise ValueError(f"edits overlap at {start}")
        parts += (text[done:start], new)
        done = end
    parts.append(text[done:])
    return "".join(parts)


def _order(edit: Edit) -> tuple[int, int]:
    return edit[0], edit[1]


def add_lines(text: str, at: int, lines: Sequence[str]) -> list[Edit]:
    """The edit that puts whole lines at the start of a line, or at the end of the text even if its last line is open.

    >>> splice("a = 1", add_lines("a = 1", 5, ["b = 2", "c = 3"]))
    'a = 1\\nb = 2\\nc = 3'
    """
    if not lines:
        return []
    end = line_end(text, at)
    added = end.join(lines)
    return [(at, at, end + added if at and text[at - 1] not in "\r\n" else added + end)]


def line_end(text: str, near: int | None = None) -> str:
    """The line end to use for new lines: the one just before the offset `near`, else the first of the text, else \\n.

    >>> line_end("a\\r\\nb\\n"), line_end("a\\r\\nb\\n", 5), line_end("a")
    ('\\r\\n', '\\n', '\\n')
    """
    if near is not None:
        before = text[max(0, near - 2) : near]
        if before == "\r\n":
            return before
        if before[-1:] in ("\n", "\r"):
            return before[-1]
    feed, back = text.find("\n"), text.find("\r")
    if feed < 0 and back < 0:
        return "\n"
    if back < 0 or 0 <= feed < back:
        return "\n"
    return "\r\n" if feed == back + 1 else "\r"
