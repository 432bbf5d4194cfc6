"""The XML tree against the standard library: expat takes the same texts, ElementTree finds the same values."""

from __future__ import annotations

from xml.etree import ElementTree
from xml.parsers import expat

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import InputError
from convert.text.source import Source
from convert.text.xmltree import XmlTree, parse

# Pieces of XML and near-XML, put together at random. No DOCTYPE, which the tree refuses on purpose, and no character
# outside of what the 4th edition of XML 1.0, expat's, allows in names.
PIECES = """<a> </a> <b x="1"> </b> <c/> <a <b x=" " ' = / > < & &amp; &#65; &#x41; &#0; &#xD800; &#x110000; &lt; &no;
&#; <!-- --> - -- <![CDATA[ ]]> ]] <? ?> <?p ?> <?xml?> <?xml <a:b> </a:b> x y="" xml:lang='de' ü é: . 1"""
pieces = st.sampled_from([*PIECES.split(), " ", "\n", "\r\n", "\r", "\t", "\x01", "\ufffe", "<a></a>"])
contents = st.lists(pieces, max_size=10).map("".join)

names = st.sampled_from(["a", "b", "_c", "d-e", "f.1", "ü"])
texts = st.text(st.sampled_from("ab<&>\"' \n\r\t]é\u2028\U0001f600"), max_size=6)


@st.composite
def elements(draw: st.DrawFn, depth: int = 3) -> ElementTree.Element:
    element = ElementTree.Element(draw(names), {draw(names): draw(texts) for _ in range(draw(st.integers(0, 2)))})
    element.text = draw(texts)
    for _ in range(draw(st.integers(0, 3)) if depth else 0):
        child = draw(elements(depth - 1))
        child.tail = draw(texts)
        element.append(child)
    return element


def read(text: str) -> XmlTree:
    return parse(Source.from_bytes(text.encode()))


def flattened(element: ElementTree.Element, path: tuple[str, ...] = ()) -> list[tuple]:
    own = (*path, element.tag)
    rows: list[tuple] = [(own, f"@{name}", value) for name, value in element.attrib.items()]
    if not len(element):
        rows.append((path, element.tag, element.text or ""))
    return rows + [row for child in element for row in flattened(child, own)]


def same(text: str) -> None:
    """Both refuse the text, or both take it; and then, where namespaces do not come in, the values are the same."""
    try:
        expat.ParserCreate().Parse(text.encode(), True)
    except expat.ExpatError:
        with pytest.raises(InputError) as caught:
            read(text)
        assert caught.value.where
        assert caught.value.where.line
        return
    tree = read(text)
    if ":" not in text:
        assert [row[:3] for row in tree.rows] == flattened(ElementTree.fromstring(text.encode()))


@given(elements())
def test_same_values(element: ElementTree.Element) -> None:
    text = ElementTree.tostring(element, "unicode")
    assert [row[:3] for row in read(text).rows] == flattened(ElementTree.fromstring(text))


@given(contents)
def test_same_texts_are_valid(content: str) -> None:
    same(f"<r>{content}</r>")


@given(contents)
def test_same_texts_are_valid_without_a_root(content: str) -> None:
    same(content)


@given(elements(), contents, st.integers(0, 300), st.integers(0, 3))
def test_same_texts_are_valid_after_damage(element: ElementTree.Element, extra: str, at: int, cut: int) -> None:
    text = ElementTree.tostring(element, "unicode")
    at %= len(text)
    same(text[:at] + extra + text[at + cut :])


@pytest.mark.parametrize(
    "text",
    [
        '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<!-- a --><?p q?>\r\n<a/>\n<!-- b -->\n',
        "<a b='1\r\n2\t3&#10;4' c='\"'/>",
        "<a>1<!-- x -->2<?p?>3<![CDATA[<4>&amp;]]>&#x35;</a>",
        "<a>\r\n<b>\r1\r\n2\n</b>\t</a >",
        "<a\n\tb = '>'\r\nc=\"]]>\"></a>",
        "<a><![CDATA[]]]]><![CDATA[>]]></a>",
        "<a>&#x10FFFF;&#00000000000000000000065;&lt;&gt;&amp;&quot;&apos;</a>",
        "<?xml version='1.0'?><a/>",
        "<?xml version='1.0' standalone='no' encoding='UTF-8'?><a/>",
        "<?xml?><a/>",
        "<?XML version='1.0'?><a/>",
        "<a>&#" + "0" * 5000 + "65;</a>",
        "<a/>\n<a/>",
        "<!---><a/>",
        "<a><!----></a>",
        "<a b='&lt;'/>",
    ],
)
def test_written_by_hand(text: str) -> None:
    same(text)
