"""The long way: one line is split into words, its words get their values, and its commands run."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from math import isnan

from convert.program import grammar
from convert.program.braces import expand, placeholders
from convert.program.commands import Command, command, known_anywhere
from convert.program.effects import EFFECTS
from convert.program.housekeeping import opaque
from convert.program.machine import TOOLS, Machine, clip, joined, shown
from convert.program.records import Argument, Call, Effect, Step
from convert.program.words import Line, Token, Word, canonical, tokenize

LINE_ENDS = re.compile(r"\r\n|\r|\n")
# Order in which the words of one line take effect, by modal group or effect (NISTIR 6556, table 8).
_RANK = {
    name: index for index, name in enumerate((
        "feed-mode", "tool-select", "tool-change", "spindle", "coolant", "override", "dwell", "plane", "units",
        "cutter-radius", "tool-length", "coordinate-system", "path-control", "distance", "cycle-return", "",
        "motion", "stop",
    ))
}  # fmt: skip
_TEMPERATURE_WORDS = {"NOZZLE": "nozzle", "HOTEND": "nozzle", "BED": "bed", "CHAMBER": "chamber"}
# Short lines recur (fan, filament resets); long ones are not worth keeping.
SHORT = 48  # characters
_tokenized = lru_cache(2048)(tokenize)
_NO_ARGUMENTS: Mapping[str, Argument] = {}


def run_line(m: Machine, text: str, log: list[object]) -> None:
    """Runs one line."""
    if not text or (text.isspace() and text.isascii()):
        return
    if "{" in text and _inserted(m, text, log):
        return
    line = _tokenized(text) if len(text) <= SHORT else tokenize(text)
    end = grammar.check(m, line)
    if not (line.words or line.name or end < len(text)) and not _unread(line):
        return
    m.changes = []
    if m.ended:
        m.see("after-end", "follows the end of the program and does not run")
        return
    before = dict(m.state) if line.deleted else None
    says, effect = _run(m, line, end)
    if end < len(text):
        says = says or "is not read by the machine"
        effect = (*effect, ("swallowed", " ".join(text[end:].split())))
    if before is not None:
        m.see("skipped-line", "runs only while the block-delete switch of the machine is off")
        m.state = joined(before, m.state)
        m.changes = [(n, shown(before.get(n)), shown(v)) for n, v in m.state.items() if repr(before.get(n)) != repr(v)]
        says, effect = f"{says}, unless the block-delete switch is on", ("/", *effect)
    log.append(Step(m.section, m.line, text, says, tuple(m.changes), effect))


def _unread(line: Line) -> str:
    """Text on a line that is no word, blanks joined."""
    return " ".join(
        token.text for token in line.tokens if token.kind in ("other", "text", "expression") and token.text.strip()
    )


def _inserted(m: Machine, text: str, log: list[object]) -> bool:
    """A placeholder that is no word's value stands for text: that is put in and run, its own braces being just text."""
    spans = placeholders(text, m.known)
    if not spans:
        return False
    starts = {start for (start, _), _ in spans}
    if not any(
        token.kind in ("other", "expression", "text")
        and any(token.start + at in starts for at in range(len(token.text)))
        for token in _open_tokens(text)
    ):
        return False
    full = expand(text, m.facts, m.known, m.tool)
    m.expansion -= len(full)
    m.changes = []
    if m.expansion < 0 or full == text:
        says = opaque(m, Call(command("text", "macro"), _NO_ARGUMENTS, 1), clip(text.strip()))
        log.append(Step(m.section, m.line, text, says, tuple(m.changes), (("text", text.strip()),)))
        return True
    log.append(Step(m.section, m.line, text, "puts in the text of a setting", (), (("text", text.strip()),)))
    inner: list[object] = []
    known, m.known = m.known, frozenset()
    for part in LINE_ENDS.split(full):
        run_line(m, part, inner)
    m.known = known
    log.extend(Step(s.section, s.line, s.text, s.says, s.changes) for s in inner if isinstance(s, Step))
    return True


