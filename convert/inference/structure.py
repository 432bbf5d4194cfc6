"""How the sample files are built: syntax and its options, where profiles are, their names, their parents.

The result is what a name table says in [text] and [layout], and the keys, each once for each kind of profile.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.errors import BeadwiseError, InputError, Location
from convert.inference.options import options_for
from convert.inference.samples import MOST_VALUES, Key, decimal_mark, head_comment, is_code, remarks
from convert.inference.vocabulary import split, vocabulary
from convert.text import registry
from convert.text.source import Source
from convert.text.tree import Tree

ALIKE = 0.5
"""Share of common keys from which two groups are two profiles of one kind."""
LEAST_COMMON = 4
SEPARATORS = ("", ", ", ",", "; ", ";", " + ", "+", " & ", "|", " > ")
"""What may part the names of several parents."""
SCOPE_CONCEPTS = {"machine": "machine", "filament": "feedstock", "process": "process"}


@dataclass(slots=True)
class Structure:
    """The structure of a dialect, as far as samples show it."""

    syntax: str
    text: dict[str, Any]
    layout: dict[str, Any]
    decimal: str
    trees: list[Tree]
    keys: list[Key] = field(default_factory=list)
    scopes: dict[str, str] = field(default_factory=dict)
    books: dict[str, str] = field(default_factory=dict)
    head: str = ""
    profiles: int = 1


def infer(sources: Sequence[Source]) -> Structure:
    """The structure of samples of one dialect. InputError if a sample is empty, binary, or of another syntax."""
    syntax, options, trees = _read(sources)
    texts = [row[2] for tree in trees for row in tree.rows if isinstance(row[2], str)]
    mark = "." if syntax in ("json", "toml") and not any("," in value for value in texts) else decimal_mark(texts)
    made = Structure(syntax, options, {}, mark, trees)
    made.head = "\n".join(filter(None, (head_comment(tree) for tree in trees)))
    groups = _profile_groups(made)
    if groups:
        _by_group(made, groups)
    else:
        _by_file(made)
    for number, tree in enumerate(trees):
        mine = {key.entries[0][1]: key for key in made.keys if key.entries[0][0] == number}
        for index, text in remarks(tree, list(mine)).items():
            mine[index].comment = text
    return made


def _read(sources: Sequence[Source]) -> tuple[str, dict[str, Any], list[Tree]]:
    for source in sources:
        where = Location(source.path)
        if not source.text.strip():
            raise InputError("is empty, so there is nothing to learn from it", where, "export the settings anew")
        if "\0" in source.text:
            raise InputError("holds binary data, no settings", where, "give a settings file that is text")
    names = registry.sniff(sources[0])
    error: BeadwiseError | None = None
    for syntax in names:
        module = registry.load(syntax)
        try:
            options = options_for(syntax, sources[0])
            trees = [module.parse(source, options) for source in sources]
        except BeadwiseError as found:
            error = error or found
            continue
        poor = next((tree for tree in trees if not tree.rows), None)
        if poor is None:
            return syntax, options, trees
        error = error or InputError("holds no settings", Location(poor.source.path), "is it the right file?")
    if error is not None:
        raise error
    hint = "samples are text: name-value lines, CSV, JSON, XML or TOML"
    raise InputError("holds no settings that any known syntax can read", Location(sources[0].path), hint)


# ---- which groups are profiles


@dataclass(slots=True)
class Group:
    """A group that may be a profile."""

    file: int
    path: tuple[str, ...]
    attributes: dict[str, str]
    keys: set[str]
    word: str = ""
    name: str = ""


def _profile_groups(made: Structure) -> list[Group]:
    """The groups that are profiles, or [] where a file is one."""
    if made.syntax == "comments":
        return []
    found: list[Group] = []
    bases = [_base(tree) for tree in made.trees]
    for number, (tree, base) in enumerate(zip(made.trees, bases, strict=True)):
        if base != bases[0]:
            return []
        depth = len(base) + 1
        keys: dict[tuple[str, ...], set[str]] = {}
        for path, key, _, _ in tree.rows:
            if len(path) >= depth:
                keys.setdefault(path[:depth], set()).add("/".join((*path[depth:], key)))
        for group in tree.groups:
            if group.path in keys and not any(g.path == group.path and g.file == number for g in found):
                found.append(Group(number, group.path, dict(group.attributes), keys[group.path]))
    if len(found) < 2:
        return []
    made.layout["base"] = list(bases[0])
    if made.syntax == "csv":
        return found if _csv_columns(made, found) else []
    if _by_label(made, found) or _by_attribute(made, found):
        return found
    alike = sum(
        1
        for at, one in enumerate(found)
        if any(
            other is not one and len(one.keys & other.keys) >= max(LEAST_COMMON, ALIKE * len(one.keys | other.keys))
            for other in found[max(0, at - 40) : at + 40]
        )
    )
    return found if alike * 3 >= len(found) * 2 and _kinds_by_keys(made, found) else []


def _base(tree: Tree) -> tuple[str, ...]:
    """The groups around everything."""
    paths = {row[0] for row in tree.rows}
    first = next(iter(paths), ())
    depth = 0
    while depth < len(first) and all(len(path) > depth and path[depth] == first[depth] for path in paths):
        depth += 1
    base = first[:depth]
    # A single group that holds everything may be the one profile itself.
    return base if any(len(path) > depth for path in paths) else base[:-1]


def scope_of(text: str) -> str:
    """The scope that a word stands for, by the vocabulary, or "".

    >>> scope_of("Printer"), scope_of("filament"), scope_of("walls")
    ('machine', 'feedstock', '')
    """
    known = vocabulary()
    best = ("", 0.0)
    for word in split(text):
        for part in known.parts(word):
            meaning = known.words.get(part) or known.stems.get(part, {})
            for concept, scope in SCOPE_CONCEPTS.items():
                strength = meaning.get(concept, 0.0)
                if strength > best[1]:
                    best = (scope, strength)
    return best[0] if best[1] >= 0.3 else ""


def _by_label(made: Structure, groups: list[Group]) -> bool:
    """Labels such as "recipe Fine" or "Fine (recipe)": a word that is shared or known, and a name."""
    for between in (" ", ":", ": ", "/", " - ", "."):
        parted = [group.path[-1].partition(between) for group in groups]
        if not all(word and name for word, _, name in parted):
            continue
        words = Counter(word for word, _, _ in parted)
        if len(words) <= 3 and _scoped(words):
            return _label(made, groups, [(word, name) for word, _, name in parted], "{scope}" + between + "{name}")
    for opening, closing in ((" (", ")"), (" [", "]"), (" <", ">")):
        parted = [group.path[-1].rpartition(opening) for group in groups]
        if all(name and word.endswith(closing) for name, _, word in parted):
            words = Counter(word[: -len(closing)] for _, _, word in parted)
            if len(words) <= 3 and _scoped(words):
                pairs = [(word[: -len(closing)], name) for name, _, word in parted]
                return _label(made, groups, pairs, "{name}" + opening + "{scope}" + closing)
    return False


def _scoped(words: Counter[str]) -> bool:
    """Whether words part profiles by scope: known ones, or ones that come again and again."""
    known = [scope_of(word) for word in words]
    if all(known) and len(set(known)) == len(known):
        return True
    return len(words) > 1 and sum(words.values()) > len(words) and any(known)


def _label(made: Structure, groups: list[Group], pairs: list[tuple[str, str]], pattern: str) -> bool:
    for group, (word, name) in zip(groups, pairs, strict=True):
        group.word, group.name = word, name
    made.layout.update(profile="group", holds="scope", group=pattern)
    return True


def _by_attribute(made: Structure, groups: list[Group]) -> bool:
    """Elements that say their scope and name in attributes."""
    if made.syntax != "xml" or not all(group.attributes for group in groups):
        return False
    shared = set.intersection(*(set(group.attributes) for group in groups))
    for attribute in sorted(shared):
        words = Counter(group.attributes[attribute] for group in groups)
        if len(words) <= 3 and _scoped(words):
            rest = [a for a in sorted(shared) if a != attribute]
            name = next((a for a in rest if len({g.attributes[a] for g in groups}) * 3 >= len(groups) * 2), "")
            for group in groups:
                group.word, group.name = group.attributes[attribute], group.attributes.get(name, group.path[-1])
            made.layout.update(profile="group", holds="scope", scope={"attribute": attribute})
            if name:
                made.layout["name"] = {"attribute": name}
            names = {group.name for group in groups}
            for other in sorted({a for g in groups for a in g.attributes} - {attribute, name}):
                said = [g.attributes[other] for g in groups if g.attributes.get(other)]
                if said and sum(one in names for one in said) * 2 >= len(said):
                    made.layout["parent"] = {"attribute": other, "by": "name"}
            return True
    return False


def _csv_columns(made: Structure, groups: list[Group]) -> bool:
    """Columns are profiles if there are several; with words of scopes in their titles they have one scope each."""
    if _by_label(made, groups):
        return True
    for group in groups:
        group.name = group.path[-1]
    made.layout.update(profile="group", holds="any", group="{name}")
    return True


def _kinds_by_keys(made: Structure, groups: list[Group]) -> bool:
    """Groups that are alike are profiles; a key of theirs may say the scope."""
    for group in groups:
        group.name = group.path[-1]
    scope = _scope_key(made, {(group.file, group.path): group for group in groups}, len(groups[0].path))
    if scope:
        made.layout.update(profile="group", holds="scope", group="{name}", scope={"key": scope})
    else:
        made.layout.update(profile="group", holds="any", group="{name}")
    return True


def _scope_key(made: Structure, groups: dict[tuple[int, tuple[str, ...]], Group], depth: int) -> str:
    """A key that each profile has in its root and that says a known word of a scope; sets the groups' words."""
    said: dict[str, dict[int, str]] = {}
    for number, tree in enumerate(made.trees):
        for path, key, value, _ in tree.rows:
            group = groups.get((number, path))
            if group is not None and len(path) == depth and isinstance(value, str):
                said.setdefault(key, {})[id(group)] = value
    for key, values in said.items():
        words = Counter(values.values())
        scopes = [scope_of(word) for word in words]
        if len(values) == len(groups) and 1 < len(words) <= 3 and all(scopes) and len(set(scopes)) == len(scopes):
            for group in groups.values():
                group.word = values[id(group)]
            return key
    return ""


