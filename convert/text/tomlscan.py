"""Finds the spans of keys and values in a TOML 1.0 text, without recursion; `tomllib` is the judge of what is valid.

The scanner knows just enough of the grammar (https://toml.io/en/v1.0.0) to cut valid TOML at the right places. It goes
first, so that no nesting can exhaust the stack of `tomllib`; where it stumbles, `tomllib` says why. A text of nothing
but plain statements (a dotted key, a text without escapes, a decimal number or a flag) is valid if no key is there
twice or goes on behind a value: that much the scanner judges itself, for it is what most sheets are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from convert.errors import InputError, Location
from convert.text.blanks import line_start
from convert.text.limits import LIMITS, check
from convert.text.source import Source

Path = tuple[str, ...]

_BLANK = re.compile(r"[ \t]*+")
_TRIVIA = re.compile(r"(?:[ \t\r\n]++|#[^\n]*+)*+")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]++")
_BARE = re.compile(r"[^\s,\]}#]++")
DATE = re.compile(
    r"\d{4}-\d\d-\d\d(?:[Tt ]\d\d:\d\d:\d\d(?:\.\d+)?(?:[Zz]|[+-]\d\d:\d\d)?)?|\d\d:\d\d:\d\d(?:\.\d+)?", re.ASCII
)
NUMBER = re.compile(
    r"[+-]?(?:inf|nan|(?:0|[1-9](?:_?\d)*)(?:\.\d(?:_?\d)*)?(?:[eE][+-]?\d(?:_?\d)*)?)"
    r"|0x[0-9A-Fa-f](?:_?[0-9A-Fa-f])*|0o[0-7](?:_?[0-7])*|0b[01](?:_?[01])*",
    re.ASCII,
)
_STOPS = {
    '"': re.compile(r'\\.|["\n]'),
    "'": re.compile(r"['\n]"),
    '"""': re.compile(r'\\[\s\S]|"{3,5}'),
    "'''": re.compile(r"'{3,5}"),
}
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|[ \t]*\n[ \t\n]*|(.))")
_ESCAPES = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}
_LONGEST = 1000  # characters; `tomllib` cannot take numbers of more than 4300 digits
_DEPTH = LIMITS["depth"].most


_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|\r(?!\n)")
_STATEMENT = re.compile(
    r"([A-Za-z0-9_-]++(?:\.[A-Za-z0-9_-]++)*+)[ \t]*+=[ \t]*+"
    r'("""(?:[^"\\]|"(?!""))*+"""|"[^"\\\n]*+"|\'[^\'\n]*+\'|true|false|[+-]?(?:0|[1-9][0-9]{0,17}+)(?:\.[0-9]{1,18}+)?)'
    r"[ \t]*+(?:#[^\n]*+)?(?:\r?\n|\Z)"
)


_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_HINTS = {
    "Cannot": "give each key and table one place only",
    "Duplicate": "keep one of them",
    "Expected '='": "write a name, '=' and a value on each line",
    "Expected newline": "begin a new line, or put the whole text in quotes",
    "Found": "write it as an escape such as \\n or \\u0007",
    "Illegal": "write it as an escape such as \\n or \\u0007",
    "Invalid value": "write a text in quotes, a number as in 0.4, true or false, a list as in [1, 2]",
    "Un": "close it, or write \\\\ for a backslash",
}


class Stray(Exception):
    """The scanner cannot go on at this offset; left to `tomllib`."""


class Node:
    """A value: a scalar, an array or an inline table.

    kind: "text", "number", "flag", "list" or "object". value: the decoded value. parts: the key, as its parts.
    before, after: offsets of the bracket or comma around it; for a value of a statement, the span of its lines.
    branching: an array that holds an inline table, at any depth. key_end: where the key ends.
    """

    __slots__ = ("after", "before", "branching", "children", "end", "key_end", "kind", "parts", "start", "value")

    def __init__(self, kind: str, start: int, end: int, value: str | tuple = "") -> None:
        self.kind, self.start, self.end, self.value = kind, start, end, value
        self.parts: Path = ()
        self.children: list[Node] = []
        self.before = self.after = self.key_end = start
        self.branching = False


class Table:
    """The part of a text under one header, or before the first one.

    path: with array indices. start, body: the span of the header line. end: where the next header line begins.
    """

    __slots__ = ("body", "end", "path", "start", "statements")

    def __init__(self, path: Path, start: int, body: int) -> None:
        self.path, self.start, self.body, self.end = path, start, body, body
        self.statements: list[Node] = []


