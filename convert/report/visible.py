"""Text from files made fit for a terminal: no character may act on it."""

from __future__ import annotations


def visible(text: str) -> str:
    r"""The text in one line, with every character that does not print shown as an escape.

    Control characters could move the cursor or recolour the screen, marks of writing direction could show a value as
    another one, and half characters cannot be encoded.

    >>> visible("fine \x1b[31mred\n") == r"fine \x1b[31mred\n"
    True
    """
    if text.isprintable():
        return text
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode() for char in text)


def shorten(text: str, most: int = 60) -> str:
    """A visible text of at most `most` characters; what is left out is told.

    >>> shorten("a" * 100, 20)
    'aaaaa... (95 more)'
    """
    text = visible(text)
    if len(text) <= most:
        return text
    kept = max(1, most - 15)
    return f"{text[:kept]}... ({len(text) - kept} more)"
