"""Units that the comments at the head of a file name for whole kinds of quantity."""

from __future__ import annotations

import re

from convert.inference.vocabulary import split, vocabulary
from convert.units.table import table as unit_table

_BYTE = re.compile(r"\b0\s*(?:-|\.\.+|to|bis|a)\s*255\b")
_ONE = re.compile(r"\b1(?:\.0)?\s*(?:=|is|means)\s*100\s*%|\b0\s*(?:-|\.\.+|to|bis|a)\s*1(?:\.0)?\b(?!\d)")
MEANT = {
    "speed": "speed", "acceleration": "acceleration", "temperature": "temperature", "time": "time", "angle": "angle",
    "density": "density", "mass": "mass", "flow": "flow", "length": "length", "width": "length", "height": "length",
    "area": "area", "volume": "volume", "power": "power", "frequency": "frequency", "price": "price",
}  # fmt: skip
"""Concept -> kind."""


def units_of_head(text: str) -> dict[str, str]:
    """Kind (or group:kind) -> code of the unit; a kind with two units is left out.

    >>> units_of_head("lengths in mm, speeds in mm per second; fans 0-255")
    {'length': 'mm', 'speed': 'mm/s', 'fan:percent': '255'}
    """
    found: dict[str, set[str]] = {}
    for phrase in re.split(r"[,;\n]|\s{2,}", text[:4000]):
        words = split(phrase)
        if not words or len(words) > 14:
            continue
        if _BYTE.search(phrase):
            found.setdefault("fan:percent" if _says(words, "fan") else "percent", set()).add("255")
            continue
        if _ONE.search(phrase):
            found.setdefault("fan:percent" if _says(words, "fan") else "percent", set()).add("1")
            continue
        for code, kinds in _units_in(phrase, words):
            fitting = [
                kind for kind in kinds if any(_says(words, concept) for concept in MEANT if MEANT[concept] == kind)
            ]
            for kind in fitting or (kinds if len(kinds) == 1 and len(code) > 2 else ()):
                found.setdefault(kind, set()).add(code)
    return {kind: codes.pop() for kind, codes in found.items() if len(codes) == 1}


def _says(words: list[str], concept: str) -> bool:
    known = vocabulary()
    return any(
        known.words.get(word, known.meaning(word) if len(word) > 2 else {}).get(concept, 0) > 0.2 for word in words
    )


def _units_in(phrase: str, words: list[str]) -> list[tuple[str, set[str]]]:
    """Codes of the units that a phrase spells, with the kinds they belong to."""
    known, spelled = vocabulary().units, unit_table().spellings
    found: dict[str, set[str]] = {}
    for piece in re.split(r"[\s()\[\]=]+", phrase):
        for unit in spelled.get(piece.strip(".:"), ()) if piece.lower() != "in" else ():
            found.setdefault(unit.code, set()).add(unit.kind)
    for size in (4, 3, 2, 1):
        for at in range(len(words) - size + 1):
            for code in known.get(tuple(words[at : at + size]), ()):
                if size > 2 or (not found and (size > 1 or len(words) <= 4) and words[at] != "in"):
                    kinds = {unit.kind for units in spelled.values() for unit in units if unit.code == code}
                    if size > 2:
                        found.clear()  # "mm per second" is not millimetres and seconds
                    found.setdefault(code, set()).update(kinds)
        if found and size <= 3:
            break
    return [(code, kinds - {"temperature_difference"}) for code, kinds in found.items()]


LETTERS = {
    "speed": "speed", "acceleration": "acceleration", "temperature": "temperature", "time": "time", "angle": "angle",
    "length": "length", "density": "density",
}  # fmt: skip


def letters_of_head(text: str) -> dict[str, dict[str, float]]:
    """Short names that the head gives a unit, and the concepts that this makes them stand for.

    >>> letters_of_head("V mm/s  A mm/s2")
    {'v': {'speed': 0.9}, 'a': {'acceleration': 0.9}}
    """
    found: dict[str, dict[str, float]] = {}
    for phrase in re.split(r"[,;\n]|\s{2,}", text[:4000]):
        words = split(phrase)
        if not words or len(words[0]) > 3 or len(words) > 4:
            continue
        if _BYTE.search(phrase):
            found[words[0]] = {"fan": 0.8}
        if _ONE.search(phrase):
            found[words[0]] = {"flow": 0.6, "factor": 0.6}
        for _, kinds in _units_in(phrase.split(None, 1)[-1], words[1:]):
            for kind in kinds & LETTERS.keys():
                found.setdefault(words[0], {})[LETTERS[kind]] = 0.9
                if kind == "length" and words[0].startswith("w"):
                    found[words[0]]["width"] = 0.9
    return found
