"""Pages: whole, by themselves, nothing of a file's text taken for markup, and nothing left out that the table says."""

from __future__ import annotations

import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from convert.report.page import element, page
from tests.cli.run import run
from tests.zoo import ROOT

QUERN = os.path.join(ROOT, "corpus", "workshop", "quern")
EVERYDAY, QUICK = (
    os.path.join(QUERN, f"Kestavo C3 - Meadow - Kestavo {name}.quern.ini") for name in ("everyday", "quick")
)
SLIP = os.path.join(ROOT, "corpus", "awkward", "quern-unit-slip.quern.ini")
VOID = {"meta", "br"}


class Outline(HTMLParser):
    """Refuses elements that do not close in order, and keeps names, attributes and text."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.names: list[str] = []
        self.links: list[str] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.names.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("href", "src", "action")]
        assert not [name for name, _ in attrs if name.startswith("on")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        return _spaced(" ".join(self.words))


def _spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\xa0", " "))


def outline(data: bytes) -> Outline:
    text = data.decode()
    assert text.startswith("<!doctype html>\n")
    found = Outline(text)
    assert not found.links
    assert "script" not in found.names
    assert "url(" not in text
    assert "@import" not in text
    assert found.names.count("h1") == found.names.count("title") == 1
    return found


def test_a_comparison_says_what_its_document_says() -> None:
    found = run("diff", EVERYDAY, QUICK, "--format", "html")
    assert (found.status, found.err) == (1, "")
    seen = outline(found.data).text
    known = run("diff", EVERYDAY, QUICK, "--format", "json").document
    assert seen.count(_spaced(known["verdict"])) == 3  # title, heading, end
    for name in {one["setting"] for one in known["same"]}:
        assert name in seen
    table = run("diff", EVERYDAY, QUICK)
    first = re.findall(r"^(?:differs|spoils|fails) +(.*)$", table.out, re.MULTILINE)
    assert len(first) >= 5
    for said in first[:5]:  # the lines of those told in full
        assert _spaced(said) in seen
    for one in known["changes"]:
        assert one["setting"] in seen or "settings follow" in seen
    assert found.data.count(b'class="bar"') >= 5


def test_an_audit_says_what_its_document_says() -> None:
    found = run("audit", SLIP, "--format", "html")
    assert found.status == 1
    seen = outline(found.data).text
    known = run("audit", SLIP, "--format", "json").document
    for one in known["findings"]:
        assert _spaced(one["says"]) in seen
        assert one["rule"] in seen
        for other in one["consequences"]:
            assert _spaced(other["says"]) in seen
    for gap in known["not_checked"]:
        assert gap["needs"] in seen
    assert f"{os.path.basename(SLIP)}:8" in seen


def test_what_hurts_has_its_signal_word_precaution_and_deferral(tmp_path: Path) -> None:
    master = os.path.join(ROOT, "corpus", "workshop", "master")
    hot = tmp_path / "hot.toml"
    hot.write_text(Path(master, "kestavo-c3.toml").read_text().replace("M104 S0", "M104 S210"))
    rest = [os.path.join(master, f"{name}.toml") for name in ("meadow", "kestavo-everyday")]
    known = run("audit", str(hot), *rest, "--format", "json").document
    hurting = [one for one in known["findings"] if one["severity"] == "hurts"]
    assert hurting
    data = run("audit", str(hot), *rest, "--format", "html").data
    seen = outline(data).text
    for one in hurting:
        assert f'<span class="signal {one["signal"]}">{one["signal"]}</span>' in data.decode()
        assert _spaced(one["precaution"]) in seen
    assert data.decode().count('class="signal ') == len(hurting)


def test_about_a_symptom() -> None:
    seen = outline(run("diff", EVERYDAY, QUICK, "--format", "html", "--about", "surface").data).text
    assert "acceleration.outer_wall" in seen


@pytest.mark.parametrize("text", ["<b>bold</b>", "a & b < c", '" onload="x', "\x1b[31m", "\udc80", "</style><script>"])
def test_no_text_is_taken_for_markup(text: str) -> None:
    found = outline(page(text, element("p", text, class_=text)))
    assert found.names[-2:] == ["h1", "p"]
    shown = text if text.isprintable() else text.encode("unicode_escape").decode()
    assert found.text.count(_spaced(shown)) == 3


def test_equal_sides_make_a_page_too() -> None:
    found = run("diff", EVERYDAY, EVERYDAY, "--format", "html")
    assert found.status == 0
    assert "article" not in outline(found.data).names