def _open_tokens(text: str) -> Iterator[Token]:
    """The tokens outside messages and the arguments of named commands."""
    line = tokenize(text)
    return iter(() if line.name or line.message is not None else line.tokens)


def _run(m: Machine, line: Line, end: int) -> tuple[str, Effect]:
    """Runs the commands of a line; returns what it does and its part of the signature."""
    words = [word for word in line.words if word.start < end]
    tool = _tool(m, words) if "{" in line.text else 0
    if line.name:
        return _named(m, line, words, tool)
    tools = m.names == "numeric-control" or bool(words and words[0].letter == "T")
    letters = "GMT" if tools else "GM"
    heads = [word for word in words if word.letter in letters]
    effect: list[object] = []
    unread = _unread(line)
    if not heads:
        says = _implied(m, words, tool, effect)
    else:
        if len(heads) > 1:
            _several(m, heads)
        ran = heads if m.several else heads[:1]
        effect += [("ignored", canonical(word.letter, word.value)) for word in heads[len(ran) :]]
        calls = _calls(m, ran, [word for word in words if word.letter not in letters], line, tool)
        says = "; ".join(_call(m, call, effect) for call in calls)
    if unread and line.message is None:
        effect.append(("text", unread))
    return says, tuple(effect)


def _tool(m: Machine, words: list[Word]) -> int:
    """The tool whose values the placeholders of a line stand for: the one it names, else the active one."""
    named = (word.value for word in words if word.letter == "T" and word.value is not None)
    return next((int(value) for value in named if 0 <= value < TOOLS), m.tool)


def _several(m: Machine, heads: list[Word]) -> None:
    """Remarks on lines with more than one command."""
    rows = [(word, m.commands.get(canonical(word.letter, word.value))) for word in heads]
    groups: dict[str, str] = {}
    for word, row in rows:
        group = row.group if row else ""
        if group and group in groups:
            m.see(
                "modal-conflict",
                f"holds {groups[group]} and {canonical(word.letter, word.value)}, of which only one can hold",
                word.start + 1,
                subject=group,
            )
        elif group:
            groups[group] = canonical(word.letter, word.value)
    if m.names != "numeric-control":
        second = heads[1]
        name = canonical(second.letter, second.value)
        does = "many controllers read" if m.several else "controllers of this kind read"
        m.see(
            "second-command",
            f"{name} is the second command of the line; {does} only the first",
            second.start + 1,
            subject=name,
            severity="note" if m.several else "",
            sure=not m.several,
        )


def _calls(m: Machine, heads: list[Word], words: list[Word], line: Line, tool: int) -> list[Call]:
    """Deals the words of a line out to its commands, in the order in which these run."""
    rows = []
    for head in heads:
        value = head.value if head.value is not None or not head.text else m.argument(head, tool).value
        name = "T" if head.letter == "T" else canonical(head.letter, None if value is None or isnan(value) else value)
        rows.append((head, m.commands.get(name) or _strange_command(m, name, head)))
    if m.names == "numeric-control":
        rows.sort(key=lambda pair: _RANK.get(pair[1].group or pair[1].effect, _RANK[""]))
    left = {word.letter: word for word in reversed(words)}
    calls = []
    for head, row in rows:
        mine = list(left) if len(rows) == 1 else [letter for letter in left if letter in row.roles]
        args = {letter: m.argument(left.pop(letter), tool) for letter in mine}
        if head.letter == "T":
            args["T"] = m.argument(head, tool)
        if row.effect not in ("unknown", "foreign") and not row.open:
            for letter in args:
                if letter not in row.roles:
                    m.see(
                        "odd-letter",
                        f"{row.word} takes no {letter} word",
                        args[letter].column,
                        subject=f"{row.word} {letter}",
                    )
        calls.append(Call(row, args, head.start + 1, line.message or ""))
    for letter, word in left.items():
        m.see("odd-letter", f"no command of the line takes the {letter} word", word.start + 1, subject=letter)
    return calls


