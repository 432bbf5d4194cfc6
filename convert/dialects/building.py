"""Makes a table of a name table: rows of TOML into lenses.

`load(data, where)` raises the first mistake; `convert.dialects.checking` explains all of them with their lines, and
schemas/table.schema.json judges the form.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from convert.dialects.atoms import (
    ABSENT,
    SAME,
    Atom,
    ChoiceAtom,
    FlagAtom,
    NumberAtom,
    PhraseAtom,
    TextAtom,
)
from convert.dialects.code import CodeAtom
from convert.dialects.lenses import AxesLens, FlagsLens, Lens, ListLens, OneLens, OutlineLens, SplitLens
from convert.dialects.objects import ObjectLens
from convert.dialects.table import SCOPES, Layout, Table, TableError
from convert.errors import BeadwiseError, Location
from convert.model import phrase
from convert.model.setting import SETTINGS, Setting
from convert.model.value import Share, State, Value
from convert.units import unit as find_unit

YES = ("true", "yes", "on", "1")
NO = ("false", "no", "off", "0")

MOST_DECIMALS = 15
"""Digits behind the point that a file may be said to hold; a double has no more."""


def load(data: bytes, where: str, source: str = "shipped") -> Table:
    """The table of a TOML file. Raises TableError (first mistake only)."""
    import tomllib

    try:
        document = tomllib.loads(data.decode("utf-8-sig"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise TableError(f"no valid TOML: {error}", where=Location(where)) from None
    try:
        return Builder(document).table(source, where)
    except TableError as error:
        error.where = error.where or Location(where)
        raise


class Builder:
    """Makes a table of a document, row by row; `mistakes` collects what is wrong instead of stopping if `collect`."""

    def __init__(self, document: Mapping[str, Any], collect: bool = False) -> None:
        self.document = document
        self.collect = collect
        self.mistakes: list[TableError] = []
        self.frames: set[str] = set()
        self.defaults: dict[str, Value] = {}
        self.nearest: dict[str, dict[str, str]] = {}
        self.names: dict[str, str] = {}
        self.keys: dict[str, str] = {}
        self.syntax = str(document.get("syntax", ""))
        self.native = self.syntax in ("json", "toml")

    def table(self, source: str, path: str) -> Table:
        document = self.document
        if document.get("beadwise") != "table/1":
            raise TableError('no name table: the first line should say beadwise = "table/1"')
        for key in ("dialect", "syntax", "rows"):
            if key not in document:
                raise TableError(f"the table has no {key!r}", hint="see 'How to write a table' in the README")
        layout = dict(document.get("layout", {}))
        layout["path"] = tuple(layout.get("path", ()))
        layout["base"] = tuple(layout.get("base", ()))
        layout["keeps"] = tuple(layout.get("keeps", ()))
        try:
            made = Layout(**layout)
        except TypeError as error:
            raise TableError(f"[layout] has an unknown word: {error}", ("layout",)) from None
        _shaped(document, layout)
        if made.profile == "group" and made.group and "{name}" not in made.group:
            raise TableError("[layout] group has no {name}", ("layout", "group"), "profiles are told apart by it")
        rows = document["rows"]
        lenses = self.schema_rows(rows) if isinstance(rows, str) else self.rows(rows)
        return Table(
            dialect=str(document["dialect"]),
            title=str(document.get("title", document["dialect"])),
            syntax=self.syntax,
            about=str(document.get("about", "")),
            file=str(document.get("file", "{name}")),
            text=document.get("text", {}),
            layout=made,
            beads=document.get("beads", {}),
            lenses=lenses,
            frames=frozenset(self.frames),
            defaults=self.defaults,
            nearest=self.nearest,
            codec=rows == "objects",
            source=source,
            path=path,
        )

    def schema_rows(self, rows: str) -> dict[str, list[Lens]]:
        """A dialect whose keys are the setting ids: rows = "phrases" (hand-written) or "objects" (canonical
        document).
        """
        if rows not in ("phrases", "objects"):
            raise TableError(f"rows = {rows!r} is none of 'phrases', 'objects'", ("rows",))
        lenses: dict[str, list[Lens]] = {scope: [] for scope in SCOPES}
        for name, setting in SETTINGS.items():
            lens: Lens = ObjectLens(setting) if rows == "objects" else OneLens(name, name, PhraseAtom(setting))
            lenses[setting.scope].append(lens)
        return lenses

    def rows(self, rows: Mapping[str, Any]) -> dict[str, list[Lens]]:
        self.placeholders(rows)
        lenses: dict[str, list[Lens]] = {}
        for scope, entries in rows.items():
            lenses[scope] = []
            joint: dict[tuple[str, str], dict[str, dict]] = {}
            for key, spec in entries.items():
                row = ("rows", scope, key)
                if isinstance(spec, str):
                    spec = {"to": spec}
                try:
                    if "when" in spec or "axis" in spec:
                        part = "when" if "when" in spec else "axis"
                        joint.setdefault((part, str(spec["to"])), {})[key] = spec
                        self.setting(str(spec["to"]), scope)
                    else:
                        lenses[scope].append(self.lens(key, spec, scope))
                except (TableError, BeadwiseError, KeyError, ValueError, TypeError) as error:
                    self.mistake(error, row)
            for (part, to), members in joint.items():
                try:
                    lenses[scope].append(self.joint(part, to, members))
                except (TableError, BeadwiseError, KeyError, ValueError, TypeError) as error:
                    self.mistake(error, ("rows", scope, next(iter(members))))
        return lenses

    def placeholders(self, rows: Mapping[str, Any]) -> None:
        """What stands for a setting inside command code: its key, without groups where that is plain enough."""
        found: list[tuple[str, str]] = []
        for scope, entries in rows.items():
            if scope not in SCOPES:
                raise TableError(f"[rows.{scope}]: scopes are machine, feedstock and process", ("rows", scope))
            for key, spec in entries.items():
                to = spec if isinstance(spec, str) else spec.get("to")
                if isinstance(to, str) and (isinstance(spec, str) or not ("when" in spec or "axis" in spec)):
                    found.append((key, to))
        last = [key.rsplit("/", 1)[-1] for key, _ in found]
        often = Counter(last)
        for (key, to), short in zip(found, last, strict=True):
            name = short if often[short] == 1 else key
            self.names.setdefault(name, to)
            self.keys.setdefault(to, name)

    def mistake(self, error: Exception, row: tuple[str, ...]) -> None:
        if isinstance(error, BeadwiseError):
            found = TableError(error.says, getattr(error, "row", ()) or row, error.hint)
        elif isinstance(error, KeyError):
            found = TableError(f"{error.args[0]!r} is missing or unknown", row)
        else:
            found = TableError(str(error), row)
        if not self.collect:
            found.says = f"[{row[1]}] {row[2]!r}: {found.says}" if len(row) > 2 else found.says
            raise found
        self.mistakes.append(found)

    def setting(self, name: str, scope: str) -> Setting:
        from convert.model.setting import setting as find_setting

        found = find_setting(name)
        if found.scope != scope:
            raise TableError(f"{name} belongs to [rows.{found.scope}], not to [rows.{scope}]")
        return found

    def lens(self, key: str, spec: Mapping[str, Any], scope: str) -> Lens:
        unknown = set(spec) - ROW_WORDS
        if unknown:
            raise TableError(f"unknown word {sorted(unknown)[0]!r}", hint=f"a row knows {', '.join(sorted(ROW_WORDS))}")
        to = spec["to"]
        if isinstance(to, list):
            if len(to) < 2 or "split" not in spec:
                raise TableError("a row for several settings needs two ids and split = '...'")
            settings = [self.setting(name, scope) for name in to]
            gaps = [spec["split"]] * (len(to) - 1) if isinstance(spec["split"], str) else spec["split"]
            if len(gaps) != len(to) - 1:
                raise TableError(f"{len(to)} settings need {len(to) - 1} separators, split has {len(gaps)}")
            return SplitLens(key, to, [self.atom(setting, spec) for setting in settings], gaps)
        setting = self.setting(to, scope)
        idle = sorted(set(spec) - _says(setting))
        if idle:
            says = f"{idle[0]!r} says nothing about {to}, which is {_kind(setting)}"
            raise TableError(says, hint=f"such a row knows {', '.join(sorted(_says(setting)))}")
        if "default" in spec:
            self.defaults[to] = phrase.parse_phrase(str(spec["default"]), setting)
        if setting.kind == "outline":
            if spec.get("relative_to") == "centre":
                self.frames.add(to)
            points = spec.get("points", "array" if self.native else " ")
            return OutlineLens(
                key, to, self.number(setting, spec), points, spec.get("coordinates", "/"), spec.get("areas", ";")
            )
        atom = self.atom(setting, spec)
        if "list" in spec:
            if not setting.per_tool:
                raise TableError(f"{to} is one value for the whole machine, list is not allowed")
            return ListLens(key, to, atom, spec["list"])
        return OneLens(key, to, atom)

    def joint(self, part: str, to: str, members: Mapping[str, dict]) -> Lens:
        setting = SETTINGS[to]
        first = next(iter(members.values()))
        if part == "when":
            if setting.kind != "choice":
                raise TableError(f"when stands for a choice word, and {to} is no choice")
            choices = {}
            for key, spec in members.items():
                if spec["when"] not in setting.choices:
                    raise TableError(f"{spec['when']!r} is no choice of {to}", ("rows", setting.scope, key))
                choices[key] = spec["when"]
            none = "none" if "none" in setting.choices and "none" not in choices.values() else None
            return FlagsLens(choices, to, self.flag(setting, first), none)
        axes = {spec["axis"]: key for key, spec in members.items()}
        if set(axes) != {"x", "y"}:
            raise TableError('an outline in two keys needs axis = "x" and axis = "y"')
        if first.get("relative_to") == "centre":
            self.frames.add(to)
        return AxesLens(axes["x"], axes["y"], to, self.number(setting, first), first.get("list", " "))

    def atom(self, setting: Setting, spec: Mapping[str, Any]) -> Atom:
        quotes = self.document.get("quotes", {})
        if setting.kind == "code":
            code = self.document.get("code", {})
            return CodeAtom(
                setting,
                spec.get("lines", code.get("lines", "plain")),
                code.get("open", ""),
                code.get("close", ""),
                self.names,
                self.keys,
                quotes.get("code", ""),
            )
        if setting.kind == "flag":
            return self.flag(setting, spec)
        if setting.kind == "choice":
            return self.choice(setting, spec)
        if setting.kind == "text":
            return TextAtom(setting, quotes.get("text", ""), self.syntax in ("ini", "comments", "csv"))
        return self.number(setting, spec)

    def special(self, setting: Setting, spec: Mapping[str, Any]) -> dict[str, Value]:
        found: dict[str, Value] = {}
        for text, word in spec.get("special", {}).items():
            if word == "absent":
                found[text] = ABSENT
            elif word in ("off", "unlimited", "automatic"):
                found[text] = State(word)
            elif word.startswith("same as "):
                if word[8:] not in SETTINGS:
                    raise TableError(f"special {text!r}: {word[8:]!r} is no setting")
                found[text] = Share(Fraction(100), word[8:])
            else:
                found[text] = phrase.parse_phrase(word, setting)
        return found

    def number(self, setting: Setting, spec: Mapping[str, Any]) -> NumberAtom:
        kind = setting.unit_kind
        if not (setting.is_number or setting.kind == "outline"):
            raise TableError(f"{setting.id} is a {setting.kind}, not a number")
        schema_unit = find_unit(setting.unit or "1", kind)
        said = spec.get("unit")
        where = said if said in ("beside", "within") else "table"
        default_unit = self.document.get("units", {}).get(kind)
        unit = find_unit(said if where == "table" and said else default_unit or setting.unit or "1", kind)
        scale = SAME
        if spec.get("sign") == "-":
            scale = scale.then(-1)
        if "complement" in spec:
            scale = scale.then(-1, Fraction(str(spec["complement"])))
        if "from" in spec:
            scale = scale.then(1, 1 - int(spec["from"]))
        if "full" in spec:
            if kind != "percent":
                raise TableError("full says what number stands for 100 %, and this is no percent")
            scale = scale.then(Fraction(100) / Fraction(str(spec["full"])))
        elif where == "table" and unit != schema_unit:
            scale = scale.of_unit(unit, schema_unit)
        of = spec.get("percent_of", "")
        if of and of not in SETTINGS:
            raise TableError(f"percent_of: {of!r} is no setting")
        if of and (of == setting.id or SETTINGS[of].kind != setting.kind):
            raise TableError(
                f"percent_of: {setting.id} cannot be a percent of {of}", hint="name another setting of the same kind"
            )
        if spec.get("percent_as", "suffix") not in ("suffix", "bare", "fraction"):
            raise TableError("percent_as is one of suffix, bare, fraction")
        decimals = spec.get("decimals", 0)
        if decimals.__class__ is not int or not 0 <= decimals <= MOST_DECIMALS:
            raise TableError(f"decimals is a whole number from 0 to {MOST_DECIMALS}")
        kinds = self.document.get("kinds", {})
        return NumberAtom(
            setting,
            scale,
            unit,
            where=where,
            of=of,
            percent_as=spec.get("percent_as", "suffix"),
            special=self.special(setting, spec),
            mark=self.document.get("decimal", "."),
            decimals=spec.get("decimals"),
            kind="text" if where == "within" else kinds.get("number", "number" if self.native else "text"),
        )

    def flag(self, setting: Setting, spec: Mapping[str, Any]) -> FlagAtom:
        words = spec.get("flag", self.document.get("flags", {}))
        yes = _words(words.get("true", YES))
        no = _words(words.get("false", NO))
        clash = {word.lower() for word in yes} & {word.lower() for word in no}
        if clash:
            raise TableError(f"{sorted(clash)[0]!r} says both yes and no")
        kinds = self.document.get("kinds", {})
        kind = kinds.get("flag", "flag" if self.native else "text")
        if kind == "flag" and (yes[0], no[0]) not in (("true", "false"), ("false", "true")):
            kind = "text"
        return FlagAtom(setting, yes, no, kind, self.special(setting, spec))

    def choice(self, setting: Setting, spec: Mapping[str, Any]) -> ChoiceAtom:
        words = spec.get("words", {choice: choice for choice in setting.choices})
        if isinstance(words, str):
            words = self.document.get("words", {})[words]
        for word, choice in words.items():
            if choice not in setting.choices:
                raise TableError(
                    f"{word!r} stands for {choice!r}, which is no choice of {setting.id}",
                    hint=f"choices are {', '.join(setting.choices)}",
                )
        nearest = spec.get("nearest", {})
        for choice, other in nearest.items():
            if choice not in setting.choices or other not in words.values():
                raise TableError(f"nearest: {choice!r} -> {other!r} should lead from a choice to one that has a word")
        self.nearest[setting.id] = dict(nearest)
        return ChoiceAtom(setting, words, nearest, self.special(setting, spec))


ROW_WORDS = frozenset(
    [
        "to",
        "unit",
        "full",
        "sign",
        "complement",
        "from",
        "decimals",
        "percent_of",
        "percent_as",
        "special",
        "words",
        "nearest",
        "flag",
        "list",
        "split",
        "when",
        "axis",
        "points",
        "coordinates",
        "areas",
        "relative_to",
        "default",
        "lines",
        "note",
    ]
)
"""All that a row may say; `note` is for people."""


_EVERY = frozenset(["to", "default", "note", "special", "list"])
_NUMBER = _EVERY | {"unit", "full", "sign", "complement", "from", "decimals", "percent_of", "percent_as"}
_BY_KIND = {
    "flag": _EVERY | {"flag"},
    "choice": _EVERY | {"words", "nearest", "flag"},
    "text": _EVERY,
    "code": _EVERY | {"lines"},
    "outline": _EVERY | {"unit", "sign", "points", "coordinates", "areas", "relative_to", "axis", "decimals"},
}
"""What a row may say, by the kind of its setting."""


def _says(setting: Setting) -> frozenset[str]:
    return frozenset(_BY_KIND.get(setting.kind, _NUMBER))


def _kind(setting: Setting) -> str:
    article = "an" if setting.kind[0] in "aeiou" else "a"
    return f"{article} {setting.kind.replace('_', ' ')}"


def _words(words: object) -> list[str]:
    return [words] if isinstance(words, str) else [str(word) for word in words]  # type: ignore[attr-defined]


def _shaped(document: Mapping[str, Any], layout: Mapping[str, Any]) -> None:
    """Refuse parts of the wrong kind, which would fail only when a file is read. `checking` explains all of them."""
    for name, part in layout.items():
        texts = list(part.values()) if isinstance(part, dict) else part if isinstance(part, tuple) else [part]
        if not all(isinstance(text, str) for text in texts):
            raise TableError(f"[layout] {name} holds something else than texts", ("layout", name))
    for name in ("text", "units", "flags", "kinds", "code", "beads", "words"):
        if not isinstance(document.get(name, {}), dict):
            raise TableError(f"[{name}] is no table", (name,))
