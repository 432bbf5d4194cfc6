"""XML 1.0 as a lossless tree; no document type, no entities beyond the predefined ones, names with their prefixes.

The path of an entry has the names of the elements around it, the outermost first. Without options, every leaf element
is an entry (key = tag, value = its text), and so is every attribute (key "@name", its element the last of the path).

With options, attributes are no entries of their own, and:

    entry        the tag of the elements that are settings; without it every leaf that has what `key` and `value` name
    key          "tag", or "@name" for the attribute that holds the key
    value        "text", or "@name" for the attribute that holds the value
    unit         "@name" for the attribute that holds the unit
    group        the tag of the elements that are groups
    group_name   "@name" for the attribute whose value is the name of a group in paths; other elements go by their tag

Leaf elements that are neither are entries as above, so that nothing of the file is passed over.

>>> from convert.text.source import Source
>>> text = b'<file><part id="bead"><set of="width" unit="mm">0.4</set></part></file>'
>>> options = {"entry": "set", "key": "@of", "unit": "@unit", "group": "part", "group_name": "@id"}
>>> tree = parse(Source.from_bytes(text), options)
>>> [(entry.path, entry.key, entry.value, entry.unit) for entry in tree.entries]
[(('file', 'bead'), 'width', '0.4', 'mm')]
>>> tree.replace({0: New("width", "450", unit="um")}).render()
b'<file><part id="bead"><set of="width" unit="um">450</set></part></file>'
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from convert.errors import InputError, Location, OutputError, Problem, UsageError
from convert.text.blanks import back_over_blanks
from convert.text.edit import Edit
from convert.text.source import Source
from convert.text.tree import NOTHING, Group, New, Tree
from convert.text.xmlscan import NAME, Element, Scan, decode
from convert.text.xmlwrite import Layout, Writer, ordered, text_edits, whole_lines

Path = tuple[str, ...]

# Options that name an attribute, and the word that stands for no attribute.
_WORDS = {"key": "tag", "value": "text", "unit": "", "group_name": "tag"}
_ENCODINGS = {"utf-8": ("utf-8", "utf8"), "latin-1": ("iso-8859-1", "latin-1", "latin1")}


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> XmlTree:
    """The tree of an XML text; InputError with the place if it is not well-formed or has a document type."""
    return XmlTree(source, options)


class XmlTree(Tree):
    """An XML text. The mark of a row is its element and the name of the attribute with the value, "" for the text."""

    __slots__ = ("_chosen", "_elements", "_encoding", "_names", "_writer")

    syntax = "xml"
    adds_at_once = True
    defaults: Mapping[str, object] = dict.fromkeys(("entry", "key", "value", "unit", "group", "group_name"), "")

    def _read(self) -> None:
        for name, value in self.options.items():
            _check_option(name, value)
        # Whether options say what the entries are, and the attributes that they name.
        self._chosen = self.options is not self.defaults and any(self.options.values())
        self._names = {option: str(value)[1:] * str(value).startswith("@") for option, value in self.options.items()}
        scan = Scan(self.source)
        self._elements, self._encoding = scan.elements, scan.encoding
        self._writer: Writer | None = None
        for element in scan.elements:
            above = element.parent.path if element.parent else ()
            element.path = (*above, self._name(element))
            if self._chosen:
                self._read_chosen(element, above)
                continue
            for name, value in element.values.items():
                self.rows.append((element.path, f"@{name}", value, (element, name)))
            if not element.last:
                self._read_text(element, above, element.tag)

    def _name(self, element: Element) -> str:
        name = element.values.get(self._names["group_name"])
        return name if name is not None and self.options["group"] in ("", element.tag) else element.tag

    def _read_chosen(self, element: Element, above: Path) -> None:
        key = self._key(element)
        if key is None:
            if not element.last and element.parent and element.tag != self.options["group"]:
                self._read_text(element, above, element.tag)
        elif name := self._names["value"]:
            element.entry = True
            self.rows.append((above, key, element.values[name], (element, name)))
        else:
            self._read_text(element, above, key)

    def _key(self, element: Element) -> str | None:
        """The key of an element that is a setting by the options; None if it is not."""
        key, value = self._names["key"], self._names["value"]
        if element.tag == self.options["group"] or self.options["entry"] not in ("", element.tag):
            return None
        if not self.options["entry"] and not element.parent:
            return None
        if (key and key not in element.values) or (value and value not in element.values):
            return None
        if not value and element.last:
            return None
        return element.values[key] if key else element.tag

    def _read_text(self, element: Element, above: Path, key: str) -> None:
        text = self.source.text
        element.entry = True
        parts = [text[start:end] if section else decode(text[start:end]) for start, end, section in element.texts]
        self.rows.append((above, key, "".join(parts), (element, "")))

    def _span(self, index: int) -> tuple[int, int]:
        element, name = self.rows[index][3]
        if name:
            own = element.attributes(self.source.text)[name]
            return own.value_start, own.end
        if element.empty:
            return element.tag_end - 2, element.tag_end - 2
        return element.tag_end, element.content_end

    def _unit(self, index: int) -> str | None:
        element, _ = self.rows[index][3]
        unit = element.values.get(self._names["unit"])
        return unit if unit is not None and self._key(element) is not None else None

    def _list_groups(self) -> list[Group]:
        groups = [Group((), {}, 0, len(self.source.text))]
        for element in self._elements:
            if not element.entry or element.last or (element.values and not self._chosen):
                groups.append(Group(element.path, element.values, element.start, element.end))
        return groups

    def _list_problems(self) -> list[Problem]:
        problems = self._repeated()
        text = self.source.text
        for element in self._elements:
            if element.last and (stray := [part for part in element.texts if text[part[0] : part[1]].strip()]):
                says = f"text beside the elements in <{element.tag}> is not read"
                problems.append(Problem(says, self._place(stray[0][0]), "put it in an element of its own"))
            if element.tag == self.options["entry"] and self._key(element) is None and not element.last:
                says = f"<{element.tag}> lacks the attribute for its key or value, so it goes by its tag"
                problems.append(Problem(says, self._place(element.start), "add the attribute"))
        known = _ENCODINGS.get(self.source.encoding, ("utf-16",))
        if self._encoding and self._encoding.lower() not in known and not text.isascii():
            says = f"the file says that it is written in {self._encoding}, but it was read as {known[0].upper()}"
            problems.append(Problem(says, self._place(0), "compare its texts, and save it as UTF-8"))
        return problems

    def _place(self, offset: int) -> Location:
        return self.source.location(offset)

    # ---- edits

    def _again(self, text: str) -> XmlTree:
        try:
            return super()._again(text)
        except InputError as error:
            raise OutputError(f"what was to be written is not XML: {error.says}", error.where, error.hint) from None

    def _accept(self, new: New, where: Location | None) -> None:
        if not self.options["unit"]:
            super()._accept(new, where)
        if isinstance(new.value, tuple):
            says = f"the new value of {new.key!r} is a list, which XML does not have"
            raise OutputError(says, where or self._place(0), "write it as one text")

    def _put(self, index: int, new: New) -> list[Edit]:
        _, _, value, (element, name) = self.rows[index]
        text, writer = self.source.text, self._write()
        edits: list[Edit] = []
        if new.value != value and name:
            own = element.attributes(text)[name]
            edits.append((own.value_start, own.end, writer.quoted(str(new.value), text[own.value_start])))
        elif new.value != value:
            edits += text_edits(writer, text, element, str(new.value))
        if new.unit is None or new.unit == self._unit(index):
            return edits
        if self._key(element) is None:
            raise OutputError(
                f"{element.tag!r} has no place for a unit", self.where(index), "give the value without one"
            )
        unit = self._names["unit"]
        if unit in element.values:
            own = element.attributes(text)[unit]
            return [*edits, (own.value_start, own.end, writer.quoted(new.unit, text[own.value_start]))]
        at = max((own.end for own in element.attributes(text).values()), default=element.name_end)
        return [*edits, (at, at, writer.attributes([(unit, new.unit)]))]

    def _write(self) -> Writer:
        if self._writer is None:
            self._writer = Writer(self.source, self._elements)
        return self._writer

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        text = self.source.text
        edits: list[Edit] = []
        elements: list[Element] = []
        lost: dict[Element, set[str]] = {}
        for index in indices:
            element, name = self.rows[index][3]
            if name and not self._chosen:
                own = element.attributes(text)[name]
                edits.append((back_over_blanks(text, own.start), own.end, ""))
                lost.setdefault(element, set()).add(name)
            else:
                elements.append(element)
        children = Counter(element.parent for element in self._elements)
        for element in elements:  # grows: an element that would be left empty, and then be an entry, goes too
            if element.parent is None:
                raise OutputError(
                    "the outermost element cannot be deleted", self._place(element.start), "keep a part of it"
                )
            if element.entry and element.last:
                raise OutputError(
                    f"<{element.tag}> still holds elements", self._place(element.start), "delete them first"
                )
            if set(element.values) - lost.get(element, set()) and (not self._chosen or not element.entry):
                says = f"<{element.tag}> still has attributes, so it cannot be deleted"
                raise OutputError(says, self._place(element.start), "delete its attributes with it")
            start, end = whole_lines(text, element.start, element.end)
            edits.append((start, end, ""))
            above = element.parent
            children[above] -= 1
            if not children[above] and not self._may_be_empty(above):
                elements.append(above)
        return edits

    def _may_be_empty(self, element: Element) -> bool:
        """Whether an element is still a group when it has no children."""
        return self._chosen and (not element.parent or element.entry or element.tag == self.options["group"])

    def _add(self, path: Path, items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        text, writer = self.source.text, self._write()
        own = [new for new in items if new.key.startswith("@") and not self._chosen]
        children = [new for new in items if new not in own]
        known = {element.path: element for element in self._elements if not element.entry}
        if own and not children:  # a leaf can take attributes
            known = {element.path: element for element in self._elements if element.path == path} | known
        size = next((size for size in range(len(path), 0, -1) if path[:size] in known), 0)
        if not size:
            raise self._refuse(path, f"paths begin with the outermost element, {self._elements[0].path[0]!r}")
        element, missing = known[path[:size]], path[size:]
        if missing and not self.options["group"] and (element.path, missing[0]) in {row[:2] for row in self.rows}:
            raise self._refuse(path, f"{missing[0]!r} is a value there")
        layout = Layout.seen(text, self._elements[0], element)
        like = self._like(element)
        texts = [self._element(new, element, like) for new in children]
        pairs = [(new.key[1:], str(new.value)) for new in own]
        edits: list[Edit] = []
        if not missing and pairs:
            at = max((each.end for each in element.attributes(text).values()), default=element.name_end)
            edits.append((at, at, writer.attributes(pairs)))
        for depth in range(len(missing), 0, -1):
            tag, named = self._group(missing[depth - 1])
            if depth == len(missing):
                named += [pair for pair in [*attributes.items(), *pairs] if pair not in named]
            content = "".join(layout.deeper(depth) + child for child in texts)
            if content and layout.broken:
                content += layout.deeper(depth - 1)
            texts = [writer.element(tag, named, content or None)]
        return edits + (layout.insert(text, element, texts) if texts else [])

    def _group(self, name: str) -> tuple[str, list[tuple[str, str]]]:
        """The tag and the first attribute of a new group of that name."""
        tag, attribute = str(self.options["group"]), self._names["group_name"]
        return (tag, [(attribute, name)]) if tag and attribute else (name, [])

    def _like(self, parent: Element) -> Element | None:
        """The setting whose form new ones take: the last one beside them, else the last one of all."""
        last = None
        for row in reversed(self.rows if self._chosen else []):
            element = row[3][0]
            if self._key(element) is not None:
                if element.parent is parent:
                    return element
                last = last or element
        return last

    def _element(self, new: New, parent: Element, like: Element | None) -> str:
        """A new entry as text, in the form of another one."""
        writer = self._write()
        key, value, unit = self._names["key"], self._names["value"], self._names["unit"]
        tag = (str(self.options["entry"]) or (like.tag if like else "")) if key else new.key
        if not tag:
            raise self._refuse(parent.path, "no element there shows the form of an entry")
        pairs = {key: new.key} if key else {}
        if unit and new.unit is not None:
            pairs[unit] = new.unit
        if value:
            pairs[value] = str(new.value)
        content = None if value else writer.text(str(new.value))
        comment = f" <!-- {new.comment} -->" if new.comment else ""
        return writer.element(tag, ordered(pairs, like), content) + comment

    def _refuse(self, path: Path, why: str) -> OutputError:
        return OutputError(
            f"nothing can be added at {'/'.join(path) or 'the root'}: {why}", self._place(0), "choose another place"
        )


def _check_option(option: str, value: object) -> None:
    """UsageError unless the value is "", a tag (entry, group), or the word of the option or "@name" (the others)."""
    word, text = _WORDS.get(option), str(value)
    name = text if word is None else text[1:] * text.startswith("@")
    if text not in ("", word) and not NAME.fullmatch(name):
        form = "a tag" if word is None else "@ and the name of an attribute" + (f", or {word}" if word else "")
        raise UsageError(f"the option {option!r} of xml cannot be {text!r}", hint=f"write {form}")