# ---- the keys


def _by_group(made: Structure, groups: list[Group]) -> None:
    """Pool the keys of all profiles of a kind."""
    where = {(group.file, group.path): group for group in groups}
    depth = len(groups[0].path)
    made.profiles = len(groups)
    made.scopes = {word: scope_of(word) for word in dict.fromkeys(group.word for group in groups) if word}
    keys: dict[tuple, Key] = {}
    for number, tree in enumerate(made.trees):
        for index, (path, name, value, _) in enumerate(tree.rows):
            group = where.get((number, path[:depth]))
            kind, inner = (group.word, path[depth:]) if group is not None else ("\0", path)
            _note(keys, kind, inner, name, value, number, index, tree)
    made.keys = list(keys.values())
    book = made.layout.get("scope", {}).get("key")
    if book:
        made.books[book] = "scope"
    if "parent" not in made.layout:
        _parents(made, {(group.file, group.path): {group.name} for group in groups}, "name", depth)
    _drop_books(made)


def _by_file(made: Structure) -> None:
    """Each file is one profile."""
    base: tuple[str, ...] = ()
    if made.syntax in ("csv", "xml"):
        bases = {_file_base(tree) for tree in made.trees}
        base = bases.pop() if len(bases) == 1 else ()
    made.layout.pop("base", None)
    made.layout.update(profile="file", holds="any")
    if base:
        made.layout["path"] = list(base)
    made.profiles = len(made.trees)
    kinds = _file_kinds(made)
    keys: dict[tuple, Key] = {}
    for number, tree in enumerate(made.trees):
        for index, (path, name, value, _) in enumerate(tree.rows):
            inner = path[len(base) :] if path[: len(base)] == base else path
            _note(keys, kinds[number], inner, name, value, number, index, tree)
    made.keys = list(keys.values())
    if len(made.trees) > 1:
        files = {
            (at, ()): {tree.source.path.replace("\\", "/").rsplit("/", 1)[-1]} for at, tree in enumerate(made.trees)
        }
        stems = {profile: {_stem(name) for name in names} for profile, names in files.items()}
        _ = _parents(made, files, "file", 0) or _named_parents(made, 0) or _parents(made, stems, "name", 0)
    _drop_books(made)


