"""Where new keys, tables and elements go in a TOML text, and how they look there."""

from __future__ import annotations

from collections.abc import Sequence

from convert.errors import OutputError
from convert.text.blanks import indentation
from convert.text.edit import Edit, line_end
from convert.text.source import Source
from convert.text.tomlscan import Node, Path, Scan, Table
from convert.text.tomlwrite import Writer, key_text, split_key
from convert.text.tree import New


class Adder:
    """Works out the edits that append entries to a group of one text.

    inline: the path and node of each inline table, and of each array that holds one.
    """

    def __init__(self, source: Source, scan: Scan, inline: Sequence[tuple[Path, Node]], writer: Writer) -> None:
        self._source, self._text, self._writer = source, source.text, writer
        self._tables, self._arrays, self._inline = scan.tables, scan.arrays, dict(inline)
        self._line_end = line_end(source.text)

    def add(self, path: Path, items: Sequence[New]) -> list[Edit]:
        """The edits; a group that is missing is made: within brackets if it is to be in some, else as a table."""
        for table in self._tables:
            if table.path == path:
                return self._statements(table, items) if items else []
        for size in range(len(path), 0, -1):
            if path[:size] in self._inline:
                return self._members(self._inline[path[:size]], path, size, items)
        return self._table(path, items)

    # ---- keys with their own lines

    def _statements(self, table: Table, items: Sequence[New]) -> list[Edit]:
        """At the end of the keys of a table, but before comments and blank lines that end it."""
        if table.statements:
            last = table.statements[-1]
            at, lines = last.after, self._lines(items, last, indentation(self._text, last.start))
        elif table.path:
            at, lines = table.body, self._lines(items, None)
        else:
            at, lines = self._above(1), self._lines(items, None)
            if len(self._tables) > 1:
                lines += self._line_end
        return [(at, at, self._begin_line(at) + lines)]

    def _lines(self, items: Sequence[New], like: Node | None, indent: str = "") -> str:
        sign = self._text[like.key_end : like.start] if like else ""
        sign = sign if sign in ("=", " = ") else " = "
        lines = []
        for new in items:
            comment = " # " + " ".join(new.comment.split()) if new.comment else ""
            raw = self._writer.value(new, lines=True)
            lines.append(indent + key_text(split_key(new.key)) + sign + raw + comment + self._line_end)
        return "".join(lines)

    def _table(self, path: Path, items: Sequence[New]) -> list[Edit]:
        """A new table, or element of an array of tables, after the last of those that share most of its path."""
        near = 0
        for size in range(len(path) - 1, 0, -1):
            near = max((at for at, table in enumerate(self._tables) if table.path[:size] == path[:size]), default=0)
            if near:
                break
        at = self._above(near + 1) if near else len(self._text)
        like = next((table.statements[-1] for table in reversed(self._tables) if table.statements), None)
        lines = "".join(header + self._line_end for header in self._headers(path)) + self._lines(items, like)
        before = self._begin_line(at)
        if at and not self._text[max(0, at - 3) : at].endswith(("\n\n", "\n\r\n")):
            before += self._line_end  # a blank line
        return [(at, at, before + lines + (self._line_end if at < len(self._text) else ""))]

    def _headers(self, path: Path) -> list[str]:
        """The header lines that open a table of that path."""
        headers: list[str] = []
        names: list[str] = []
        here: Path = ()
        array = False
        for name in path:
            size = self._arrays.get(here)
            fresh = here and not any(table.path[: len(here)] == here for table in self._tables)
            array = name == str(size) if size is not None else name == "0" and bool(fresh)
            if array:
                headers.append(f"[[{key_text(names)}]]")
            elif size is None:
                names.append(name)
            elif name not in map(str, range(size)):
                raise self._refuse(path, f"the next element of {'.'.join(here)} is {size}")
            here = (*here, name)
        return headers if array else [*headers, f"[{key_text(names)}]"]

    def _above(self, number: int) -> int:
        """The offset before the table of that number and the comment lines right above its header; else the end."""
        if number >= len(self._tables):
            return len(self._text)
        at = self._tables[number].start
        while at:
            line = self._text.rfind("\n", 0, at - 1) + 1
            if not self._text[line:at].lstrip(" \t").startswith("#"):
                break
            at = line
        return at

    def _begin_line(self, at: int) -> str:
        return self._line_end if at and self._text[at - 1] != "\n" else ""

    # ---- members within brackets

    def _members(self, node: Node, path: Path, size: int, items: Sequence[New]) -> list[Edit]:
        """At the end of an inline table or array, to which `size` names of the path lead; the others are made."""
        missing, listed = path[size:], node.kind == "list"
        names = missing[:1] or tuple(new.key for new in items)
        count = len(node.children)
        if listed and names != tuple(str(count + more) for more in range(len(names))):
            raise self._refuse(path, f"the next element of that array is {count}")
        texts = [(new.key, self._writer.value(new)) for new in items]
        for depth in range(len(missing), 0, -1):
            array = depth < len(missing) and missing[depth] == "0"
            inside = ", ".join(raw if array else f"{key_text(split_key(key))} = {raw}" for key, raw in texts)
            raw = f"[{inside}]" if array else f"{{ {inside} }}" if inside else "{}"
            texts = [(missing[depth - 1], raw)]
        members = [raw if listed else f"{key_text(split_key(key))} = {raw}" for key, raw in texts]
        if not members:
            return []
        if not node.children:
            at = node.start + 1
            return [(at, at, " " + ", ".join(members) + " " * (self._text[at] != " "))]
        last = node.children[-1]
        gap = self._text[last.before + 1 : last.start] if listed else " "
        if gap.strip(" \t\r\n") or not gap:
            gap = " "
        return [(last.end, last.end, "".join("," + gap + member for member in members))]

    def _refuse(self, path: Path, why: str) -> OutputError:
        says = f"nothing can be added at {'.'.join(path)}: {why}"
        return OutputError(says, self._source.location(0), "choose another place")
