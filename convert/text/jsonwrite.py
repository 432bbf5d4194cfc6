"""Raw JSON text of values, and where the parts of a written value or member lie."""

from __future__ import annotations

import re
from collections.abc import Iterator
from json.decoder import scanstring  # type: ignore[attr-defined]
from json.encoder import encode_basestring, encode_basestring_ascii

from convert.errors import InputError, OutputError
from convert.text.blanks import BLANKS, back_over_blanks, broken
from convert.text.edit import Edit
from convert.text.jsonscan import SCALAR, Scan, kind_of
from convert.text.source import Source
from convert.text.tree import New

_PARTS = re.compile(rf'"[^"\\]*+(?:\\.[^"\\]*+)*"|{SCALAR.pattern}|[\[\]]')
_BLANK_RUN = re.compile(r"[ \t\n\r]*+")
_COMMA = re.compile(r"[ \t\n\r]*+,[ \t\n\r]*+")
_SURROGATE = re.compile("[\ud800-\udfff]")


class Writer:
    """Writes values the way one file does: its own way with characters beyond ASCII, and with blanks after commas."""

    def __init__(self, source: Source) -> None:
        self._source = source
        text = source.text
        self._ascii = text.isascii() and "\\u" in text
        self.compact = ", " not in text and '": ' not in text and "," in text

    def text(self, value: str) -> str:
        """A quoted text; what the encoding of the file cannot hold is escaped, and any half of a surrogate pair too."""
        if self._ascii and not value.isascii():
            return encode_basestring_ascii(value)
        raw = encode_basestring(value)
        if raw.isascii():
            return raw
        raw = _SURROGATE.sub(lambda half: f"\\u{ord(half[0]):04x}", raw)
        try:
            self._source.encode(raw)
        except OutputError:
            return encode_basestring_ascii(value)
        return raw

    def value(self, new: New, old: str = "") -> str:
        """The raw text of a new value. old: the raw text in whose place it comes; a list keeps to its forms."""
        if isinstance(new.value, tuple):
            return self._list(new, old)
        if new.kind == "text":
            return self.text(new.value)
        if new.kind == "object":
            return self._whole(new)
        if not _is_scalar(new.value) or kind_of(new.value) != new.kind:
            raise self._refuse(new, f"a {new.kind}", "a number is 0.4 or 4e-1, a flag true or false, nothing is null")
        return new.value

    def list_edits(self, new: New, start: int, end: int) -> list[Edit]:
        """The edits that turn the list at start:end into a new one, item by item where both have the same shape."""
        raw = self._source.text[start:end]
        parts = list(_PARTS.finditer(raw))
        wanted = list(_flat(new.value))
        shape = [part[0] if part[0] in "[]" else None for part in parts]
        if shape != [item if mark else None for mark, item in wanted]:
            return [(start, end, self._list(new, raw))]
        edits = []
        for part, (mark, item) in zip(parts, wanted, strict=True):
            if not mark:
                text = self._item(new, item, part[0])
                if decoded(part[0]) != item or kind_of(text) != kind_of(part[0]):
                    edits.append((start + part.start(), start + part.end(), text))
        return edits

    def _list(self, new: New, old: str) -> str:
        forms = [part[0] for part in _PARTS.finditer(old) if part[0] not in "[]"]
        if not forms:  # bare if all can be, as for a list of numbers
            forms = ["0" if all(mark or _is_scalar(item) for mark, item in _flat(new.value)) else '""']
        plain = "," if self.compact else ", "
        first, between, last = _layout(old, plain)
        texts: list[str] = []
        depth = leaf = 0
        previous = ""
        for mark, item in _flat(new.value):
            closing = mark and item == "]"
            if previous == "[" or closing:
                pad = first if depth == 1 and not closing else last if depth == 1 and previous != "[" else ""
            else:
                pad = (between if depth == 1 else plain) if previous else ""
            texts += (pad, item if mark else self._item(new, item, forms[min(leaf, len(forms) - 1)]))
            depth += mark - 2 * closing
            leaf += not mark
            previous = item if mark else "item"
        return "".join(texts)

    def _item(self, new: New, item: str, form: str) -> str:
        if new.kind == "list":
            return item if form[0] != '"' and _is_scalar(item) else self.text(item)
        if new.kind == "text":
            return self.text(item)
        return self.value(New(new.key, item, new.kind))

    def _whole(self, new: New) -> str:
        """Raw JSON text, refused unless it is one value by itself."""
        raw = str(new.value)
        try:
            Scan(Source.from_bytes(raw.encode("utf-8", "surrogatepass"), self._source.path))
        except InputError as error:
            raise self._refuse(new, f"JSON text: {error.says}", error.hint) from None
        return raw.strip(BLANKS)

    def _refuse(self, new: New, what: str, hint: str) -> OutputError:
        return OutputError(f"the new value of {new.key!r} is not {what}", self._source.location(0), hint)


def decoded(raw: str) -> str:
    """The logical value of the raw text of a scalar.

    >>> decoded('"a\\\\u0062"'), decoded("1.50")
    ('ab', '1.50')
    """
    return scanstring(raw, 1, True)[0] if raw[0] == '"' else raw


def member_start(text: str, start: int) -> int:
    """Where the member begins whose value begins at `start`: at its key, or at the value itself in an array.

    >>> member_start('{"a" : 1}', 7), member_start("[1, 2]", 4)
    (1, 4)
    """
    at = back_over_blanks(text, start)
    if text[at - 1] != ":":
        return start
    at = back_over_blanks(text, at - 1) - 1
    while True:  # the opening quote is the first one that no backslash stands before: the ones within a key are escaped
        at = text.rindex('"', 0, at)
        if text[at - 1] != "\\":
            return at


def _is_scalar(text: str) -> bool:
    return bool(SCALAR.fullmatch(text))


def _flat(value: str | tuple) -> Iterator[tuple[bool, str]]:
    """Brackets (True, "[") and items (False, text) of nested tuples, in order, without recursion."""
    todo: list[tuple[bool, str | tuple]] = [(False, value)]
    while todo:
        mark, item = todo.pop()
        if isinstance(item, tuple):
            yield True, "["
            todo.append((True, "]"))
            todo += [(False, part) for part in reversed(item)]
        else:
            yield mark, item


def _layout(raw: str, between: str) -> tuple[str, str, str]:
    """What stands in a written list after the '[', between its first two items, and before the ']'."""
    depth = 0
    for part in _PARTS.finditer(raw):
        depth += (part[0] == "[") - (part[0] == "]")
        if depth == 1 and part.start():  # the end of the first item
            first = _BLANK_RUN.match(raw, 1)[0]  # type: ignore[index]
            gap = _COMMA.match(raw, part.end())
            if gap:
                between = gap[0]
            elif broken(first):
                between = "," + first
            return first, between, raw[back_over_blanks(raw, len(raw) - 1) : -1]
    return "", between, ""
