"""White space around the parts of JSON, XML and TOML texts: blanks, tabs and line ends."""

from __future__ import annotations

BLANKS = " \t\r\n"


def back_over_blanks(text: str, at: int) -> int:
    """The offset after the last character before `at` that is no white space.

    >>> back_over_blanks("a \\n b", 4)
    1
    """
    while at and text[at - 1] in BLANKS:
        at -= 1
    return at


def line_start(text: str, at: int) -> int:
    """The offset of the first blank or tab right before `at`; the start of the line if nothing else stands there.

    >>> line_start("a\\n\\tb", 3)
    2
    """
    while at and text[at - 1] in " \t":
        at -= 1
    return at


def indentation(text: str, at: int) -> str:
    """The blanks and tabs at the start of the line of an offset.

    >>> indentation("a\\n\\t b", 5)
    '\\t '
    """
    start = max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1
    end = start
    while text[end : end + 1] in (" ", "\t"):
        end += 1
    return text[start:end]


def last_line(blanks: str) -> str:
    """White space from its last line end on; all of it if there is none.

    >>> last_line("\\n\\r\\n  "), last_line("  ")
    ('\\r\\n  ', '  ')
    """
    line = max(blanks.rfind("\n"), blanks.rfind("\r"))
    return blanks[line - (blanks[line - 1 : line + 1] == "\r\n") :] if line >= 0 else blanks


def broken(blanks: str) -> bool:
    """Whether there is a line end in it."""
    return "\n" in blanks or "\r" in blanks
