"""The source keeps every byte, knows places, and refuses what its encoding cannot hold."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.errors import OutputError
from convert.text.source import Source
from tests.text.texts import ODD, encoded, odd_text

line_texts = st.text(st.sampled_from("ab\r\n"), max_size=40)


@given(st.binary() | encoded(odd_text))
def test_every_input_survives(data: bytes) -> None:
    source = Source.from_bytes(data)
    assert source.encode(source.text) == data
    assert source.data == data


@pytest.mark.parametrize(
    ("data", "encoding", "text"),
    [
        (b"", "utf-8", ""),
        (b"a = 1\n", "utf-8", "a = 1\n"),
        (b"\xef\xbb\xbfa", "utf-8", "a"),
        (b"\xef\xbb\xbfa\xff", "utf-8", "a\udcff"),
        ("\ufeffgrün".encode("utf-16-le"), "utf-16-le", "grün"),
        ("\ufeffgrün".encode("utf-16-be"), "utf-16-be", "grün"),
        ("speed = 40\n".encode("utf-16-le"), "utf-16-le", "speed = 40\n"),
        ("speed = 40\n".encode("utf-16-be"), "utf-16-be", "speed = 40\n"),
        ("40 µm".encode("latin-1"), "latin-1", "40 µm"),
        ("é".encode() + b" \xb0", "utf-8", "é \udcb0"),
        (b"\xff\xfea", "latin-1", "ÿþa"),  # a UTF-16 mark, but an odd number of bytes
        (b"PK\x03\x04\x00\x00", "utf-8", "PK\x03\x04\x00\x00"),
    ],
)
def test_encodings(data: bytes, encoding: str, text: str) -> None:
    source = Source.from_bytes(data)
    assert (source.encoding, source.text) == (encoding, text)


@given(line_texts)
def test_places_agree_with_counting(text: str) -> None:
    source = Source.from_bytes(text.encode())
    line, column, places = 1, 1, []
    for at, char in enumerate(text):
        places.append((line, column))
        column += 1
        if char == "\n" or (char == "\r" and text[at + 1 : at + 2] != "\n"):
            line, column = line + 1, 1
    places.append((line, column))
    assert [source.place(offset) for offset in range(len(text) + 1)] == places
    assert len(source.flat) == len(text)
    assert len(source.lines()) == len(source.starts)


@given(line_texts)
def test_lines_have_their_text(text: str) -> None:
    source = Source.from_bytes(text.encode())
    spans = [source.line(number) for number in range(len(source.starts))]
    assert [text[start:end] for start, end in spans] == [line.rstrip("\r") for line in source.lines()]
    assert [source.start(number) for number in range(len(spans))] == source.starts
    assert source.start(len(spans)) == len(text)


def test_a_character_that_does_not_fit_is_named() -> None:
    source = Source.from_bytes("40 µm".encode("latin-1"), "old.ini")
    with pytest.raises(OutputError, match=r"old.ini: the character '≤' \(U\+2264\) cannot be written in Latin-1"):
        source.encode("≤ 40 µm")


def test_text_that_would_be_read_otherwise_is_refused() -> None:
    source = Source.from_bytes("\xb0".encode("latin-1"))
    with pytest.raises(OutputError, match="no longer be recognised as Latin-1"):
        source.with_text("Ã©")


@given(st.text(st.sampled_from(ODD + "\ufeff\x00"), max_size=12), encoded(odd_text))
def test_another_text_is_read_back_or_refused(text: str, data: bytes) -> None:
    source = Source.from_bytes(data)
    try:
        again = source.with_text(text)
    except OutputError:
        return
    assert Source.from_bytes(again.data).text == text
