"""The bytes of one file and their text, without loss: `source.encode(source.text) == source.data` for every input.

The text keeps its raw line ends; the byte order mark stands apart. The encodings are tried in this order:

1. a byte order mark of UTF-8 or UTF-16 (bytes after it that break UTF-8 are kept as lone surrogates, PEP 383);
2. UTF-16 without a mark, if one half of the byte pairs never is zero and most of the other half is;
3. UTF-8; then UTF-8 with kept raw bytes, if valid multi-byte sequences stand beside the bad ones;
4. Latin-1, in which every byte is a character.

>>> source = Source.from_bytes(b"speed = 40\\r\\nwidth = 0.4\\n", "a.ini")
>>> source.encoding, source.place(source.text.index("0.4")), str(source.location(0))
('utf-8', (2, 9), 'a.ini:1:1')
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate

from convert.errors import Location, OutputError

# Codec -> error handler that makes the codec reversible for what `from_bytes` lets through.
_HANDLERS = {
    "utf-8": "surrogateescape",
    "utf-16-le": "surrogatepass",
    "utf-16-be": "surrogatepass",
    "latin-1": "strict",
}
_MARKS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
_NAMES = {"utf-8": "UTF-8", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16", "latin-1": "Latin-1"}
_SAMPLE = 4096


class Source:
    """One file: its path, bytes, text (raw line ends, no byte order mark), codec name and byte order mark."""

    __slots__ = ("_starts", "bom", "data", "encoding", "path", "text")

    def __init__(self, path: str, data: bytes, text: str, encoding: str, bom: bytes = b"") -> None:
        self.path, self.data, self.text, self.encoding, self.bom = path, data, text, encoding, bom
        self._starts: list[int] | None = None

    def __repr__(self) -> str:
        return f"Source({self.path!r}, {len(self.data)} bytes, {self.encoding})"

    @classmethod
    def from_bytes(cls, data: bytes, path: str = "<input>") -> Source:
        """Decode the bytes; never fails, and `encode` gives the same bytes back."""
        for bom, encoding in _MARKS:
            if data.startswith(bom) and (encoding == "utf-8" or len(data) % 2 == 0):
                return cls(path, data, data[len(bom) :].decode(encoding, _HANDLERS[encoding]), encoding, bom)
        if b"\0" in data and (encoding := _paired(data)):
            return cls(path, data, data.decode(encoding), encoding)
        try:
            return cls(path, data, data.decode("utf-8"), "utf-8")
        except UnicodeDecodeError:
            if data.decode("utf-8", "ignore").isascii():
                return cls(path, data, data.decode("latin-1"), "latin-1")
            return cls(path, data, data.decode("utf-8", "surrogateescape"), "utf-8")

    def encode(self, text: str) -> bytes:
        """The bytes of a text in this file's encoding, byte order mark first.

        OutputError names the first character that the encoding cannot hold.
        """
        try:
            return self.bom + text.encode(self.encoding, _HANDLERS[self.encoding])
        except UnicodeEncodeError as error:
            bad = text[error.start]
            raise OutputError(
                f"the character {bad!r} (U+{ord(bad):04X})"
                f" cannot be written in {_NAMES[self.encoding]}, the encoding of this file",
                Location(self.path),
                "use another character, or save the file as UTF-8 first",
            ) from None

    def with_text(self, text: str) -> Source:
        """The same file with another text; OutputError if its bytes would not be read back as this text."""
        data = self.encode(text)
        again = Source.from_bytes(data, self.path)
        if again.text != text:
            raise OutputError(
                f"the new text would no longer be recognised as {_NAMES[self.encoding]}",
                Location(self.path),
                "use other characters, or save the file as UTF-8 with a byte order mark first",
            )
        return again

    def lines(self) -> list[str]:
        """The lines without their line ends; a \\r may be left at the end of a line where all end with \\r\\n."""
        text = self.text
        if "\r" in text and text.count("\r") != text.count("\r\n"):
            text = text.replace("\r\n", "\n").replace("\r", "\n")
        return text.split("\n")

    @property
    def flat(self) -> str:
        """The text, as long as it is, but with \\n at the end of each line: \\r\\n has become a blank and \\n."""
        text = self.text
        return text.replace("\r\n", " \n").replace("\r", "\n") if "\r" in text else text

    @property
    def starts(self) -> list[int]:
        """Offset of the start of each line; a line ends with \\n, \\r\\n or \\r."""
        if self._starts is None:
            lengths = [len(line) + 1 for line in self.flat.split("\n")]
            lengths.pop()
            self._starts = list(accumulate(lengths, initial=0))
        return self._starts

    def line(self, number: int) -> tuple[int, int]:
        """Start and end of the text of a line (number from 0), without its line end."""
        starts = self.starts
        start = starts[number]
        if number + 1 == len(starts):
            return start, len(self.text)
        end = starts[number + 1] - 1
        return start, end - (self.text[end] == "\n" and end > start and self.text[end - 1] == "\r")

    def start(self, number: int) -> int:
        """Offset of the start of a line (number from 0), or of the end of the text if there is no such line."""
        return self.starts[number] if number < len(self.starts) else len(self.text)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column, both from 1 and in characters, of an offset 0..len(text)."""
        starts = self.starts
        line = bisect_right(starts, offset)
        return line, offset - starts[line - 1] + 1

    def location(self, offset: int) -> Location:
        """The place of an offset, as errors and problems carry it."""
        return Location(self.path, *self.place(offset))


def _paired(data: bytes) -> str:
    """The UTF-16 codec that bytes without a mark are obviously in, or ""."""
    if len(data) % 2:
        return ""
    sample = data[:_SAMPLE]
    first, second = sample[::2], sample[1::2]
    for encoding, zeros, letters in (("utf-16-le", second, first), ("utf-16-be", first, second)):
        if b"\0" not in letters and zeros.count(0) * 2 > len(zeros):
            try:
                data.decode(encoding)
            except UnicodeDecodeError:
                continue
            return encoding
    return ""
