"""The difference of two JSON documents as a JSON Patch (RFC 6902) with a `test` before each change.

>>> old = {"settings": {"layer.height": {"value": 0.2, "unit": "mm"}, "wall.count": {"value": 3}}}
>>> new = {"settings": {"layer.height": {"value": 0.3, "unit": "mm"}, "heat.bed": {"value": 60, "unit": "Cel"}}}
>>> for operation in patch(old, new):
...     print(operation)
{'op': 'test', 'path': '/settings/layer.height', 'value': {'value': 0.2, 'unit': 'mm'}}
{'op': 'replace', 'path': '/settings/layer.height', 'value': {'value': 0.3, 'unit': 'mm'}}
{'op': 'test', 'path': '/settings/wall.count', 'value': {'value': 3}}
{'op': 'remove', 'path': '/settings/wall.count'}
{'op': 'add', 'path': '/settings/heat.bed', 'value': {'value': 60, 'unit': 'Cel'}}

Documents are compared member by member down to single settings and carried dialects; what lies below is replaced whole,
so that a patch reads as a list of settings. RFC 6902 applies a patch as a whole or not at all: a document whose values
are not those that the patch was made from is refused by the `test` operations.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from convert.model.jsontext import exact
from convert.model.profile import Profile, equal_values

DEPTH = 2
"""Members are compared down to here: "settings", then the setting."""


def patch(old: Mapping[str, Any], new: Mapping[str, Any], depth: int = DEPTH) -> list[dict[str, Any]]:
    """The operations that lead from one document to another; none where the two are equal.

    Layouts (the texts of the files that a document was made of) are left out: a text has no members to patch.
    """
    operations: list[dict[str, Any]] = []
    todo: list[tuple[str, Mapping[str, Any], Mapping[str, Any], int]] = [("", _plain(old), _plain(new), depth)]
    while todo:
        path, before, after, left = todo.pop()
        inner = []
        for name in (*before, *(name for name in after if name not in before)):
            place = f"{path}/{pointer(name)}"
            if name not in after:
                operations += [_test(place, before[name]), {"op": "remove", "path": place}]
            elif name not in before:
                operations.append({"op": "add", "path": place, "value": after[name]})
            elif not same(before[name], after[name]):
                one, two = before[name], after[name]
                if left > 1 and isinstance(one, Mapping) and isinstance(two, Mapping):
                    inner.append((place, one, two, left - 1))
                else:
                    operations += [_test(place, one), {"op": "replace", "path": place, "value": two}]
        todo += reversed(inner)
    return operations


def patch_profiles(old: Profile, new: Profile) -> list[dict[str, Any]]:
    """The operations between the canonical documents of two profiles; values that are equal to 15 digits stay."""
    from convert.model.codec import profile_to_json

    kept = {name: value for name, value in old.settings.items() if equal_values(value, new.settings.get(name))}
    return patch(profile_to_json(old), profile_to_json(replace(new, settings={**new.settings, **kept})))


def pointer(name: str) -> str:
    """A name as a part of a JSON Pointer (RFC 6901).

    >>> pointer("a/b~c")
    'a~1b~0c'
    """
    return name.replace("~", "~0").replace("/", "~1")


def _plain(document: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in document.items() if name != "layouts"}


def _test(place: str, value: Any) -> dict[str, Any]:
    return {"op": "test", "path": place, "value": value}


def same(one: Any, two: Any) -> bool:
    """Whether two JSON values are equal as RFC 6902 has it: numbers by value, objects whatever their order.

    >>> same({"a": [1, 2.0]}, {"a": [1.0, 2]}), same(True, 1), same([1], [1, 2])
    (True, False, False)
    """
    pairs = [(one, two)]
    while pairs:
        a, b = pairs.pop()
        if isinstance(a, Mapping) and isinstance(b, Mapping):
            if a.keys() != b.keys():
                return False
            pairs += [(a[name], b[name]) for name in a]
        elif isinstance(a, list) and isinstance(b, list):
            if len(a) != len(b):
                return False
            pairs += zip(a, b, strict=True)
        elif exact(a) is not None or exact(b) is not None:
            if exact(a) != exact(b):
                return False
        elif type(a) is not type(b) or a != b:
            return False
    return True
