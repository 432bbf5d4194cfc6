"""Raw TOML text of keys and values, in the form of the values that stand there already."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from convert.errors import OutputError
from convert.text.edit import Edit, line_end
from convert.text.source import Source
from convert.text.tomlscan import DATE, NUMBER, Node
from convert.text.tree import New

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_CONTROL = re.compile("[\x00-\x08\x0a-\x1f\x7f]")
_QUOTES = re.compile(r'"{3,}|"+\Z')  # what cannot stand as it is between triple quotes
_BASIC = {"\\": "\\\\", '"': '\\"', "\b": "\\b", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_BASIC |= {chr(code): f"\\u{code:04x}" for code in [*range(0x20), 0x7F] if chr(code) not in "\b\t\n\f\r"}
_TO_BASIC = str.maketrans(_BASIC)
_TO_LINES = str.maketrans({key: code for key, code in _BASIC.items() if key not in '\n"'})


def key_text(parts: Sequence[str]) -> str:
    """A key or table name as TOML writes it.

    >>> key_text(["bead", "outer wall"])
    'bead."outer wall"'
    """
    return ".".join(part if _BARE_KEY.fullmatch(part) else f'"{part.translate(_TO_BASIC)}"' for part in parts)


def split_key(key: str) -> list[str]:
    """The parts of a key that was joined by dots; a key with parts that need quotes is one part.

    >>> split_key("a.b"), split_key("0.4 mm")
    (['a', 'b'], ['0.4 mm'])
    """
    parts = key.split(".")
    return parts if all(map(_BARE_KEY.fullmatch, parts)) else [key]


class Writer:
    """Writes values for one file."""

    def __init__(self, source: Source) -> None:
        self._source = source
        self._line_end = line_end(source.text)

    def value(self, new: New, old: str = "", lines: bool = False) -> str:
        """The raw text of a new value; old: that in whose place it comes; lines: a text may be spread over lines."""
        value = new.value
        if isinstance(value, tuple):
            return "".join(self._listed(new, old))
        if new.kind == "text":
            return self._text(value, old or ('"""' if lines and "\n" in value else '"'))
        if new.kind == "number" and NUMBER.fullmatch(value):
            return value
        if new.kind == "flag" and value in ("true", "false"):
            return value
        says = f"the new value of {new.key!r} cannot be written as a TOML {new.kind}: {value[:40]!r}"
        hint = (
            "TOML has no empty value; delete the key" if new.kind == "null" else "a number is 0.4, a flag true or false"
        )
        raise OutputError(says, self._source.location(0), hint)

    def _text(self, value: str, old: str) -> str:
        """A text in the form of another one, if that form can hold it."""
        if old[0] not in "\"'":
            return value if DATE.fullmatch(value) else self._text(value, '"')
        if old.startswith('"""'):
            raw = _QUOTES.sub(lambda run: '\\"' * len(run[0]), value.translate(_TO_LINES))
            return self._lines('"""', raw, old)
        if old.startswith("'''"):
            if "'''" in value or value.endswith("'") or _CONTROL.search(value.replace("\n", "")):
                return self._text(value, '"""')
            return self._lines("'''", value, old)
        if old[0] == "'" and "'" not in value and not _CONTROL.search(value):
            return f"'{value}'"
        return f'"{value.translate(_TO_BASIC)}"'

    def _lines(self, marks: str, raw: str, old: str) -> str:
        first = "\n" if old[3:5].startswith(("\n", "\r\n")) or old == '"""' or raw.startswith("\n") else ""
        return marks + (first + raw).replace("\n", self._line_end) + marks

    def list_edits(self, new: New, node: Node) -> list[Edit]:
        """The edits that turn a list into a new one, item by item where both have the same shape."""
        old = list(_nodes(node))
        wanted = list(_flat(new.value))
        if [part if isinstance(part, str) else None for part in old] != [mark for mark, _ in wanted]:
            return [(node.start, node.end, "".join(self._listed(new, self._source.text[node.start : node.end], node)))]
        edits = []
        for part, (_, item) in zip(old, wanted, strict=True):
            if isinstance(part, Node) and (part.value != item or new.kind not in ("list", part.kind)):
                raw = self._item(new, item, self._source.text[part.start : part.end])
                edits.append((part.start, part.end, raw))
        return edits

    def _listed(self, new: New, old: str, node: Node | None = None) -> Iterator[str]:
        """The parts of a list; the outermost level is laid out as that of the old list."""
        text = self._source.text
        forms = [text[part.start : part.end] for part in _nodes(node) if isinstance(part, Node)] if node else []
        if not forms:  # bare if all can be, as for a list of numbers
            forms = ["0" if all(mark or _is_bare(item) for mark, item in _flat(new.value)) else '"']
        first, between, last = _layout(text, node)
        depth = leaf = 0
        previous = ""
        for mark, item in _flat(new.value):
            closing = mark == "]"
            if previous == "[" or closing:
                yield first if depth == 1 and not closing else last if depth == 1 and previous != "[" else ""
            elif previous:
                yield between if depth == 1 else ", "
            yield mark or self._item(new, item, forms[min(leaf, len(forms) - 1)])
            depth += bool(mark) - 2 * closing
            leaf += not mark
            previous = mark or "item"

    def _item(self, new: New, item: str, form: str) -> str:
        if new.kind != "list":
            return self.value(New(new.key, item, new.kind), '"')
        if form[0] in "\"'":
            return self._text(item, form)
        return item if _is_bare(item) else self._text(item, '"')


def _is_bare(item: str) -> bool:
    return item in ("true", "false") or bool(NUMBER.fullmatch(item) or DATE.fullmatch(item))


def _flat(value: str | tuple) -> Iterator[tuple[str | None, str]]:
    """Brackets ("[", "") and items (None, text) of nested tuples, in order, without recursion."""
    todo: list[tuple[str | None, str | tuple]] = [(None, value)]
    while todo:
        mark, item = todo.pop()
        if isinstance(item, tuple):
            yield "[", ""
            todo.append(("]", ""))
            todo += [(None, part) for part in reversed(item)]
        else:
            yield mark, item


def _nodes(node: Node) -> Iterator[str | Node]:
    """The same of a list that is written: brackets, and the nodes of its items."""
    todo: list[str | Node] = [node]
    while todo:
        part = todo.pop()
        if isinstance(part, Node) and part.kind == "list":
            yield "["
            todo.append("]")
            todo += reversed(part.children)
        else:
            yield part


def _layout(text: str, node: Node | None) -> tuple[str, str, str]:
    """What stands in a list after the '[', between its first two items, and before the ']'; comments are left out."""
    if not node or not node.children:
        return "", ", ", ""
    first, last = text[node.start + 1 : node.children[0].start], text[node.children[-1].end : node.end - 1]
    between = "," + first if "\n" in first else ", "
    if len(node.children) > 1:
        between = text[node.children[0].end : node.children[1].start]
    if "#" in first + between + last:
        return "", ", ", ""
    return first, between, last
