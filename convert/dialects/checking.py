"""Explains every mistake of a name table, each with its place and what to do; `table.load` stops at the first.

Three passes: the TOML text, the form (schemas/table.schema.json), and what the words mean together (the builder of
`convert.dialects.building`). Then come the traps that a table may hold although each of its rows is right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.dialects.atoms import ChoiceAtom, FlagAtom, NumberAtom
from convert.dialects.building import Builder
from convert.dialects.lenses import Lens, ListLens, OneLens, SplitLens
from convert.dialects.table import SCOPES, Table, TableError
from convert.errors import BeadwiseError, InputError, Location, Problem
from convert.model.setting import SETTINGS
from convert.resources import read_bytes
from convert.text import tomltree
from convert.text.source import Source

Path = tuple[str, ...]


@dataclass(slots=True)
class Checked:
    """What is wrong with a table, what is worth knowing about it, and the table if it can be used."""

    mistakes: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    table: Table | None = None


def check(data: bytes, path: str, form: bool = True) -> Checked:
    """Check a name table; never raises for what the bytes hold.

    form: whether its form is judged too; a table that was just written by `learn` has it, and the judge loads slowly.
    """
    import tomllib

    source = Source.from_bytes(data, path)
    found = Checked()
    try:
        places = Places(tomltree.parse(source))
        document = tomllib.loads(source.text.replace("\r\n", "\n"))
    except (InputError, tomllib.TOMLDecodeError) as error:
        says, where, hint = str(error), Location(path), ""
        if isinstance(error, InputError):
            says, where, hint = error.says, error.where or where, error.hint
        found.mistakes.append(Problem(says, where, hint or "correct the text; the rest is checked then"))
        return found
    if form:
        found.mistakes += _form(document, places)
    if not found.mistakes or isinstance(document.get("rows"), (dict, str)):
        _meaning(document, places, found)
    found.mistakes = _in_order(found.mistakes)
    found.notes = _in_order(found.notes)
    return found


def refused(data: bytes, path: str, error: Exception) -> TableError:
    """What is wrong with a table that cannot be loaded: its first mistake, with the place."""
    for problem in check(data, path).mistakes:
        return TableError(problem.says, hint=problem.hint or _EXPLAINED, where=problem.where)
    return TableError(f"the table cannot be used: {error}", hint=_EXPLAINED, where=Location(path))


_EXPLAINED = "'beadwise tables check' explains all mistakes of a table"


class Places:
    """Where the parts of a document stand in its text."""

    def __init__(self, tree: tomltree.TomlTree) -> None:
        self.source = tree.source
        self.starts: dict[str, int] = {}
        for group in tree.groups:
            self.starts.setdefault(".".join(group.path), group.start)
        for entry in tree.entries:
            self.starts.setdefault(".".join((*entry.path, entry.key)), entry.start)

    def of(self, parts: Sequence[object]) -> Location:
        """The place of a part, or of what is around it."""
        names = [str(part) for part in parts]
        while names:
            start = self.starts.get(".".join(names))
            if start is not None:
                return self.source.location(start)
            names.pop()
        return Location(self.source.path, 1)


def _in_order(problems: Iterable[Problem]) -> list[Problem]:
    unique = list(dict.fromkeys(problems))
    return sorted(unique, key=lambda one: (one.where.line or 0, one.where.column or 0) if one.where else (0, 0))


# ---- the form


def _form(document: Mapping[str, Any], places: Places) -> Iterator[Problem]:
    """What the JSON Schema has to say, in words for people."""
    import json

    from jsonschema import Draft202012Validator

    schema = json.loads(read_bytes("schemas", "table.schema.json"))
    for error in Draft202012Validator(schema).iter_errors(document):
        for detail in _details(error):
            path = [str(name) for name in detail.absolute_path]
            for part, says, hint in _explain(detail):
                label = ".".join([*path, *part])
                yield Problem(f"{label}: {says}" if label else says, places.of([*path, *part]), hint)


def _details(error: Any) -> Iterator[Any]:
    """The errors within an error: where one of several forms is wanted, those of the form that was meant."""
    if error.validator != "oneOf" or not error.context:
        yield error
        return
    branches: dict[int, list[Any]] = {}
    for one in error.context:
        branches.setdefault(one.schema_path[0], []).append(one)
    top = len(error.absolute_path)
    meant = [
        errors
        for errors in branches.values()
        if not any(one.validator in ("type", "enum") and len(one.absolute_path) == top for one in errors)
    ]
    if len(meant) != 1:
        yield error
        return
    for one in meant[0]:
        yield from _details(one)


def _explain(error: Any) -> Iterator[tuple[Path, str, str]]:
    """Part below the error's own place, what is wrong, what to do."""
    kind, wanted, found = error.validator, error.validator_value, error.instance
    about = str(error.schema.get("description", "")) if isinstance(error.schema, dict) else ""
    if kind == "additionalProperties" and isinstance(found, dict):
        known = sorted(error.schema.get("properties", {}))
        for name in found:
            if name not in known:
                yield (name,), "is no word of a table here", _near(name, known)
    elif kind == "required":
        missing = [name for name in wanted if name not in found]
        for name in missing:
            inside = error.schema.get("properties", {}).get(name, {}).get("description", "")
            yield (), f"{name!r} is missing", f"{name}: {inside}" if inside else f"add {name}"
    elif kind == "enum":
        yield (), f"{found!r} is none of {', '.join(map(str, wanted))}", about
    elif kind == "const":
        yield (), f"is {found!r}, and only {wanted!r} is allowed", about
    elif kind == "type":
        yield (), f"is {_shape(found)}, and {_wanted(wanted)} is wanted", about
    elif kind == "oneOf":
        yield (), "has the wrong form", about
    elif kind == "dependentRequired":
        for name, others in wanted.items():
            for other in others:
                if name in found and other not in found:
                    yield (name,), f"needs {other!r} beside it", f"add {other}, or leave {name} out"
    elif kind == "pattern":
        yield (), f"{found!r} is no name", "a name is lower case letters, digits, - and _, and starts with a letter"
    else:
        yield (), str(error.message)[:200], about


