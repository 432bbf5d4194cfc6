"""The words and places of a finding, for the forms of an audit that other programs show to people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from convert.model.profile import Origin, Profile
from convert.report.visible import visible
from convert.rules.bundle import Judged, Result
from convert.rules.finding import DEFERENCE, Finding

UNTOLD = "Cannot tell: needs "


def words(finding: Finding) -> str:
    """All that a finding says, in one line: harm and precaution first, then the way out and what follows from it."""
    said = [f"{finding.signal}: {finding.says} {finding.precaution} {DEFERENCE}" if finding.signal else finding.says]
    if finding.where:
        said.append(f"At {finding.where}.")
    if finding.repair:
        said.append("Passes with: " + " ".join(f'{one.setting}="{one.to}"' for one in finding.repair) + ".")
    said += [f"So also {other.rule}: {other.says}" for other in finding.consequences]
    return visible(" ".join(said))


def setup_name(names: Sequence[str | None]) -> str:
    """The names of a setup's parts in one.

    >>> setup_name(["Kestavo", None, "fine", "fine"]), setup_name([None, ""])
    ('Kestavo + fine', '')
    """
    return visible(" + ".join(dict.fromkeys(name for name in names if name)))


def places(one: Judged, profiles: Sequence[Profile]) -> Iterator[tuple[str, Origin | None]]:
    """Each setting of a finding with where its value is written, in each profile that the finding is about.

    None stands for a place that is no file: the setting is not stated, or came from standard input.
    """
    names = set(filter(None, one.setup.values()))
    about = [profile for profile in profiles if profile.name in names] or profiles
    for setting in one.finding.settings:
        origins = dict.fromkeys(profile.origins[setting] for profile in about if setting in profile.origins)
        found = [origin for origin in origins if origin.file and origin.file != "-"]
        yield from ((setting, origin) for origin in found or (None,))


def counts(result: Result) -> str:
    """How much was asked, in a few words."""
    setups = len(result.setups)
    return f"{result.checked} questions answered over {setups} setup{'s' if setups != 1 else ''}"