def _file_base(tree: Tree) -> tuple[str, ...]:
    if tree.syntax == "csv":
        return tree.rows[0][0]
    return tree.groups[1].path if len(tree.groups) > 1 else ()


def _file_kinds(made: Structure) -> list[str]:
    """Files that share few keys are of different kinds; a key in their root may say which."""
    sets = [{"/".join((*row[0], row[1])) for row in tree.rows} for tree in made.trees]
    kinds: list[int] = []
    for at, keys in enumerate(sets):
        for before in range(at):
            if len(keys & sets[before]) >= 0.34 * min(len(keys), len(sets[before])):
                kinds.append(kinds[before])
                break
        else:
            kinds.append(at)
    if len(set(kinds)) < 2:
        return [""] * len(kinds)
    made.layout["holds"] = "scope"
    groups: dict[tuple[int, tuple[str, ...]], Group] = {
        (number, ()): Group(number, (), {}, keys) for number, keys in enumerate(sets)
    }
    key = _scope_key(made, groups, 0)
    if key:
        made.layout["scope"] = {"key": key}
        made.books[key] = "scope"
        words = [groups[number, ()].word for number in range(len(sets))]
        made.scopes = {word: scope_of(word) for word in dict.fromkeys(words)}
        return words
    made.scopes = {str(kind): scope_of(_stem(made.trees[kind].source.path)) for kind in set(kinds)}
    return [str(kind) for kind in kinds]