class Scan:
    """What one walk over a TOML text finds: its tables, the root first, and the size of each array of tables.

    judged: whether the text is known to be valid.
    """

    def __init__(self, source: Source) -> None:
        self._source, self._text = source, source.text
        self.tables = [Table((), 0, 0)]
        self.arrays: dict[Path, int] = {}
        self._keys: list[str] = []  # of the plain statements
        self._walk()
        statements = sum(len(table.statements) for table in self.tables)
        plain = len(self.tables) == 1 and len(self._keys) == statements and not _CONTROL.search(self._text)
        self.judged = plain and _apart(self._keys)

    def _walk(self) -> None:
        text, pos = self._text, 0
        while True:
            pos = self._skip(_TRIVIA, pos)
            table = self.tables[-1]
            if pos == len(text):
                table.end = pos
                return
            line = line_start(text, pos)
            plain = _STATEMENT.match(text, pos)
            if plain and self._plain(plain, line, table):
                pos = plain.end()
                continue
            if text[pos] == "[":
                table.end = line
                pos = self._header(pos, line)
                continue
            parts, key_end, start = self._key_and_sign(pos)
            depth = len(table.path) + len(parts)
            self._check_depth(pos, depth)
            node = self.value(start, depth)
            pos = self._line_end(node.end)
            node.parts, node.key_end, node.before, node.after = parts, key_end, line, pos
            table.statements.append(node)

    def _plain(self, found: re.Match[str], line: int, table: Table) -> bool:
        """Takes a plain statement; False where it needs a closer look."""
        key, raw = found.groups()
        if len(table.path) + key.count(".") >= _DEPTH:
            return False
        start, end = found.span(2)
        if raw[0] in "\"'":
            node = Node("text", start, end, decode(raw))
        elif raw[0] in "tf":
            node = Node("flag", start, end, raw)
        else:
            node = Node("number", start, end, raw.removeprefix("+"))
        node.parts, node.key_end, node.before, node.after = tuple(key.split(".")), found.end(1), line, found.end()
        table.statements.append(node)
        self._keys.append(key)
        return True

    def _skip(self, pattern: re.Pattern[str], pos: int) -> int:
        return pattern.match(self._text, pos).end()  # type: ignore[union-attr]

    def _check_depth(self, pos: int, depth: int) -> None:
        if depth > _DEPTH:
            check("depth", depth, self._source.location(pos))

    def _line_end(self, pos: int) -> int:
        """The offset after the rest of a line, in which only a comment may stand."""
        pos = self._skip(_BLANK, pos)
        if self._text[pos : pos + 1] not in ("#", "\n", "\r", ""):
            raise Stray(pos)
        end = self._text.find("\n", pos)
        return end + 1 if end >= 0 else len(self._text)

    def _header(self, start: int, line: int) -> int:
        text = self._text
        array = text.startswith("[[", start)
        parts, pos = self.key(self._skip(_BLANK, start + 1 + array))
        pos = self._skip(_BLANK, pos)
        if not text.startswith("]]" if array else "]", pos):
            raise Stray(pos)
        self._check_depth(start, len(parts))
        path: Path = ()
        for number, part in enumerate(parts):
            path = (*path, part)
            if array and number == len(parts) - 1:
                self.arrays[path] = self.arrays.get(path, 0) + 1
            if path in self.arrays:
                path = (*path, str(self.arrays[path] - 1))
        end = self._line_end(pos + 1 + array)
        self.tables.append(Table(path, line, end))
        return end

    def key(self, pos: int) -> tuple[Path, int]:
        """The parts of the key at `pos`, and where it ends."""
        text = self._text
        parts: list[str] = []
        while True:
            if text[pos : pos + 1] in ('"', "'"):
                node = self._string(pos)
                parts.append(str(node.value))
                end = node.end
            else:
                found = _BARE_KEY.match(text, pos)
                if not found:
                    raise Stray(pos)
                parts.append(found[0])
                end = found.end()
            pos = self._skip(_BLANK, end)
            if not text.startswith(".", pos):
                return tuple(parts), end
            if len(parts) > _DEPTH:
                self._check_depth(pos, len(parts))
            pos = self._skip(_BLANK, pos + 1)

    def value(self, pos: int, depth: int = 0) -> Node:
        """The value at `pos`. depth: how many levels it is below the root already."""
        text = self._text
        opened: list[Node] = []
        before = pos
        while True:
            parts: Path = ()
            key_end = pos
            if opened and opened[-1].kind == "object":
                parts, key_end, pos = self._key_and_sign(pos)
                self._check_depth(pos, depth + len(opened) + len(parts))
            node = self._begin(pos)
            node.parts, node.before, node.key_end = parts, before, key_end
            done: Node | None = node
            pos = node.end
            if node.kind in ("list", "object"):
                opened.append(node)
                self._check_depth(pos, depth + len(opened))
                before, done = node.start, None
            while True:  # a value is done, or a bracket or comma has been read
                if done and not opened:
                    return done
                trivia, bracket = (_TRIVIA, "]") if opened[-1].kind == "list" else (_BLANK, "}")
                pos = self._skip(trivia, pos)
                if done:
                    opened[-1].children.append(done)
                    done.after = pos
                    if text.startswith(",", pos):
                        before, done = pos, None
                        pos = self._skip(trivia, pos + 1)
                        if bracket == "}" and text.startswith("}", pos):
                            raise Stray(pos)
                    elif not text.startswith(bracket, pos):
                        raise Stray(pos)
                if not text.startswith(bracket, pos):
                    break
                done = opened.pop()
                pos = done.end = pos + 1
                done.branching = any(child.kind == "object" or child.branching for child in done.children)
                if done.kind == "list" and not done.branching:
                    done.value = tuple(child.value for child in done.children)

    def _key_and_sign(self, pos: int) -> tuple[Path, int, int]:
        """A key and the '=' after it: its parts, where the key ends, where the value begins."""
        parts, key_end = self.key(pos)
        pos = self._skip(_BLANK, key_end)
        if not self._text.startswith("=", pos):
            raise Stray(pos)
        return parts, key_end, self._skip(_BLANK, pos + 1)

    def _begin(self, pos: int) -> Node:
        """The scalar at `pos`, or the array or inline table that opens there, so far only its bracket."""
        text = self._text
        mark = text[pos : pos + 1]
        if mark in ("[", "{"):
            return Node("list" if mark == "[" else "object", pos, pos + 1)
        if mark in ('"', "'"):
            return self._string(pos)
        date = DATE.match(text, pos)
        if date:
            return Node("text", pos, date.end(), date[0])
        found = _BARE.match(text, pos)
        if not found:
            raise Stray(pos)
        raw = found[0]
        if raw in ("true", "false"):
            return Node("flag", pos, found.end(), raw)
        if len(raw) > _LONGEST:
            says = f"a value of {len(raw)} characters without quotes"
            raise InputError(says, self._source.location(pos), "put texts in quotes; numbers are shorter")
        if not NUMBER.fullmatch(raw):
            raise Stray(pos)
        return Node("number", pos, found.end(), plain_number(raw))

    def _string(self, pos: int) -> Node:
        text = self._text
        quote = text[pos]
        marks = quote * 3 if text.startswith(quote * 3, pos) else quote
        for found in _STOPS[marks].finditer(text, pos + len(marks)):
            if found[0][0] == quote:
                return Node("text", pos, found.end(), decode(text[pos : found.end()]))
            if found[0] == "\n":
                break
        raise Stray(pos)


