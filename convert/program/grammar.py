"""Remarks on how a line is spelt: limits of NISTIR 6556 (section 3.3), comments that swallow code, stray text."""

from __future__ import annotations

import re

from convert.program.machine import Machine, clip
from convert.program.words import Line, Token

LONGEST = 256  # characters a line, NISTIR 6556, 3.3.1
M_WORDS = 4  # M words a line, NISTIR 6556, 3.3.5
_COMMAND = re.compile(r"(?<![A-Za-z0-9_.])[GgMm][0-9]{1,3}(?![0-9A-Za-z_])")
_BARE = re.compile(r"[GgMm][0-9]{1,3}(?![0-9A-Za-z_])")
_WITH_WORDS = re.compile(r"(?<![A-Za-z0-9_.])[GgMm][0-9]{1,3}[ \t]++[A-Za-z][-+]?[0-9{.]")
_LINE_END = re.compile(r"\\[nr](?=\s*(?:$|;|[GMTgmt][0-9]|[A-Z_]{2}|\\[nr]))")
_HEATERS = re.compile(r"(?<![A-Za-z0-9_.])[Mm](104|109|140|190|141|191)(?![0-9])")
_HEATED = {"104": "nozzle", "109": "nozzle", "140": "bed", "190": "bed", "141": "chamber", "191": "chamber"}
# Typographic characters that look like plain ones.
_LOOKALIKES = {
    "\u00a0": "no-break space", "\u2009": "thin space", "\u202f": "narrow no-break space", "\u2212": "minus sign",
    "\u2013": "dash", "\u2014": "long dash", "\u201c": "curly quote", "\u201d": "curly quote", "\u2018": "curly quote",
    "\u2019": "curly quote", "\u3000": "wide space", "\ufeff": "byte-order mark", "\u200b": "zero-width space",
}  # fmt: skip


def check(m: Machine, line: Line) -> int:
    """Remarks on one line; returns the offset up to which it runs (a line end written as text ends it)."""
    if len(line.text) > LONGEST:
        m.see(
            "long-line",
            f"has {len(line.text)} characters; RS-274 allows {LONGEST}",
            LONGEST + 1,
            float(len(line.text)),
            float(LONGEST),
            "characters",
        )
    if len(line.number) > 5:
        m.see("long-line-number", f"has the line number {clip(line.number)}; RS-274 allows five digits")
    if line.checksum:
        _checksum(m, line)
    end = len(line.text)
    code = bool(line.words or line.name)
    for index, token in enumerate(line.tokens):
        if token.start >= end:
            break
        if token.kind == "comment":
            _comment(m, token, code)
        elif token.kind in ("other", "text", "argument", "expression"):
            end = min(end, _stray(m, line, index))
        elif token.kind == "percent" and line.text.strip() != "%":
            m.see("unreadable-text", "'%' stands beside other code", token.start + 1, subject="%")
        elif token.kind == "blank" and not token.text.isascii():
            _characters(m, token)
    if line.message is None:
        _repeated(m, line)
    return end


def _checksum(m: Machine, line: Line) -> None:
    star = next(token.start for token in line.tokens if token.kind == "checksum")
    if "{" in line.text[:star]:
        return
    total = 0
    for byte in line.text[:star].encode("utf-8", "surrogatepass"):
        total ^= byte
    if line.checksum.lstrip("0") != str(total).lstrip("0"):
        m.see(
            "bad-checksum",
            f"says {clip(line.checksum)}, the line adds up to {total}",
            star + 1,
            clip(line.checksum),
            str(total),
        )


def _comment(m: Machine, token: Token, code: bool) -> None:
    """A comment may hold code: switched off on purpose, or swallowed by mistake."""
    text, column = token.text, token.start + 1
    if text[0] == "(" and text[-1] != ")":
        m.see("open-comment", "the comment is not closed on its line", column)
    end = _LINE_END.search(text) if "\\" in text else None
    if end:
        text = text.replace("\\n", "  ").replace("\\r", "  ")  # a command may follow at once
    found = _COMMAND.search(text)
    if not found:
        return
    body = text[1:].lstrip("; \t")
    heater = _HEATERS.search(text)
    if heater and (body.startswith(heater[0]) or _WITH_WORDS.match(text, heater.start())):
        m.mentioned.setdefault(_HEATED[heater[1]], (m.section, m.line, column, clip(body.rstrip(") \t"), 30)))
    if end and _COMMAND.search(text, end.end()):
        m.see(
            "swallowed-code",
            "a line end is written as the text \\n, so the commands after it belong to the comment and never run",
            column + end.start(),
            subject="line end",
        )
    elif code and _WITH_WORDS.search(text):
        m.see(
            "swallowed-code",
            f"the comment holds '{clip(body, 40)}', which does not run: was a line end lost?",
            column,
            subject="comment",
            severity="spoils",
            sure=False,
        )
    elif _COMMAND.match(body):
        m.see(
            "command-in-comment", f"'{clip(body, 40)}' is a comment and does not run", column, subject=found[0].upper()
        )


def _stray(m: Machine, line: Line, index: int) -> int:
    """Text that is no word; returns where the line ends if a line end is written as text, else its length."""
    token = line.tokens[index]
    at = token.text.find("\\")
    while at >= 0:
        end = _LINE_END.match(line.text, token.start + at)
        if end and (line.message is None or _BARE.match(line.text, end.end())):
            rest = clip(line.text[end.end() : end.end() + 60].strip(), 40)
            m.see(
                "swallowed-code",
                "a line end is written as the text \\n; the machine reads one line and does not run "
                f"'{rest}' as a command",
                end.start() + 1,
                subject="line end",
            )
            return end.start()
        at = token.text.find("\\", at + 1)
    if token.kind in ("argument", "expression") or line.message is not None or line.name:
        if token.kind == "expression":
            m.see(
                "not-evaluated",
                f"'{clip(token.text)}' is not calculated here; what it gives is unknown",
                token.start + 1,
            )
        elif "{" in token.text:
            m.strange(token.text, token.start + 1, certain=False)
    elif not token.text.isascii():
        _characters(m, token)
    elif "{" in token.text or "}" in token.text:
        m.strange(line.text[token.start : token.start + 200], token.start + 1)
    else:
        m.see(
            "unreadable-text", f"'{clip(token.text)}' is no word of RS-274", token.start + 1, subject=clip(token.text)
        )
    return len(line.text)


def _characters(m: Machine, token: Token) -> None:
    odd = next(character for character in token.text if not character.isascii())
    name = _LOOKALIKES.get(odd, "character")
    m.see(
        "odd-character",
        f"holds the {name} U+{ord(odd):04X}, which no controller reads",
        token.start + 1 + token.text.index(odd),
        subject=f"U+{ord(odd):04X}",
    )


def _repeated(m: Machine, line: Line) -> None:
    """NISTIR 6556, 3.3.5: one word a letter except G and M, at most four M words."""
    seen: set[str] = set()
    m_words = 0
    for word in line.words:
        if word.letter == "M" and not line.name:
            m_words += 1
        elif word.letter in seen and word.letter != "G":
            m.see("repeated-word", f"holds two {clip(word.letter)} words", word.start + 1, subject=clip(word.letter))
        seen.add(word.letter)
    if m_words > M_WORDS:
        m.see("many-m-words", f"holds {m_words} M words; RS-274 allows {M_WORDS}", 1, float(m_words), float(M_WORDS))