def _stem(path: str) -> str:
    return path.replace("\\", "/").rsplit("/", 1)[-1].partition(".")[0]


def _note(
    keys: dict[tuple, Key], kind: str, path: tuple[str, ...], name: str, value: Any, number: int, index: int, tree: Tree
) -> None:
    key = keys.get((kind, path, name))
    if key is None:
        key = keys[kind, path, name] = Key(kind, path, name, order=len(keys))
        entry = tree.entry(index)
        key.native = entry.kind
    if len(key.entries) < MOST_VALUES:
        key.values.append(value)
        unit = tree._unit(index)
        if unit:
            key.beside.append(unit)
    key.entries.append((number, index))


Named = dict[tuple, set[str]]
"""What each profile (file, group) may be called."""


def _said_by_profiles(made: Structure, key: Key, depth: int) -> dict[tuple, str]:
    """The text of a root key in each profile that has it."""
    found: dict[tuple, str] = {}
    for file, index in key.entries:
        path, _, value, _ = made.trees[file].rows[index]
        if isinstance(value, str) and value:
            found[file, path[:depth]] = value
    return found


def _parents(made: Structure, names: Named, by: str, depth: int) -> bool:
    """A key of the profiles' root whose values are names of other profiles."""
    for key in made.keys:
        if key.path or key.name in made.books or key.kind == "\0":
            continue
        said = _said_by_profiles(made, key, depth)
        if not said or any(is_code(text) for text in said.values()):
            continue
        separators = [one for one in SEPARATORS if not one or any(one in text for text in said.values())]
        for separator in separators:
            if all(
                any(part.strip() in others for profile, others in names.items() if profile != own)
                and part.strip() not in names.get(own, ())
                for own, text in said.items()
                for part in (text.split(separator) if separator else [text])
            ):
                made.layout["parent"] = {"key": key.name, "by": by}
                if separator:
                    made.layout["parent"]["separator"] = separator
                made.books[key.name] = "parent"
                return True
    return False


def _named_parents(made: Structure, depth: int) -> bool:
    """A key that gives every profile a name of its own, and another one that names a parent so."""
    everyone = {(file, ()) for file in range(len(made.trees))}
    values: dict[str, dict[tuple, str]] = {}
    for key in made.keys:
        if not key.path and key.name not in made.books:
            values.setdefault(key.name, {}).update(_said_by_profiles(made, key, depth))
    for name, said in values.items():
        own = {profile: {text} for profile, text in said.items()}
        told = said.keys() == everyone and len(set(said.values())) == len(everyone)
        if told and _parents(made, own, "name", depth):
            made.layout["name"] = {"key": name}
            return True
    return False


def _drop_books(made: Structure) -> None:
    """Bookkeeping keys of the layout are no settings."""
    for key in made.keys:
        if not key.path and key.name in made.books:
            key.kind = "\0" + made.books[key.name]