def _apart(keys: Sequence[str]) -> bool:
    """Whether no key is there twice, and none goes on behind another one.

    >>> _apart(["a.b", "a.c", "ab"]), _apart(["a.b.c", "a"])
    (True, False)
    """
    above: set[str] = set()
    for key in keys:
        key = key.rpartition(".")[0]
        while key and key not in above:
            above.add(key)
            key = key.rpartition(".")[0]
    return len(set(keys)) == len(keys) and above.isdisjoint(keys)


def judge(source: Source, text: str) -> None:
    """InputError where `tomllib` says that the text is not valid TOML."""
    import tomllib

    try:
        tomllib.loads(text)
    except RecursionError:
        check("depth", _DEPTH + 1, source.path)
    except ValueError as error:  # TOMLDecodeError is one, and so is that of a number with too many digits
        says = str(error)
        place = _PLACE.search(says)
        where = source.location(len(text))
        if place and place[1]:
            where = Location(source.path, int(place[1]), int(place[2]))
        hint = next((hint for start, hint in _HINTS.items() if says.startswith(start)), "see https://toml.io/en/v1.0.0")
        says = says[: place.start()] if place else says
        raise InputError(f"this is not TOML: {says[:1].lower()}{says[1:]}", where, hint) from None


def decode(raw: str) -> str:
    """The text that a raw string with its quotes stands for; line ends become \\n.

    >>> decode('"a\\\\tb"'), decode("'a\\\\tb'")
    ('a\\tb', 'a\\\\tb')
    """
    marks = raw[:3] if raw[:3] in ('"""', "'''") else raw[0]
    text = raw[len(marks) : -len(marks)]
    if len(marks) == 3:
        text = text.replace("\r\n", "\n")
        text = text[text.startswith("\n") :]
    return _ESCAPE.sub(_character, text) if marks[0] == '"' and "\\" in text else text


def _character(found: re.Match[str]) -> str:
    code = found[1] or found[2]
    if code:
        return chr(min(int(code, 16), 0x10FFFF))  # `tomllib` refuses what is larger
    return _ESCAPES.get(found[3], "") if found[3] else ""


def plain_number(raw: str) -> str:
    """A number as other syntaxes write it: decimal, without '_' and '+'.

    >>> plain_number("+1_000.5"), plain_number("0xff"), plain_number("1e6")
    ('1000.5', '255', '1e6')
    """
    if raw[:2] in ("0x", "0o", "0b"):
        return str(int(raw, 0))
    return raw.replace("_", "").removeprefix("+")