def _shape(value: object) -> str:
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return "a text" if isinstance(value, str) else "a number" if isinstance(value, (int, float)) else "a date"


def _wanted(kinds: str | Sequence[str]) -> str:
    names = {
        "string": "a text",
        "object": "a table",
        "array": "a list",
        "boolean": "true or false",
        "number": "a number",
        "integer": "a whole number",
    }
    return " or ".join(names[kind] for kind in ([kinds] if isinstance(kinds, str) else kinds))


def _near(name: str, known: Sequence[str]) -> str:
    from difflib import get_close_matches

    close = get_close_matches(name, known, 3)
    if close:
        return f"did you mean {' or '.join(close)}?"
    return f"known here are {', '.join(known)}" if known else "leave it out"


# ---- the meaning


def _meaning(document: Mapping[str, Any], places: Places, found: Checked) -> None:
    found.mistakes += _missing_lists(document, places)
    builder = Builder(document, collect=True)
    told = {(problem.where.line if problem.where else None) for problem in found.mistakes}
    try:
        table: Table | None = builder.table("given", places.source.path)
    except TableError as error:
        table = None
        builder.mistakes.append(error)
    except (BeadwiseError, AttributeError, KeyError, TypeError, ValueError, ArithmeticError) as error:
        table = None
        if not found.mistakes:  # the form is right, so this must be told; otherwise it follows from the form
            builder.mistakes.append(TableError(str(error)))
    for mistake in builder.mistakes:
        where = places.of(mistake.row)
        if where.line not in told or not mistake.row:
            label = ".".join(mistake.row)
            says = f"{label}: {mistake.says}" if label else mistake.says
            found.mistakes.append(Problem(says, where, mistake.hint or "see 'How to write a table' in the README"))
    if table is not None:
        found.mistakes += _two_ways(table, places)
        found.mistakes += _words_two_ways(document, table, places)
        found.notes += _named(document, places)
        found.notes += _not_written(table, places)
        found.notes += _unsaid_choices(table, places)
        if not found.mistakes:
            found.table = table


def _missing_lists(document: Mapping[str, Any], places: Places) -> Iterator[Problem]:
    """Rows that name a word list which is not there."""
    rows, lists = document.get("rows"), document.get("words", {})
    for scope, entries in rows.items() if isinstance(rows, dict) else ():
        for key, spec in entries.items() if isinstance(entries, dict) else ():
            words = spec.get("words") if isinstance(spec, dict) else None
            if isinstance(words, str) and isinstance(lists, dict) and words not in lists:
                says = f"rows.{scope}.{key}: there is no word list {words!r}"
                hint = (
                    f"write it as [words.{words}], or name one of {', '.join(lists)}"
                    if lists
                    else f"write [words.{words}]"
                )
                yield Problem(says, places.of(("rows", scope, key)), hint)


def _two_ways(table: Table, places: Places) -> Iterator[Problem]:
    """Keys that could be read as one row or another."""
    books = table.layout.bookkeeping()
    owner: dict[str, str] = {}
    for scope in SCOPES:
        for lens in table.lenses.get(scope, ()):
            for key in lens.keys:
                where = places.of(("rows", scope, key))
                if key in books and not table.layout.path:
                    says = f"rows.{scope}.{key}: the key is also the {books[key]} of the profile"
                    yield Problem(says, where, "one key can have one meaning: rename it, or give the layout a path")
                if key in owner and owner[key] != scope and table.layout.holds != "scope":
                    says = f"rows.{scope}.{key}: the key stands in [rows.{owner[key]}] too, so it reads two ways"
                    hint = "a profile here can hold both scopes: give the keys different names"
                    yield Problem(says, where, hint)
                owner.setdefault(key, scope)


