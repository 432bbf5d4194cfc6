"""Reads the elements of an XML 1.0 text with their spans, without recursion and without a document type.

Checked: that the text is well-formed (XML 1.0, 5th edition, https://www.w3.org/TR/xml/); prefixes of namespaces are
part of the names. Only the five predefined entities and character references exist; nothing is ever loaded.
"""

from __future__ import annotations

import re
from typing import NamedTuple, NoReturn

from convert.errors import InputError
from convert.text.limits import LIMITS, check
from convert.text.source import Source

# Productions [2] Char, [4] NameStartChar and [4a] NameChar.
_START = (
    ":A-Z_a-z\xc0-\xd6\xd8-\xf6\xf8-\u02ff\u0370-\u037d\u037f-\u1fff\u200c\u200d\u2070-\u218f\u2c00-\u2fef"
    "\u3001-\ud7ff\uf900-\ufdcf\ufdf0-\ufffd\U00010000-\U000effff"
)
_NAME = f"[{_START}][-.0-9\xb7\u0300-\u036f\u203f\u2040{_START}]*+"
_S = "[ \t\r\n]"
_VALUE = "\"[^\"<]*+\"|'[^'<]*+'"
NAME = re.compile(_NAME)
NO_CHAR = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_BLANK = re.compile(f"{_S}*+")
_ATTRIBUTE = re.compile(f"{_S}++({_NAME}){_S}*+={_S}*+({_VALUE})")
_END_TAG = re.compile(f"</({_NAME}){_S}*+>")
_TARGET = re.compile(rf"<\?({_NAME})(?:{_S}|(?=\?>))")
_REFERENCE = re.compile("&(?:#(x[0-9a-fA-F]++|[0-9]++)|(amp|lt|gt|quot|apos));")
_DECLARATION = re.compile(
    rf"<\?xml{_S}++version{_S}*+={_S}*+(?:'1\.[0-9]+'|\"1\.[0-9]+\")"
    rf"(?:{_S}++encoding{_S}*+={_S}*+(?:'([A-Za-z][-A-Za-z0-9._]*)'|\"([A-Za-z][-A-Za-z0-9._]*)\"))?"
    rf"(?:{_S}++standalone{_S}*+={_S}*+(?:'(?:yes|no)'|\"(?:yes|no)\"))?{_S}*+\?>"
)
# A whole leaf element without references, sections, comments or line ends in its attributes: most of a settings file.
_PLAIN_VALUE = "\"[^\"<&\t\r\n]*+\"|'[^'<&\t\r\n]*+'"
_LEAF = re.compile(rf"<({_NAME})((?:{_S}++{_NAME}{_S}*+={_S}*+(?:{_PLAIN_VALUE}))*+){_S}*+>([^<&\]]*+)</\1{_S}*+>")
_ENTITIES = {"amp": "&", "lt": "<", "gt": ">", "quot": '"', "apos": "'"}
_DEPTH = LIMITS["depth"].most


class Attribute(NamedTuple):
    """The places of one attribute: where its name begins, and the span of the raw value with its quotes."""

    start: int
    value_start: int
    end: int


class Element:
    """One element and the offsets of its parts.

    <tag name="value">content</tag>       empty: written as <tag/>; then tag_end = content_end = end
    |   |             |       |    |
    |   name_end      tag_end |    end    texts: (start, end, whether it is CDATA) of each run of its own text
    start             content_end         last: its last child element, None for a leaf
                                          values: the decoded values of its attributes, in order
    path and entry (its names from the outermost down, whether it is an entry) are for the tree to set.
    """

    __slots__ = (
        *("content_end", "empty", "end", "entry", "last", "name_end", "parent"),
        *("path", "places", "start", "tag", "tag_end", "texts", "values"),
    )

    def __init__(self, tag: str, parent: Element | None, start: int, name_end: int) -> None:
        self.tag, self.parent, self.start, self.name_end = tag, parent, start, name_end
        self.values: dict[str, str] = {}
        self.places: dict[str, Attribute] | None = None
        self.texts: list[tuple[int, int, bool]] = []
        self.last: Element | None = None
        self.tag_end = self.content_end = self.end = 0
        self.empty = self.entry = False
        self.path: tuple[str, ...] = ()

    def attributes(self, text: str) -> dict[str, Attribute]:
        """The places of its attributes, which only edits ask for. text: that of the file."""
        if self.places is None:
            found = iter(_ATTRIBUTE.scanner(text, self.name_end, self.tag_end).match, None)  # type: ignore[attr-defined]
            self.places = {each[1]: Attribute(each.start(1), *each.span(2)) for each in found}
        return self.places


