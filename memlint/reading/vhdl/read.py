"""One VHDL file to its facts."""

from __future__ import annotations

from memlint.reading.collection import paused
from memlint.reading.facts.items import FileFacts, Problem, Skipped
from memlint.reading.unknown_characters import unknown_character
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.lexer import lex
from memlint.reading.vhdl.units import design_units
from memlint.text.source import SourceText

_NONE: tuple[Problem, ...] = ()


def read_vhdl(source: SourceText) -> FileFacts:
    """The facts of a file; pure, and never raises: what is not understood is Skipped or Unsupported.

    `problems` are those of the `@mem` comments, and characters that VHDL does not have.
    Tool directives (lines that begin with a backtick) are not obeyed: the text of every branch is read.
    """
    with paused():
        return _read(source)


def _read(source: SourceText) -> FileFacts:
    lexed = lex(source)
    found, outside = design_units(Cursor(lexed, source))
    units, problems = tuple(found), _NONE
    if lexed.comments:
        # A file without intents need not wait for what reads them.
        from memlint.reading.vhdl.intents import with_intents

        units, problems = with_intents(found, lexed, source)
    problems += tuple(unknown_character(source, one.start, one.end, "VHDL") for one in lexed.unknown)
    outside.extend(Skipped("tool directive", (), span=span) for span in lexed.directives)
    return FileFacts(source.file, "vhdl", units, tuple(outside), problems)