def _words_two_ways(document: Mapping[str, Any], table: Table, places: Places) -> Iterator[Problem]:
    """Words that stand for two things: apart only in case, or a choice word that is also special."""
    for scope, lens, atom in _atoms(table):
        row = ("rows", scope, lens.keys[0])
        label = ".".join(row)
        if isinstance(atom, ChoiceAtom):
            folded: dict[str, tuple[str, str]] = {}
            for word, choice in _own_words(document, row, atom).items():
                other, meant = folded.setdefault(word.lower(), (word, choice))
                if meant != choice:
                    says = f"{label}: {other!r} and {word!r} are apart only in case, but mean {meant} and {choice}"
                    yield Problem(says, places.of(row), "case is not told apart: change one of the words")
        special = getattr(atom, "special", {})
        words = {**atom.meanings} if isinstance(atom, (ChoiceAtom, FlagAtom)) else {}
        for text in special:
            if text in words or text.lower() in words:
                says = f"{label}: {text!r} is special and a word as well"
                yield Problem(says, places.of((*row, "special")), "leave one of them out")
        if isinstance(lens, (ListLens, SplitLens)) and isinstance(atom, NumberAtom):
            gaps = lens.separators if isinstance(lens, SplitLens) else (lens.separator,)
            for separator in dict.fromkeys(gaps):
                yield from _separator(separator, atom, label, places.of(row))


def _separator(separator: str, atom: NumberAtom, label: str, where: Location | None) -> Iterator[Problem]:
    """A separator that may as well be part of a number."""
    if separator in ("-", "+") or separator == atom.mark or separator.isdigit():
        says = f"{label}: the separator {separator!r} can be part of a number, so a value reads two ways"
        if separator != "-" or atom.setting.minimum is None or atom.setting.minimum < 0:
            yield Problem(says, where, "choose another separator")


def _own_words(document: Mapping[str, Any], row: Path, atom: ChoiceAtom) -> Mapping[str, str]:
    """The words as the table gives them; the atom has folded them already."""
    spec = document.get("rows", {}).get(row[1], {}).get(row[2], {})
    words = spec.get("words", {}) if isinstance(spec, dict) else {}
    if isinstance(words, str):
        words = document.get("words", {}).get(words, {})
    return words if isinstance(words, dict) and words else {choice: choice for choice in atom.words}


def _atoms(table: Table) -> Iterator[tuple[str, Lens, Any]]:
    for scope, lenses in table.lenses.items():
        for lens in lenses:
            if isinstance(lens, OneLens):
                yield scope, lens, lens.atom
            elif isinstance(lens, SplitLens):
                for atom in lens.atoms:
                    yield scope, lens, atom


def _named(document: Mapping[str, Any], places: Places) -> Iterator[Problem]:
    """Names that will surprise: of new files, of the table's own file, of a dialect that is shipped already."""
    import os

    from convert import resources

    pattern, dialect = str(document.get("file", "")), str(document.get("dialect", ""))
    rest = pattern.replace("{name}", "").replace("{scope}", "")
    if "{" in rest or "}" in rest or "/" in rest or "\\" in rest:
        says = f"file = {pattern!r}: only {{name}} and {{scope}} stand for something, and new files have no folder"
        yield Problem(says, places.of(("file",)), "write such as '{name}.ini'")
    own = os.path.basename(places.source.path).removesuffix(".toml")
    if own and dialect and own != dialect and places.source.path.endswith(".toml"):
        says = f"the file is called {own!r}, and the dialect {dialect!r}"
        yield Problem(says, places.of(("dialect",)), "give both one name, so that people find it")
    shipped = resources.path("mappings", f"{dialect}.toml")
    if os.path.exists(shipped) and os.path.abspath(shipped) != os.path.abspath(places.source.path):
        says = f"a shipped dialect is called {dialect!r} too, and this one will stand in front of it"
        yield Problem(says, places.of(("dialect",)), "give it another name, unless that is meant")


def _not_written(table: Table, places: Places) -> Iterator[Problem]:
    """Settings that are read, but that no row would write; and rows that are read only."""
    for scope, lenses in table.lenses.items():
        for lens in lenses:
            first = {name: table.by_setting[name] for name in lens.settings}
            row = ("rows", scope, lens.keys[0])
            label = ".".join(row)
            others = [name for name, other in first.items() if other is not lens]
            own = [name for name, other in first.items() if other is lens]
            if others and own:
                says = f"{label}: {', '.join(own)} will never be written"
                hint = f"{', '.join(others)} in the same key has a row in front; put this row before it"
                yield Problem(says, places.of(row), hint)
            elif others:
                key = first[others[0]].keys[0]
                says = f"{label}: is read, but not written: {key!r} says {others[0]} already"
                yield Problem(says, places.of(row), "fine if it is an old spelling")


def _unsaid_choices(table: Table, places: Places) -> Iterator[Problem]:
    """Choices that the dialect can neither say nor approximate: they are dropped."""
    for scope, lens, atom in _atoms(table):
        if isinstance(atom, ChoiceAtom) and table.by_setting[atom.setting.id] is lens:
            lacking = [word for word in SETTINGS[atom.setting.id].choices if word not in {*atom.words, *atom.nearest}]
            if lacking:
                row = ("rows", scope, lens.keys[0])
                says = f"{'.'.join(row)}: has no word for {', '.join(lacking)}"
                yield Problem(says, places.of(row), "they are dropped; nearest = {...} would name the closest word")
