"""Command code in a settings file: line ends, escapes and placeholders.

In the canonical profile code has real line ends and placeholders are setting ids in braces: `M109
S{heat.nozzle_first}`. A dialect writes its own key between its own delimiters. Braces that hold no known id are
literal; a literal `{known.id}` is written with doubled braces.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from convert.dialects.atoms import Atom, CannotSay, Cell, is_quoted
from convert.model.setting import SETTINGS, Setting
from convert.model.value import Value


def braces(text: str) -> Iterator[tuple[int, int, str]]:
    """The canonical placeholders of a text: start, end, id. Doubled braces are none.

    >>> list(braces("M109 S{heat.nozzle_first} ; {{heat.bed}} {odd}"))
    [(6, 25, 'heat.nozzle_first')]
    """
    at = text.find("{")
    while at >= 0:
        if text.startswith("{{", at):
            end = text.find("}}", at)
            if end >= 0 and text[at + 2 : end] in SETTINGS:
                at = text.find("{", end + 2)
                continue
        end = text.find("}", at)
        if end < 0:
            return
        if text[at + 1 : end] in SETTINGS:
            yield at, end + 1, text[at + 1 : end]
            at = text.find("{", end + 1)
        else:
            at = text.find("{", at + 1)


def protect(text: str) -> str:
    """Double the braces that would read as a placeholder.

    >>> protect("{heat.bed} {x} {{heat.bed}}"), unprotect(protect("{heat.bed} {x} {{heat.bed}}"))
    ('{{heat.bed}} {x} {{{heat.bed}}}', '{heat.bed} {x} {{heat.bed}}')
    """
    return _swap(text, "{", "}", "{{", "}}")


def unprotect(text: str) -> str:
    """Undo `protect`."""
    return _swap(text, "{{", "}}", "{", "}")


def _swap(text: str, opening: str, closing: str, new_opening: str, new_closing: str) -> str:
    if opening not in text:
        return text
    parts, at = [], 0
    while True:
        start = text.find(opening, at)
        if start < 0:
            parts.append(text[at:])
            return "".join(parts)
        end = text.find(closing, start)
        if end >= 0 and text[start + len(opening) : end] in SETTINGS:
            parts += [text[at:start], new_opening, text[start + len(opening) : end], new_closing]
            at = end + len(closing)
        else:
            parts.append(text[at : start + 1])
            at = start + 1


def mistyped(text: str) -> list[str]:
    """Names in single braces that look like setting ids and are none.

    >>> mistyped("M190 S{heat.bed_frst} {x} {heat.bed}")
    ['heat.bed_frst']
    """
    found = []
    for part in text.split("{")[1:]:
        name, closed, _ = part.partition("}")
        if closed and "." in name and name not in SETTINGS and name.replace(".", "").replace("_", "").isalpha():
            found.append(name)
    return found


class CodeAtom(Atom):
    """Command code of one setting.

    `lines` is "plain", "escaped" or "array"; `names` maps the dialect's keys to ids and `keys` ids to the dialect's
    keys; `number` spells the value of a setting for a placeholder that the dialect lacks (None where it has no value).
    """

    __slots__ = ("closing", "keys", "lines", "names", "opening", "quote")

    def __init__(
        self,
        setting: Setting,
        lines: str,
        opening: str,
        closing: str,
        names: Mapping[str, str],
        keys: Mapping[str, str],
        quote: str = "",
    ) -> None:
        super().__init__(setting)
        self.lines, self.opening, self.closing = lines, opening, closing
        self.names, self.keys, self.quote = names, keys, quote

    def _read(self, text: str, unit: str | None) -> Value:
        quoted = is_quoted(text, self.quote)
        if quoted:
            text = text[len(self.quote) : -len(self.quote)]
        if self.lines == "escaped":
            text = unescape(text, self.quote if quoted else "")
        return self._from_dialect(text.replace("\r\n", "\n").replace("\r", "\n"))

    def read_lines(self, lines: tuple) -> Value:
        return self._from_dialect("\n".join(line if isinstance(line, str) else "".join(line) for line in lines))

    def write(self, value: Value, old: Cell | None = None, number: Callable[[str], str | None] | None = None) -> Cell:
        if not isinstance(value, str):
            raise CannotSay("holds command code only")
        text = self._to_dialect(value, number)
        if self.lines == "array":
            return Cell(tuple(text.split("\n")), "text" if old is None else "list")
        old_text = old.value if old is not None and isinstance(old.value, str) else None
        quote = self.quote if old_text is None or is_quoted(old_text, self.quote) else ""
        if self.lines == "escaped":
            text = escape(text, quote)
        elif old_text is not None and "\r\n" in old_text:
            text = text.replace("\n", "\r\n")
        cell = Cell(quote + text + quote, old.kind if old is not None and old.kind != "list" else "text")
        if old_text is not None and cell.value != old_text and number is None and self.read(old_text) == value:
            return Cell(
                old_text, cell.kind
            )  # one code has several spellings (needless escapes, mixed line ends): keep its own
        return cell

    def unknown(self, text: str) -> list[str]:
        """Names between this dialect's delimiters that no row knows."""
        return [name for _, _, name in self._marks(text) if name not in self.names]

    def _marks(self, text: str) -> Iterator[tuple[int, int, str]]:
        if not self.opening:
            return
        at = text.find(self.opening)
        while at >= 0:
            end = text.find(self.closing, at + len(self.opening))
            if end < 0:
                return
            name = text[at + len(self.opening) : end]
            if "\n" in name or self.opening in name:
                at = text.find(self.opening, at + len(self.opening))
                continue
            yield at, end + len(self.closing), name
            at = text.find(self.opening, end + len(self.closing))

    def _from_dialect(self, text: str) -> str:
        parts, done = [], 0
        for start, end, name in self._marks(text):
            if name in self.names:
                parts += [protect(text[done:start]), "{", self.names[name], "}"]
                done = end
        return "".join(parts) + protect(text[done:]) if parts else protect(text)

    def _to_dialect(self, value: str, number: Callable[[str], str | None] | None) -> str:
        parts, done = [], 0
        for start, end, name in braces(value):
            key = self.keys.get(name) if self.opening else None
            if key is not None:
                put = self.opening + key + self.closing
            else:
                spelled = number(name) if number is not None else None
                if spelled is None:
                    raise CannotSay(f"has no placeholder for {name}", link=True, needs=name)
                put = spelled
            parts += [unprotect(value[done:start]), put]
            done = end
        return "".join(parts) + unprotect(value[done:])


def escape(text: str, quote: str = "") -> str:
    """One physical line for several: line ends, backslashes and the quote get a backslash.

    >>> escape("G28\\nM117 a\\\\b"), unescape(escape("G28\\nM117 \\\\n"))
    ('G28\\\\nM117 a\\\\\\\\b', 'G28\\nM117 \\\\n')
    """
    text = text.replace("\\", "\\\\")
    if quote:
        text = text.replace(quote, "\\" + quote)
    return text.replace("\r\n", "\\n").replace("\n", "\\n").replace("\r", "\\n")


def unescape(text: str, quote: str = "") -> str:
    """Undo `escape`; a backslash before anything else is literal."""
    if "\\" not in text:
        return text
    parts, at = [], 0
    while True:
        found = text.find("\\", at)
        if found < 0 or found + 1 >= len(text):
            parts.append(text[at:])
            return "".join(parts)
        parts.append(text[at:found])
        follower = text[found + 1]
        if follower == "n":
            parts.append("\n")
        elif follower == "\\" or (quote and follower == quote):
            parts.append(follower)
        else:
            parts.append("\\" + follower)
        at = found + 2
