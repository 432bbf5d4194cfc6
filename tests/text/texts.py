"""Texts, bytes and values to draw from, and the laws that hold for every tree of lines or cells."""

from __future__ import annotations

import codecs
from collections import Counter
from collections.abc import Callable

from hypothesis import strategies as st

from convert.errors import InputError
from convert.text.source import Source
from convert.text.tree import New, Tree

LINE_ENDS = ("\n", "\r\n", "\r")
# One character of each kind that readers stumble over.
ODD = "aB7_ \t\x0b\x1f\x85\xa0;#/[]=:\"'\\(),.%éµ中😀\u2028"

words = st.sampled_from(["width", "speed", "Heat 2", "a.b", "ü", "1", "x-y", "flow[0]", "a/b", "µm"])
values = st.sampled_from(
    ["", "0.4", "45%", "0.2, 0.4", "G28 ; home", "a=b", "1:2", "[x]", '"q"', "ä", "C:\\d\\", "//", "\xa0"]
)
ends = st.sampled_from(["\n"] * 6 + ["\r\n", "\r"])
odd_text = st.text(st.sampled_from(ODD), max_size=12)
plain_values = st.text(st.sampled_from("aB7_.,%é-+"), min_size=1, max_size=8)
one_line = st.text(st.characters(exclude_characters="\r\n", exclude_categories=["Cs"]), max_size=12)


@st.composite
def encoded(draw: st.DrawFn, texts: st.SearchStrategy[str]) -> bytes:
    """The bytes of a text in one of several encodings, now and then with a byte that breaks it."""
    text = draw(texts)
    kind = draw(
        st.sampled_from(["utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-16-be", "utf-16-le", "latin-1", "broken"])
    )
    if kind == "utf-16-be":
        return codecs.BOM_UTF16_BE + text.encode(kind)
    if kind == "broken":
        data = text.encode()
        at = draw(st.integers(0, len(data)))
        return data[:at] + draw(st.sampled_from([b"\xff", b"\xc3", b"\x80\x80", b"\xe9"])) + data[at:]
    return text.encode(kind, "replace" if kind == "latin-1" else "strict")


def check_reading(tree: Tree, data: bytes) -> None:
    """What holds for every tree right after reading."""
    text = tree.source.text
    assert tree.render() == data
    assert "".join(tree.pieces()) == text
    assert len(tree.entries) == len(tree.rows)
    done = 0
    for index, (entry, row) in enumerate(zip(tree.entries, tree.rows, strict=True)):
        assert (entry.path, entry.key, entry.value, entry.index) == (*row[:3], index)
        assert tree.raw(index) == text[entry.start : entry.end]
        assert done <= entry.start <= entry.end <= len(text)
        done = entry.end
    groups = tree.groups
    assert groups[0].path == ()
    assert tree.lines() == [tree.line(index) for index in range(len(tree.rows))]
    assert {row[0] for row in tree.rows} <= {group.path for group in groups}
    repeated = [pair for pair, times in Counter(row[:2] for row in tree.rows).items() if times > 1]
    assert len(tree.problems) >= len(repeated)
    for problem in tree.problems:
        assert str(problem)


def check_replacing(tree: Tree, index: int, new: New) -> None:
    """What holds for every tree with one value replaced: it alone is another, and the old one brings all bytes back."""
    after = tree.replace({index: new})
    old, got = tree.entry(index), after.entry(index)
    assert (got.value, got.kind, got.start) == (new.value, new.kind, old.start)
    assert after.source.text[: got.start] == tree.source.text[: old.start]
    assert after.source.text[got.end :] == tree.source.text[old.end :]
    assert _forms(after, index) == _forms(tree, index)
    assert tree.replace({index: New(old.key, old.value, old.kind)}).render() == tree.render()


def _forms(tree: Tree, but: int) -> list[tuple]:
    entries = [(entry.path, entry.key, entry.value, entry.kind) for entry in tree.entries]
    entries[but] = entries[but][:2]
    return entries


def refusal(read: Callable[[bytes], Tree], data: bytes) -> InputError | None:
    """Why bytes are refused, with a place and what to do; None if they are read, and then they come back."""
    try:
        assert read(data).render() == data
    except InputError as error:
        refused = error
    else:
        return None
    assert refused.where
    assert refused.where.line
    assert refused.where.column
    assert refused.hint
    return refused


def content(tree: Tree) -> list[tuple]:
    """Path, name and value of all entries, in order."""
    return [row[:3] for row in tree.rows]


def is_inserted(before: str, after: str) -> bool:
    """Whether `after` is `before` with one stretch of text put in somewhere.

    >>> is_inserted("ab", "axb"), is_inserted("ab", "ba")
    (True, False)
    """
    same = 0
    while same < len(before) and before[same] == after[same : same + 1]:
        same += 1
    rest = before[same:]
    return len(after) >= len(before) and after.endswith(rest)


def is_subsequence(before: str, after: str) -> bool:
    """Whether all characters of `before` are in `after`, in order."""
    found = iter(after)
    return all(char in found for char in before)


def source(text: str, path: str = "a.txt") -> Source:
    """A source in UTF-8."""
    return Source.from_bytes(text.encode("utf-8", "surrogateescape"), path)
