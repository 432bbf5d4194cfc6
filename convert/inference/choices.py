"""The choice of a setting that a word of a file stands for."""

from __future__ import annotations

import re
from functools import lru_cache

from convert.inference.vocabulary import fold, split, vocabulary


def choice_of(text: str, choices: tuple[str, ...]) -> tuple[str, float]:
    """The choice that a word stands for and how sure that is; ("", 0) for none.

    >>> choice_of("Honeycomb", ("cells-hexagon", "gyroid")), choice_of("PLA", ("PLA", "PET"))
    (('cells-hexagon', 1.0), ('PLA', 1.0))
    """
    return _choice_of(text, choices)


def several(text: str, choices: tuple[str, ...]) -> bool:
    """Whether a text names different choices one beside the other: it holds more than one setting.

    >>> several("honeycomb/gyroid", ("cells-hexagon", "gyroid")), several("gyroid", ("cells-hexagon", "gyroid"))
    (True, False)
    """
    named = {choice for piece in re.split(r"[/|,;+&]", text) if (choice := choice_of(piece, choices)[0])}
    return len(named) > 1


@lru_cache(maxsize=2048)
def _choice_of(text: str, choices: tuple[str, ...]) -> tuple[str, float]:
    known = vocabulary()
    whole = fold(text.strip())
    for choice in choices:
        if choice.lower() == whole or choice.lower() == whole.replace("_", "-").replace(" ", "-"):
            return choice, 1.0
    found: dict[str, float] = {}
    for choice, strength in known.choices.get("-".join(split(text)), {}).items():
        if choice in choices:
            found[choice] = strength
    if not found:
        said = split(text)
        for choice in choices:
            if "-" in choice and set(choice.lower().split("-")) == set(said):
                return choice, 0.9
        words = [part for word in said for part in ([word] if word in known.choices else known.parts(word))]
        telling = [meant for word in dict.fromkeys(words) if (meant := _meant(word, choices))]
        for meant in telling:
            for choice, strength in meant.items():
                found[choice] = found.get(choice, 0.0) + strength * (0.9 if len(telling) == 1 else 0.75)
        parts = sum(part.isdigit() for part in said)  # "18% gyroid" is more than a choice
        found = {choice: min(strength, 0.95) * 0.5**parts for choice, strength in found.items()}
    if not found:
        if len(whole) >= 3:
            near = [
                choice for choice in choices if choice.lower().startswith(whole) or whole.startswith(choice.lower())
            ]
            if len(near) == 1 and near[0] != "other":
                return near[0], 0.7
        return "", 0.0
    best = max(found, key=lambda choice: found[choice])
    ties = [choice for choice in found if found[choice] == found[best]]
    return (best, found[best]) if len(ties) == 1 else (best, found[best] * 0.5)


def _meant(word: str, choices: tuple[str, ...]) -> dict[str, float]:
    """The choices that a word may mean, as it stands or without its plural."""
    known = vocabulary().choices
    forms = (word, word[:-1]) if word.endswith("s") else (word,)
    meant = next((known[form] for form in forms if form in known), {})
    return {choice: strength for choice, strength in meant.items() if choice in choices}
