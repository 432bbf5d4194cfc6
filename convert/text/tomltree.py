"""TOML 1.0 as a lossless tree: `tomllib` says whether the text is valid, an edit changes the text of a value only.

Tables are groups; the elements of an array of tables have the names "0", "1", ... An inline table is a group, and so is
an array that holds one; all other values are entries. A dotted key is one key, its parts joined by dots. Numbers are
decimal and have no '_'; dates are texts. Text that is not UTF-8 is refused, as TOML wants it.

In a `New`, a tuple of the kind "list" is written in the form of the list that it replaces, else bare if every item can
be (numbers, flags, dates), else as texts. A tuple of the kind "text", "number" or "flag" has items of that form.

>>> from convert.text.source import Source
>>> tree = parse(Source.from_bytes(b"[bead]\\nwidth = 0.4 # mm\\n"))
>>> [(entry.path, entry.key, entry.value, entry.kind) for entry in tree.entries]
[(('bead',), 'width', '0.4', 'number')]
>>> tree.replace({0: New("width", "0.45", "number")}).extend(("fan",), [New("on", "true", "flag")]).render()
b'[bead]\\nwidth = 0.45 # mm\\n\\n[fan]\\non = true\\n'
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from convert.errors import InputError, OutputError
from convert.text.edit import Edit
from convert.text.source import Source
from convert.text.tomladd import Adder
from convert.text.tomlscan import Node, Path, Scan, Stray, judge
from convert.text.tomlwrite import Writer
from convert.text.tree import NOTHING, Group, New, Tree

_SURROGATE = re.compile("[\ud800-\udfff]")


def parse(source: Source, options: Mapping[str, object] = NOTHING) -> TomlTree:
    """The tree of a TOML text; InputError with the place if it is not valid TOML 1.0."""
    return TomlTree(source, options)


class TomlTree(Tree):
    """A TOML text. The mark of a row is the node of its value, and whether it is a statement of its own."""

    __slots__ = ("_inline", "_scan", "_writer")

    syntax = "toml"

    def _read(self) -> None:
        source = self.source
        _check_unicode(source)
        try:
            self._scan = Scan(source)
        except Stray as stray:
            judge(source, source.text)
            where = source.location(stray.args[0])
            raise InputError("TOML that cannot be read here", where, "write it in a simpler form") from None
        if not self._scan.judged:
            judge(source, source.text)
        self._writer = Writer(source)
        self._inline: list[tuple[Path, Node]] = []
        for table in self._scan.tables:
            for node in table.statements:
                self._read_value(table.path, node)

    def _read_value(self, path: Path, top: Node) -> None:
        """Rows and groups of the value of one statement, in document order."""
        todo = [(path, ".".join(top.parts), top)]
        while todo:
            above, key, node = todo.pop()
            if node.kind != "object" and not node.branching:
                self.rows.append((above, key, node.value, (node, node is top)))
                continue
            own = (*above, *(node.parts or (key,)))
            self._inline.append((own, node))
            keys = [".".join(each.parts) if each.parts else str(at) for at, each in enumerate(node.children)]
            todo += [(own, key, child) for key, child in zip(keys, node.children, strict=True)][::-1]

    def _span(self, index: int) -> tuple[int, int]:
        node = self.rows[index][3][0]
        return node.start, node.end

    def _kind(self, index: int) -> str:
        return self.rows[index][3][0].kind

    def _list_groups(self) -> list[Group]:
        found = [(table.start, table.end, table.path) for table in self._scan.tables]
        found += [(node.start, node.end, path) for path, node in self._inline]
        return [Group(path, {}, start, end) for start, end, path in [found[0], *sorted(found[1:])]]

    # ---- edits

    def _again(self, text: str) -> TomlTree:
        try:
            return super()._again(text)
        except InputError as error:
            raise OutputError(f"that would not be TOML: {error.says}", error.where, error.hint) from None

    def _put(self, index: int, new: New) -> list[Edit]:
        _, _, value, (node, _) = self.rows[index]
        if isinstance(new.value, tuple):
            if node.kind == "list":
                return self._writer.list_edits(new, node)
        elif (new.value, new.kind) == (value, node.kind):
            return []
        old = self.source.text[node.start : node.end] if node.kind == "text" else ""
        return [(node.start, node.end, self._writer.value(new, old))]

    def _cut(self, indices: Sequence[int]) -> list[Edit]:
        """Statements go with their lines; neighbours within brackets in one run, with their commas."""
        text = self.source.text
        edits: list[Edit] = []
        runs: list[list[int]] = []  # of members within brackets: the separators around, and the end of the last value
        for index in indices:
            node, alone = self.rows[index][3]
            if alone:
                edits.append((node.before, node.after, ""))
            elif runs and runs[-1][1] == node.before:
                runs[-1][1:] = [node.after, node.end]
            else:
                runs.append([node.before, node.after, node.end])
        for before, after, end in runs:
            if text[after] == ",":
                edits.append((before + 1, after + 1, ""))
            elif text[before] == ",":
                edits.append((before, end, ""))
            else:
                edits.append((before + 1, after, ""))
        return edits

    def _add(self, path: Path, items: Sequence[New], attributes: Mapping[str, str]) -> list[Edit]:
        return Adder(self.source, self._scan, self._inline, self._writer).add(path, items)


def _check_unicode(source: Source) -> None:
    """InputError unless the bytes are UTF-8, as section "Spec" of TOML 1.0 demands."""
    bad = _SURROGATE.search(source.text)
    if bad or source.encoding != "utf-8":
        where = source.location(bad.start() if bad else 0)
        raise InputError("TOML that is not UTF-8", where, "save the file as UTF-8")
