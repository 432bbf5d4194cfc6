"""Placeholders: found, expanded, protected."""

from __future__ import annotations

from hypothesis import example, given
from hypothesis import strategies as st

from convert.program import expand, placeholders, protect, unprotect
from convert.program.braces import written

KNOWN = frozenset(("heat.bed", "heat.nozzle", "a"))
TEXT = st.lists(st.sampled_from(["{", "}", "heat.bed", "heat.nozzle", "a", "b", " ", "S"]), max_size=14).map("".join)


@given(TEXT)
@example("{{{heat.bed}}")
def test_protected_text_holds_no_placeholder_and_comes_back(text: str) -> None:
    safe = protect(text, KNOWN)
    assert placeholders(safe, KNOWN) == []
    assert unprotect(safe, KNOWN) == text
    assert expand(safe, {"heat.bed": 1, "heat.nozzle": 2, "a": 3}, KNOWN) == text


@given(TEXT)
def test_placeholders_lie_where_they_say(text: str) -> None:
    for (start, end), ident in placeholders(text, KNOWN):
        assert text[start:end] == "{" + ident + "}"
        assert ident in KNOWN


@given(TEXT)
def test_without_values_only_doubled_braces_change(text: str) -> None:
    assert expand(text, {}, KNOWN) == unprotect(text, KNOWN)


def test_only_known_ids_are_placeholders() -> None:
    text = "M104 S{heat.nozzle} {heat.nozle} {{heat.bed}} {x + 1}"
    assert placeholders(text, KNOWN) == [((6, 19), "heat.nozzle")]
    assert [ident for _, ident in placeholders(text)] == ["heat.nozzle", "heat.nozle"]
    assert expand(text, {"heat.nozzle": 240.0}, KNOWN) == "M104 S240 {heat.nozle} {heat.bed} {x + 1}"
    assert protect("{heat.bed}", KNOWN) == "{{heat.bed}}"


def test_values_as_code_writes_them() -> None:
    assert written(0.30000000000000004) == "0.3"
    assert written(-0.0) == "0"
    assert written(1234567.5) == "1234567.5"
    assert written((205, 240), 5) == "240"
    assert written([[0, 0], [1, 1]]) == ""
    assert written(False) == "0"
    assert expand("S{a}", {"a": [1, 2]}, tool=1) == "S2"


def test_runs_of_braces_take_time_in_proportion() -> None:
    text = "{" * 300_000 + "a" + "}" * 300_000
    assert protect(text, KNOWN) == "{" + text + "}"
    assert placeholders("{" * 300_000, KNOWN) == []
    assert len(placeholders("{a}" * 50_000, KNOWN)) == 50_000