def _strange_command(m: Machine, name: str, head: Word) -> Command:
    """A command that the machine's set does not have."""
    column = head.start + 1
    if name in known_anywhere():
        m.see(
            "foreign-command",
            f"{name} is not in the machine's command set ({m.names}); taken to do nothing",
            column,
            subject=name,
        )
        return command(name, "foreign", "*")
    m.see("unknown-command", f"what {clip(name)} does is not known here", column, subject=clip(name))
    return command(name, "unknown", "*")


def _call(m: Machine, call: Call, effect: list[object]) -> str:
    """Runs one command and adds it to the effect of its line."""
    m.clock += 1
    row = call.command
    says = EFFECTS[row.effect](m, call) if row.effect in EFFECTS else "does nothing on this machine"
    if row.effect in ("move", "arc"):
        m.state["motion"] = row.word
    effect.append((row.word, *_parameters(call)))
    return says


def _parameters(call: Call) -> tuple[object, ...]:
    """The words of a call in canonical form: numbers as numbers, placeholders by name, flags as None."""
    pairs = sorted(
        (letter, None if a.flag else "".join(a.text.split()) if a.ids or isnan(a.value) else a.value + 0.0)
        for letter, a in call.args.items()
    )
    text = " ".join(call.text.split())
    return (tuple(pairs), text) if text else (tuple(pairs),)


def _implied(m: Machine, words: list[Word], tool: int, effect: list[object]) -> str:
    """A line without a command goes on with the last motion word."""
    if not words:
        return "is not read by the machine"
    letters = {word.letter for word in words}
    row = m.commands.get(str(m.state["motion"]))
    args = {word.letter: m.argument(word, tool) for word in reversed(words)}
    if letters <= {"F", "S"} or (row and letters & set("XYZE") and letters <= set(row.roles)):
        if letters & set("XYZE") and m.names != "numeric-control":
            m.see(
                "implied-motion",
                f"has no command and goes on with {m.state['motion']}; not every controller does",
                words[0].start + 1,
                sure=False,
            )
        if letters & set("XYZE") and row:
            return _call(m, Call(row, args, words[0].start + 1), effect)
        feed = args.get("F")
        if feed is not None and m.names == "numeric-control":
            m.set("feed", feed.value * m.scale / 60)
        effect.append(("", *_parameters(Call(command("", "feed"), args, 1))))
        return "sets the speed"
    m.see(
        "unreadable-text",
        f"'{clip(words[0].letter + words[0].text)}' stands without a command",
        words[0].start + 1,
        subject=clip(words[0].letter),
    )
    effect.append(("text", *_parameters(Call(command("", "text"), args, 1))))
    return "is not read by the machine"


def _named(m: Machine, line: Line, words: list[Word], tool: int) -> tuple[str, Effect]:
    """A command by name: as declared for this machine, or opaque."""
    args = {word.letter: m.argument(word, tool) for word in reversed(words)}
    column = next(token.start for token in line.tokens if token.kind == "name") + 1
    row = m.commands.get(line.name)
    unread = _unread(line)
    effect: list[object] = []
    if row:
        says = _call(m, Call(row, args, column), effect)
    else:
        row = command(line.name, "macro")
        effect.append((line.name, *_parameters(Call(row, args, column))))
        if m.names in ("named-macros", "other"):
            says = opaque(m, Call(row, args, column), line.name)
            for letter, argument in args.items():
                kinds = {_TEMPERATURE_WORDS[part] for part in letter.split("_") if part in _TEMPERATURE_WORDS}
                if len(kinds) == 1 and 30 <= argument.value <= 500 and not argument.ids:
                    m.literals[kinds.pop()] = (argument.value, m.line, argument.column)
        else:
            m.see(
                "foreign-command",
                f"{clip(line.name)} is no word of the machine's command set ({m.names}); taken to do nothing",
                column,
                subject=clip(line.name),
            )
            says = "does nothing on this machine"
    if unread:
        effect.append(("text", unread))
    return says, tuple(effect)
