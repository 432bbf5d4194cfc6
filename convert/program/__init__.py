"""Command code, interpreted: a lossless tokenizer for RS-274 words and a state machine that runs them.

>>> from convert.program import interpret, final_state
>>> settings = {"heat.nozzle_first": 240, "code.commands": "word-basic"}
>>> run = interpret({"code.start": "G28\\nM104 S{heat.nozzle_first}"}, settings)
>>> final_state(run)["nozzle.target"]
240
>>> [seen.code for seen in run.observations]
['unwaited-heat']
"""

from __future__ import annotations

from convert.program.braces import expand, placeholders, protect, unprotect
from convert.program.commands import Command, tables
from convert.program.interpreter import Run, interpret
from convert.program.observations import CODES, Observation
from convert.program.outcome import final_state, signature, state_table
from convert.program.records import Context, Step
from convert.program.words import Line, Token, Word, tokenize

__all__ = [
    "CODES", "Command", "Context", "Line", "Observation", "Run", "Step", "Token", "Word", "expand", "final_state",
    "interpret", "placeholders", "protect", "signature", "state_table", "tables", "tokenize", "unprotect",
]  # fmt: skip
