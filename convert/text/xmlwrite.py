"""Raw XML text of values and elements, and how a file lays its elements out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from convert.errors import OutputError
from convert.text.blanks import BLANKS, back_over_blanks, broken, indentation, last_line, line_start
from convert.text.edit import Edit, line_end
from convert.text.source import Source
from convert.text.xmlscan import NAME, NO_CHAR, Element

_PLAIN = re.compile("[ !#-%(-;=?-~]*+")  # printable ASCII that needs no reference anywhere
_ATTRIBUTE_CODES = str.maketrans({"&": "&amp;", "<": "&lt;", "\t": "&#9;", "\n": "&#10;", "\r": "&#13;"})


class Writer:
    """Writes values the way one file does: its quotes, its line ends, and references for what its encoding lacks."""

    def __init__(self, source: Source, elements: Sequence[Element]) -> None:
        self._source = source
        self._line_end = line_end(source.text)
        self._names: set[str] = set()  # that were found to be names
        first = next((own for element in elements for own in element.attributes(source.text).values()), None)
        self._quote = source.text[first.value_start] if first else '"'
        short = next((element for element in elements if element.empty), None)
        self._close = " />" if short and source.text[short.tag_end - 3] == " " else "/>"

    def text(self, value: str) -> str:
        """The raw text of a value within an element."""
        if _PLAIN.fullmatch(value):
            return value
        raw = value.replace("&", "&amp;").replace("<", "&lt;").replace("]]>", "]]&gt;").replace("\r", "&#13;")
        return self._encodable(self._checked(raw).replace("\n", self._line_end))

    def section(self, value: str) -> str | None:
        """The raw text of a value within a CDATA section; None if it cannot stand in one."""
        raw = self._checked(value).replace("\n", self._line_end)
        return None if "]]>" in value or "\r" in value or self._encodable(raw) != raw else raw

    def quoted(self, value: str, quote: str = "") -> str:
        """The raw text of an attribute value with its quotes."""
        quote = quote or self._quote
        if _PLAIN.fullmatch(value):
            return quote + value + quote
        raw = self._checked(value).translate(_ATTRIBUTE_CODES)
        return quote + self._encodable(raw.replace(quote, "&quot;" if quote == '"' else "&apos;")) + quote

    def attributes(self, pairs: Iterable[tuple[str, str]]) -> str:
        """Attributes with a blank before each."""
        return "".join(f" {self.name(name)}={self.quoted(value)}" for name, value in pairs)

    def element(self, tag: str, pairs: Iterable[tuple[str, str]], content: str | None) -> str:
        """An element; content is raw, None for an element without any."""
        start = f"<{self.name(tag)}{self.attributes(pairs)}"
        return start + (self._close if content is None else f">{content}</{tag}>")

    def name(self, name: str) -> str:
        """The name, if it can be one in XML."""
        if name not in self._names and not NAME.fullmatch(name):
            hint = "XML names begin with a letter or '_' and have no blanks"
            raise OutputError(f"{name!r} cannot be a name in XML", self._source.location(0), hint)
        self._names.add(name)
        return name

    def _checked(self, value: str) -> str:
        bad = NO_CHAR.search(value)
        if bad:
            says = f"the character U+{ord(bad[0]):04X} of {value[:40]!r} cannot be written in XML"
            raise OutputError(says, self._source.location(0), "leave it out")
        return value

    def _encodable(self, raw: str) -> str:
        try:
            self._source.encode(raw)
        except OutputError:
            codec = self._source.encoding
            return raw.encode(codec, "xmlcharrefreplace").decode(codec)
        return raw


def text_edits(writer: Writer, text: str, element: Element, value: str) -> list[Edit]:
    """The edits that give a leaf element another text. Comments in it stay; a CDATA section stays one if it can."""
    if element.empty:
        start = back_over_blanks(text, element.tag_end - 2)
        return [(start, element.tag_end, f">{writer.text(value)}</{element.tag}>")]
    if not element.texts:
        return [(element.content_end, element.content_end, writer.text(value))]
    chosen = next((part for part in element.texts if text[part[0] : part[1]].strip(BLANKS)), element.texts[0])
    edits: list[Edit] = []
    for part in element.texts:
        start, end, section = part
        raw = writer.section(value) if section and part == chosen else None
        if raw is None:
            raw = writer.text(value) if part == chosen else ""
            if section:
                start, end = start - len("<![CDATA["), end + len("]]>")
        edits.append((start, end, raw))
    return edits


@dataclass(frozen=True, slots=True)
class Layout:
    """gap: what stands before a new child of an element, a line end with indentation or blanks. unit: one indentation.

    outer: the indentation of the line where the element begins.
    """

    gap: str
    unit: str
    outer: str

    @classmethod
    def seen(cls, text: str, root: Element, element: Element) -> Layout:
        """The layout of the children of an element: that of its last one, else that of the rest of the file."""
        gap = _gap(text, root.last)
        inner, outer = indentation(text, root.last.start) if root.last else "", indentation(text, root.start)
        unit = inner[len(outer) :] if inner.startswith(outer) and broken(gap) else ""
        outer = indentation(text, element.start)
        if element.last:
            return cls(_gap(text, element.last), unit or "  ", outer)
        lines = broken(gap if root.last else text)
        return cls(line_end(text) + outer + (unit or "  ") if lines else gap, unit or "  ", outer)

    def deeper(self, levels: int) -> str:
        """What stands before a child that many levels further in."""
        return self.gap + self.unit * levels if self.broken else self.gap

    @property
    def broken(self) -> bool:
        """Whether each child has its own line."""
        return broken(self.gap)

    def insert(self, text: str, element: Element, children: Sequence[str]) -> list[Edit]:
        """The edits that append children to an element."""
        more = "".join(self.gap + child for child in children)
        closing = self.gap[: len(self.gap) - len(self.gap.lstrip("\r\n"))] + self.outer if self.broken else ""
        if element.empty:
            start = back_over_blanks(text, element.tag_end - 2)
            return [(start, element.tag_end, f">{more}{closing}</{element.tag}>")]
        at = max(back_over_blanks(text, element.content_end), element.tag_end)
        rest = text[at : element.content_end]
        if element.last or broken(rest):
            closing = ""
        return [(at, at, more + closing)]


def _gap(text: str, element: Element | None) -> str:
    """The blanks before an element; of several line ends only the last."""
    if not element:
        return ""
    return last_line(text[back_over_blanks(text, element.start) : element.start])


def whole_lines(text: str, start: int, end: int) -> tuple[int, int]:
    """The span, widened to whole lines if nothing but blanks stands beside it."""
    first, last = line_start(text, start), end
    while text[last : last + 1] in (" ", "\t"):
        last += 1
    if (first and text[first - 1] not in "\r\n") or text[last : last + 1] not in ("\r", "\n", ""):
        return start, end
    return first, last + (2 if text.startswith("\r\n", last) else last < len(text))


def ordered(pairs: Mapping[str, str], like: Element | None) -> list[tuple[str, str]]:
    """The attributes in the order that another element has them in; those it lacks come last."""
    if not like:
        return list(pairs.items())
    order = list(like.values)
    return sorted(pairs.items(), key=lambda pair: order.index(pair[0]) if pair[0] in order else len(order))
