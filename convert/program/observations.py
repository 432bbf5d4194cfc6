"""What the interpreter may remark on, one row a code: the severity it usually has and the question behind it.

`note` < `differs` < `spoils` < `fails` < `hurts`. A severity is a hint: whoever knows the whole setup decides.
"""

from __future__ import annotations

from dataclasses import dataclass

SEVERITIES = ("note", "differs", "spoils", "fails", "hurts")
CODES: dict[str, tuple[str, str]] = {
    # where the nozzle goes
    "unhomed-move": ("fails", "does anything move before its axis was homed"),
    "outside-area": ("fails", "does a move leave the build area in plan"),
    "above-top": ("fails", "does a move go above the build volume"),
    "below-bed": ("fails", "does a move go below the bed"),
    "excluded-area": ("fails", "does a move cross an area that must stay free"),
    "bad-arc": ("differs", "can an arc be drawn as it is written"),
    "blind-lift": ("note", "may a lift from an unknown height leave the build volume"),
    "blind-drive": ("differs", "may a relative move from an unknown place leave the build area"),
    "feed-beyond-axis": ("note", "is Z asked for more speed than the axis has"),
    "zero-moved": ("fails", "is the zero point of the plan moved before the print begins"),
    "park-before-lift": ("spoils", "does the head drive over the part before it is lifted"),
    "into-part": ("fails", "is the nozzle driven down into the finished part"),
    "area-not-checked": ("note", "was the outline too intricate, or the code too long, to check every move against it"),
    # heat
    "cold-push": ("fails", "is filament pushed through a nozzle that is too cold"),
    "unwaited-push": ("spoils", "is filament pushed before the nozzle was waited for"),
    "prime-fast": ("differs", "is the first filament pushed faster than it can melt"),
    "prime-high": ("differs", "is the first filament laid too high above the bed to stick"),
    "no-prime": ("note", "is the nozzle filled before the print begins"),
    "unwaited-heat": ("spoils", "is a heater set but never waited for before the print"),
    "unheated": ("spoils", "is a heater that the settings ask for never set before the print"),
    "wait-unset": ("spoils", "is a heater waited for that has no target"),
    "wait-no-target": ("differs", "does a wait lack its temperature"),
    "left-hot": ("hurts", "is a heater left on at the end"),
    "left-cold": ("spoils", "does code that runs during the print leave a heater off which the print needs"),
    "too-hot": ("hurts", "is a target above what the machine may reach"),
    "no-such-heater": ("differs", "does the code heat what the machine does not have"),
    "literal-heat": ("spoils", "does a temperature written as a number contradict the settings"),
    "fixed-heat": ("note", "is a temperature written as a number where a placeholder would follow the settings"),
    "heat-in-comment": ("spoils", "does a heater command stand only in a comment, where it does nothing"),
    # what is left behind
    "fan-conflict": ("differs", "does the code leave the part fan faster than the settings have it"),
    "fan-left-on": ("note", "is the fan left on at the end"),
    "motors-left-on": ("note", "are the motors left on at the end"),
    "units-left": ("fails", "is the unit of length changed and not restored"),
    "relative-left": ("fails", "are positions left relative"),
    "feed-mode-mismatch": ("fails", "does the filament mode differ from the one that the settings state"),
    "feed-mode-ambiguous": ("differs", "does a filament move depend on whether G90 and G91 govern filament too"),
    "no-feed-reset": ("differs", "is the filament position left unset (G92 E0) where positions are absolute"),
    "factor-left": ("note", "is a speed or flow factor left at another value than 100 %"),
    # the machine's own settings
    "limit-raised": ("fails", "is a limit raised above the machine's own"),
    "limit-lowered": ("differs", "does the code put a limit below what the settings ask for"),
    "cold-guard-off": ("fails", "is the guard against pushing cold filament switched off"),
    "fault-guard-changed": ("hurts", "is the detection of heater faults switched off or widened"),
    "heater-control": ("note", "does the code change how a heater is controlled"),
    "stores-settings": ("differs", "does the code write settings into the machine's lasting memory"),
    "motor-current": ("differs", "does the code change a motor current"),
    "steps-set": ("differs", "does the code change the steps per millimetre"),
    "repeated-trim": ("differs", "does the code move the zero height a little further at each run"),
    "map-before-home": ("note", "may homing switch off the bed map that was switched on before"),
    "lead-conflict": ("differs", "does the code set another pressure lead than the settings"),
    "lead-twice": ("note", "is the pressure lead set by the code and by the settings, or several times"),
    "no-such-tool": ("fails", "does the code pick a tool that the machine does not have"),
    # placeholders and words
    "unknown-placeholder": ("spoils", "do braces hold a name that no setting has"),
    "missing-value": ("note", "does a placeholder stand for a setting that has no value here"),
    "foreign-command": ("differs", "is a command outside the machine's command set"),
    "unknown-command": ("note", "is a command's effect not known"),
    "opaque": ("note", "does a command hide what it does, so that the state after it is unknown"),
    "swallowed-code": ("fails", "does a comment, or a line end written as text, swallow commands"),
    "command-in-comment": ("note", "does a comment hold a command that was perhaps switched off on purpose"),
    "second-command": ("differs", "does a line hold a second command that many controllers ignore"),
    "implied-motion": ("note", "does a line rely on the motion word of an earlier line"),
    "assumed-mode": ("note", "does the code move before it says its units and distance mode"),
    "skipped-line": ("note", "does a line depend on the block-delete switch"),
    "after-end": ("note", "does code follow the end of the program"),
    "long-dwell": ("note", "does a pause look a thousand times too long"),
    "long-line": ("note", "is a line longer than 256 characters"),
    "long-line-number": ("note", "has a line number more than five digits"),
    "repeated-word": ("differs", "does a line hold two words with one letter"),
    "modal-conflict": ("differs", "does a line hold two commands of one modal group"),
    "many-m-words": ("differs", "does a line hold more than four M words"),
    "odd-letter": ("note", "does a command come with a word that it does not take"),
    "bad-checksum": ("differs", "does a checksum not fit its line"),
    "open-comment": ("differs", "is a comment in parentheses not closed"),
    "split-number": ("differs", "does a blank split a number"),
    "not-evaluated": ("note", "does a value need a calculation that is not made here"),
    "unreadable-text": ("differs", "does a line hold text that is no word"),
    "odd-character": ("differs", "does a line hold typographic characters in the place of plain ones"),
}


@dataclass(frozen=True, slots=True)
class Observation:
    """One remark on a place in the code.

    `value`, `limit` and `unit` are numbers where there is a limit (the worst value of the section; the place is that of
    the first occurrence). `sure` is False where something before it is unknown, or where machines differ. `subject`
    tells remarks with one code apart (a heater, an axis, a word). Line and column count from 1 within the section.
    """

    code: str
    severity: str
    section: str
    line: int
    column: int
    says: str
    value: float | str | None = None
    limit: float | str | None = None
    unit: str = ""
    subject: str = ""
    sure: bool = True


def at_least(severity: str, threshold: str) -> bool:
    """Whether a severity reaches a threshold.

    >>> at_least("fails", "spoils"), at_least("note", "differs")
    (True, False)
    """
    return SEVERITIES.index(severity) >= SEVERITIES.index(threshold)