def decode(raw: str, attribute: bool = False) -> str:
    """The characters that a raw text or attribute value (without quotes) stands for: sections 2.11, 3.3.3 and 4.1.

    >>> decode("a &lt; b&#x41;\\r\\nc"), decode("a\\tb\\r\\nc&#9;", attribute=True)
    ('a < bA\\nc', 'a b c\\t')
    """
    if "\r" in raw:
        raw = raw.replace("\r\n", "\n").replace("\r", "\n")
    if attribute:
        raw = raw.replace("\n", " ").replace("\t", " ")
    return _REFERENCE.sub(_character, raw) if "&" in raw else raw


def _character(found: re.Match[str]) -> str:
    number, name = found.groups()
    if name:
        return _ENTITIES[name]
    return chr(int(number[1:], 16) if number[0] == "x" else int(number.lstrip("0")))


class Scan:
    """What one walk over an XML text finds: its elements in document order, and the declared encoding or ""."""

    def __init__(self, source: Source) -> None:
        self._source, self._text = source, source.text
        self.elements: list[Element] = []
        self.encoding = ""
        self._open: Element | None = None
        self._depth = 0
        bad = NO_CHAR.search(self._text)
        if bad:
            self._fail(bad.start(), f"the character U+{ord(bad[0]):04X}, which XML does not allow", "delete it")
        self._walk()

    def _fail(self, pos: int, says: str, hint: str) -> NoReturn:
        raise InputError(says, self._source.location(pos), hint)

    def _walk(self) -> None:
        text, pos = self._text, 0
        if text.startswith("<?xml") and not NAME.match(text, 5):
            declared = _DECLARATION.match(text)
            if not declared:
                self._fail(
                    0, "an XML declaration that is not well formed", 'write <?xml version="1.0" encoding="UTF-8"?>'
                )
            self.encoding, pos = declared[1] or declared[2] or "", declared.end()
        while True:
            mark = text.find("<", pos)
            self._characters(pos, mark if mark >= 0 else len(text))
            if mark < 0:
                break
            kind = text[mark + 1 : mark + 2]
            if kind == "/":
                pos = self._end_tag(mark)
            elif kind == "!":
                pos = self._markup(mark)
            elif kind == "?":
                pos = self._instruction(mark)
            else:
                leaf = _LEAF.match(text, mark) if self._open else None
                pos = (leaf and self._leaf(leaf)) or self._start_tag(mark)
        if self._open:
            tag = self._open.tag
            self._fail(self._open.start, f"the element <{tag}> is not closed", f"write </{tag}> where it ends")
        if not self.elements:
            self._fail(len(text), "no element", "check that the file is XML and complete")

    def _characters(self, start: int, end: int) -> None:
        if start == end:
            return
        text = self._text
        raw = text[start:end]
        if not self._open:
            if raw.strip(" \t\r\n"):
                place = "after the last" if self.elements else "before the first"
                at = _BLANK.match(text, start).end()  # type: ignore[union-attr]
                self._fail(at, f"text {place} element", "delete it, or put it in the element it belongs to")
            return
        if "]]>" in raw:
            self._fail(start + raw.index("]]>"), "']]>' in a text", "write ]]&gt;")
        self._check_references(start, raw)
        self._open.texts.append((start, end, False))

    def _check_references(self, start: int, raw: str) -> None:
        at = raw.find("&")
        while at >= 0:
            found = _REFERENCE.match(raw, at)
            if not found:
                name = re.compile(f"&{_NAME};").match(raw, at)
                if name:
                    hint = "known are &amp; &lt; &gt; &quot; &apos; and numbers such as &#176;"
                    self._fail(start + at, f"the entity {name[0]} is not known", hint)
                self._fail(start + at, "a '&' that begins no reference", "write &amp; for the character itself")
            if found[1]:
                digits = found[1].lstrip("x").lstrip("0") or "0"
                code = int(digits, 16 if found[1][0] == "x" else 10) if len(digits) < 8 else -1
                if not 0 <= code < 0x110000 or NO_CHAR.match(chr(code)):
                    self._fail(start + at, "a reference to a character that XML does not allow", "delete it")
            at = raw.find("&", found.end())

    def _leaf(self, found: re.Match[str]) -> int:
        """Takes a plain leaf element, and gives the offset after it; 0 where it needs a closer look."""
        tag, attributes, _ = found.groups()
        pairs = _ATTRIBUTE.findall(attributes)
        values = {name: raw[1:-1] for name, raw in pairs}
        if self._depth >= _DEPTH or len(values) < len(pairs):
            return 0
        element = Element(tag, self._open, found.start(), found.end(1))
        element.values = values
        element.tag_end, element.content_end = start, stop = found.span(3)
        element.end = found.end()
        if start < stop:
            element.texts.append((start, stop, False))
        self.elements.append(element)
        self._open.last = element  # type: ignore[union-attr]
        return element.end

    def _start_tag(self, start: int) -> int:
        text = self._text
        name = NAME.match(text, start + 1)
        if not name:
            self._fail(start, "a '<' that begins no element", "write &lt; for the character itself")
        if not self._open and self.elements:
            self._fail(start, f"a second outermost element <{name[0]}>", "put all elements into one")
        element = Element(name[0], self._open, start, name.end())
        self.elements.append(element)
        pos = name.end()
        values = element.values
        for found in iter(_ATTRIBUTE.scanner(text, pos).match, None):  # type: ignore[attr-defined]
            own, raw = found.groups()
            if own in values:
                self._fail(found.start(1), f"the attribute {own} twice in <{element.tag}>", "delete one of them")
            first, pos = found.span(2)
            self._check_references(first + 1, raw[1:-1])
            values[own] = decode(raw[1:-1], attribute=True)
        after = _BLANK.match(text, pos).end()  # type: ignore[union-attr]
        if text.startswith(">", after):
            element.tag_end = after + 1
            self._depth += 1
            if self._depth > _DEPTH:
                check("depth", self._depth, self._source.location(start))
        elif text.startswith("/>", after):
            element.tag_end = element.content_end = element.end = after + 2
            element.empty = True
        else:
            self._bad_tag(element, pos, after)
        if self._open:
            self._open.last = element
        if not element.empty:
            self._open = element
        return element.tag_end

    def _bad_tag(self, element: Element, pos: int, after: int) -> NoReturn:
        """Says why a tag neither ends nor goes on at `after`; the last part that was right ends at `pos`."""
        text, tag = self._text, f"<{element.tag}>"
        if after == len(text):
            self._fail(element.start, f"the tag {tag} is not closed", "write '>' at its end")
        name = NAME.match(text, after)
        if not name:
            self._fail(after, f"{text[after]!r} in the tag {tag}", "write '>' at its end, or name=\"value\"")
        if after == pos:
            self._fail(after, f"no blank before {name[0]} in the tag {tag}", "put a blank before it")
        equals = _BLANK.match(text, name.end()).end()  # type: ignore[union-attr]
        if not text.startswith("=", equals):
            self._fail(after, f"the attribute {name[0]} of {tag} has no value", 'write name="value"')
        value = _BLANK.match(text, equals + 1).end()  # type: ignore[union-attr]
        quote = text[value : value + 1]
        if quote not in ("'", '"'):
            self._fail(value, f"the value of the attribute {name[0]} without quotes", "put it in double quotes")
        less, close = text.find("<", value), text.find(quote, value + 1)
        if close >= 0 and 0 <= less < close:
            self._fail(less, f"a '<' in the attribute {name[0]}", "write &lt;, or close the value before it")
        self._fail(value, f"the value of the attribute {name[0]} is not closed", "write the closing quote")

    def _end_tag(self, start: int) -> int:
        found = _END_TAG.match(self._text, start)
        if not found:
            self._fail(start, "an end tag that is not well formed", "write it as </name>")
        element = self._open
        if not element:
            self._fail(start, f"{found[0]} closes nothing", "delete it, or write the start tag")
        if element.tag != found[1]:
            line = self._source.place(element.start)[0]
            says = f"</{found[1]}> where </{element.tag}> should stand"
            self._fail(start, says, f"close <{element.tag}> of line {line} first")
        element.content_end, element.end = start, found.end()
        self._open = element.parent
        self._depth -= 1
        return found.end()

    def _markup(self, start: int) -> int:
        """A comment or a CDATA section."""
        text = self._text
        if text.startswith("<!--", start):
            end = text.find("--", start + 4)
            if end < 0:
                self._fail(start, "a comment that is not closed", "write --> where it ends")
            if not text.startswith(">", end + 2):
                self._fail(end, "'--' within a comment", "write a single '-', or close the comment with -->")
            return end + 3
        if text.startswith("<![CDATA[", start):
            if not self._open:
                self._fail(start, "a CDATA section outside of the elements", "put it in the element it belongs to")
            end = text.find("]]>", start)
            if end < 0:
                self._fail(start, "a CDATA section that is not closed", "write ]]> where it ends")
            self._open.texts.append((start + 9, end, True))
            return end + 3
        if text.startswith("<!DOCTYPE", start):
            hint = "delete it; entities are not expanded and no other file is ever loaded"
            self._fail(start, "a document type declaration (DOCTYPE), which is not accepted", hint)
        says = "'<!' that begins no comment and no CDATA section"
        return self._fail(start, says, "write &lt; for the character itself")

    def _instruction(self, start: int) -> int:
        found = _TARGET.match(self._text, start)
        end = self._text.find("?>", start)
        if end < 0 or not found:
            self._fail(start, "a processing instruction that is not well formed", "write it as <?name text?>")
        if found[1].lower() == "xml":
            self._fail(
                start, "an XML declaration after the start of the text", "move it to the very first place, or delete it"
            )
        return end + 2
