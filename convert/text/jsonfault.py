"""Says what is wrong with a JSON text at the place where reading stopped, and what to do about it."""

from __future__ import annotations

_WORDS = {
    "NaN": "write a number, or null",
    "Infinity": "write a number, or null",
    "-Infinity": "write a number, or null",
    "True": "write true",
    "TRUE": "write true",
    "False": "write false",
    "FALSE": "write false",
    "None": "write null",
    "NULL": "write null",
    "undefined": "write null",
}
_ESCAPES = 'write \\\\ for a backslash; known are \\" \\\\ \\/ \\b \\f \\n \\r \\t \\uXXXX'
_WANTED = {
    "value": ("a value", "write a number, a quoted text, true, false, null, a list or an object"),
    "key": ("a key", 'write a key in double quotes, such as "speed"'),
    "colon": ("':' after the key", "write ':' between the key and its value"),
    "}": ("',' or '}'", "write ',' before the next member, or '}' to close the object"),
    "]": ("',' or ']'", "write ',' before the next item, or ']' to close the list"),
    "end": ("the end of the text", "delete what follows, or put all of it in one object"),
}


def fault(text: str, pos: int, wanted: str) -> tuple[str, int, str]:
    """What is wrong, the offset of it, and what to do.

    pos: where reading stopped. wanted: what should stand there, a key of the table above; "string" for a fault inside
    of a quoted text.

    >>> fault("[1, 2,]", 6, "value")
    ("a ',' without a value after it", 5, "delete the ','")
    >>> fault('{"a": NaN}', 6, "value")
    ('NaN is no JSON value', 6, 'write a number, or null')
    """
    if wanted == "string":
        return _in_string(text, pos)
    name, hint = _WANTED[wanted]
    here = text[pos : pos + 1]
    if not here:
        what = "the text is empty" if not text.strip(" \t\n\r") else f"the text ends where {name} should stand"
        return what, pos, "check that the file is complete"
    if here == "#" or text.startswith(("//", "/*"), pos):
        return "JSON has no comments", pos, "delete the comment"
    if wanted in ("value", "key") and here in "]}":
        comma = len(text[:pos].rstrip(" \t\n\r")) - 1
        if comma >= 0 and text[comma] == ",":
            return "a ',' without a value after it", comma, "delete the ','"
    if here == "'":
        return "single quotes", pos, "use double quotes"
    if wanted == "value":
        word = _word(text, pos)
        if word in _WORDS:
            return f"{word} is no JSON value", pos, _WORDS[word]
        if word and (here in "+-." or here.isdigit()):
            return f"{word} is no JSON number", pos, _number_hint(word)
        if word:
            return f"the bare word {word}", pos, "put texts in double quotes"
    if wanted == "key" and (word := _word(text, pos)):
        return f"the key {word} without quotes", pos, "put keys in double quotes"
    return f"{here!r} where {name} should stand", pos, hint


def _word(text: str, pos: int) -> str:
    end = pos
    while end < min(len(text), pos + 40) and (text[end].isalnum() or text[end] in "+-._"):
        end += 1
    return text[pos:end]


def _number_hint(word: str) -> str:
    digits = word.lstrip("+-")
    if word[0] == "+":
        return "leave out the '+'"
    if digits[:1] == "0" and digits[1:2].isdigit():
        return "leave out the leading zeros"
    if digits[:1] == "." or digits.endswith("."):
        return "write a digit on both sides of the point"
    return "write digits, a point and more digits, without a unit; or put the text in double quotes"


def _in_string(text: str, pos: int) -> tuple[str, int, str]:
    here = text[pos : pos + 1]
    if here == '"':
        return "a text that is not closed", pos, "write the closing double quote"
    if here and here < " ":
        control = f"the control character U+{ord(here):04X}"
        name = {"\n": "a line end", "\r": "a line end", "\t": "a tab"}.get(here, control)
        code = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}.get(here, f"\\u{ord(here):04x}")
        return f"{name} within a text", pos, f"write {code}, or close the text before it"
    if here == "u" and text[pos - 1] == "\\":
        pos -= 1
    return "a backslash that starts no known escape", pos, _ESCAPES
