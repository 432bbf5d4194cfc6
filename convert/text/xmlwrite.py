"""Raw XML text of values and elements, and how a file lays its elements out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from convert.errors import OutputError
from convert.text.edit import Edit, line_end
from convert.text.source import Source
from convert.text.xmlscan import NAME, NO_CHAR, Element

_BLANKS = " \t\r\n"
_ATTRIBUTE_CODES = str.maketrans({"&": "&amp;", "<": "&lt;", "\t": "&#9;", "\n": "&#10;", "\r": "&#13;"})


class Writer:
    """Writes values the way one file does: its quotes, its line ends, and references for what its encoding lacks."""

    def __init__(self, source: Source, elements: Sequence[Element]) -> None:
        self._source = source
        self._line_end = line_end(source.text)
        first = next((own for element in elements for own in element.attributes.values()), None)
        self._quote = source.text[first.value_start] if first else '"'
        short = next((element for element in elements if element.empty), None)
        self._close = " />" if short and source.text[short.tag_end - 3] == " " else "/>"

    def text(self, value: str) -> str:
        """The raw text of a value within an element."""
        raw = value.replace("&", "&amp;").replace("<", "&lt;").replace("]]>", "]]&gt;").replace("\r", "&#13;")
        return self._encodable(self._checked(raw).replace("\n", self._line_end))

    def section(self, value: str) -> str | None:
        """The raw text of a value within a CDATA section; None if it cannot stand in one."""
        raw = self._checked(value).replace("\n", self._line_end)
        return None if "]]>" in value or "\r" in value or self._encodable(raw) != raw else raw

    def quoted(self, value: str, quote: str = "") -> str:
        """The raw text of an attribute value with its quotes."""
        quote = quote or self._quote
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
        if not NAME.fullmatch(name):
            hint = "XML names begin with a letter or '_' and have no blanks"
            raise OutputError(f"{name!r} cannot be a name in XML", self._source.location(0), hint)
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
    chosen = next((part for part in element.texts if text[part[0] : part[1]].strip(_BLANKS)), element.texts[0])
    edits: list[Edit] = []
    for start, end, section in element.texts:
        raw = writer.section(value) if section and (start, end, section) == chosen else None
        if raw is None:
            start, end = (start - len("<![CDATA["), end + len("]]>")) if section else (start, end)
            raw = writer.text(value) if chosen[0] in (start, start + len("<![CDATA[")) and chosen[2] == section else ""
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
        unit = inner[len(outer) :] if inner.startswith(outer) and ("\n" in gap or "\r" in gap) else ""
        outer = indentation(text, element.start)
        if element.last:
            return cls(_gap(text, element.last), unit or "  ", outer)
        broken = any(mark in (gap if root.last else text) for mark in "\r\n")
        return cls(line_end(text) + outer + (unit or "  ") if broken else gap, unit or "  ", outer)

    def deeper(self, levels: int) -> str:
        """What stands before a child that many levels further in."""
        return self.gap + self.unit * levels if self.broken else self.gap

    @property
    def broken(self) -> bool:
        """Whether each child has its own line."""
        return "\n" in self.gap or "\r" in self.gap

    def insert(self, text: str, element: Element, children: Sequence[str]) -> list[Edit]:
        """The edits that append children to an element."""
        more = "".join(self.gap + child for child in children)
        closing = self.gap[: len(self.gap) - len(self.gap.lstrip(_BLANKS[2:]))] + self.outer if self.broken else ""
        if element.empty:
            start = back_over_blanks(text, element.tag_end - 2)
            return [(start, element.tag_end, f">{more}{closing}</{element.tag}>")]
        at = max(back_over_blanks(text, element.content_end), element.tag_end)
        rest = text[at : element.content_end]
        if element.last or "\n" in rest or "\r" in rest:
            closing = ""
        return [(at, at, more + closing)]


def _gap(text: str, element: Element | None) -> str:
    """The blanks before an element; of several line ends only the last."""
    if not element:
        return ""
    blanks = text[back_over_blanks(text, element.start) : element.start]
    line = max(blanks.rfind("\n"), blanks.rfind("\r"))
    return blanks[line - (blanks[line - 1 : line + 1] == "\r\n") :] if line > 0 else blanks


def indentation(text: str, at: int) -> str:
    """The blanks at the start of the line of an offset."""
    line = max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1
    end = line
    while text[end : end + 1] in (" ", "\t"):
        end += 1
    return text[line:end]


def back_over_blanks(text: str, at: int) -> int:
    """The offset after the last character before `at` that is no blank or line end."""
    while at and text[at - 1] in _BLANKS:
        at -= 1
    return at


def whole_lines(text: str, start: int, end: int) -> tuple[int, int]:
    """The span, widened to whole lines if nothing but blanks stands beside it."""
    first, last = start, end
    while first and text[first - 1] in " \t":
        first -= 1
    while text[last : last + 1] in (" ", "\t"):
        last += 1
    if (first and text[first - 1] not in "\r\n") or text[last : last + 1] not in ("\r", "\n", ""):
        return start, end
    return first, last + (2 if text.startswith("\r\n", last) else last < len(text))


def ordered(pairs: Mapping[str, str], like: Element | None) -> list[tuple[str, str]]:
    """The attributes in the order that another element has them in; those it lacks come last."""
    order = list(like.attributes) if like else []
    return sorted(pairs.items(), key=lambda pair: order.index(pair[0]) if pair[0] in order else len(order))
