"""What a reading leaves for the next one of the same file: where each unit stood and what was in force."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

from memlint.reading.facts.items import Problem
from memlint.reading.verilog.history import History
from memlint.reading.verilog.phases import Phases
from memlint.reading.verilog.preprocess import MacroTable, PreprocessOptions
from memlint.reading.verilog.tokens import KEYWORDS_OF, Token
from memlint.reading.verilog.units import Extent

OLDER = "1364-2005"
_OLDER_WORDS = KEYWORDS_OF[OLDER]
_NEWER_WORDS = KEYWORDS_OF[PreprocessOptions().keywords] - _OLDER_WORDS
# Whoever writes these words means SystemVerilog.
_NEVER_NAMES = frozenset(
    "always_comb always_ff always_latch endclass endinterface endpackage endprogram import typedef".split()
)
_TEXT = itemgetter(1)
_ENDS = frozenset(("endmodule", "endpackage", "endinterface"))


@dataclass(frozen=True, slots=True)
class Part:
    """A unit's place in the file, offsets, and the words it reserves that Verilog does not.

    `alone`: nothing before it can reach into it nor it reach behind itself, as far as its tokens tell.
    """

    start: int
    end: int
    alone: bool
    newer: frozenset[str]


@dataclass(frozen=True, slots=True)
class Trail:
    """`parts` are those of the facts' units, in the same order; `newer` the words outside them.

    `preprocessing` are the problems of the preprocessor, `intents` those of the intents.
    """

    macros: MacroTable
    options: PreprocessOptions
    history: History
    parts: tuple[Part, ...]
    newer: frozenset[str]
    preprocessing: tuple[Problem, ...]
    intents: Phases


def parts(
    tokens: Sequence[Token], extents: Sequence[Extent], file: str, may_be_older: bool
) -> tuple[Part, ...]:
    """The parts of a file's units; their words only where the file may be of the older language."""
    plain = not may_be_older or _NEWER_WORDS.isdisjoint(map(_TEXT, tokens))
    found: list[Part] = []
    for extent in extents:
        first, last = tokens[extent.first], tokens[extent.behind - 1]
        own = first.file == file == last.file
        alone = own and extent.closed and (first.text == "module" or _behind_an_end(tokens, extent.first))
        newer = frozenset() if plain else newer_words(tokens[extent.first : extent.behind])
        found.append(Part(first.start, last.end, alone, newer) if own else Part(0, 0, False, newer))
    return tuple(found)


def newer_words(tokens: Sequence[Token]) -> frozenset[str]:
    """The words among these tokens that are reserved, and were not in Verilog."""
    if _NEWER_WORDS.isdisjoint(map(_TEXT, tokens)):
        return frozenset()
    return frozenset(
        text for kind, text, _file, _start, _end in tokens if kind == "kw" and text in _NEWER_WORDS
    )


def newer_outside(tokens: Sequence[Token], extents: Sequence[Extent]) -> frozenset[str]:
    """The same words outside all units."""
    if _NEWER_WORDS.isdisjoint(map(_TEXT, tokens)):
        return frozenset()
    between: list[Token] = []
    at = 0
    for extent in extents:
        between.extend(tokens[at : extent.first])
        at = extent.behind
    return newer_words([*between, *tokens[at:]])


def undecided(newer: frozenset[str]) -> bool:
    """Whether words only SystemVerilog reserves occur, and none that tells that it is SystemVerilog."""
    return bool(newer) and not newer & _NEVER_NAMES


def _behind_an_end(tokens: Sequence[Token], at: int) -> bool:
    """Whether a unit's end, with its label if it has one, stands before this token, or nothing does."""
    if at >= 3 and tokens[at - 2].text == ":" and tokens[at - 2].kind == "op":
        at -= 2
    return at == 0 or (tokens[at - 1].kind == "kw" and tokens[at - 1].text in _ENDS)
