"""Tokens of VHDL, and which of its words begin, close or end what."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.text.source import Span

# IEEE Std 1076-1993 clause 13.9. Words that later revisions reserve (context, protected, force, PSL's)
# stay identifiers here, since 1993 sources use them as such; the places that know them ask for the text.
RESERVED = frozenset(
    """abs access after alias all and architecture array assert attribute begin block body buffer bus case
    component configuration constant disconnect downto else elsif end entity exit file for function generate
    generic group guarded if impure in inertial inout is label library linkage literal loop map mod nand new
    next nor not null of on open or others out package port postponed procedure process pure range record
    register reject rem report return rol ror select severity shared signal sla sll sra srl subtype then to
    transport type unaffected units until use variable wait when while with xnor xor""".split()
)

# Word operators share a terminal by where they may stand: OP between operands, LOGIC also before one
# (the unary reductions of 2008), UNARY only before one.
WORD_TERMINALS = {
    **{word: word.upper() for word in RESERVED},
    **dict.fromkeys("mod rem sll srl sla sra rol ror".split(), "OP"),
    **dict.fromkeys("and or nand nor xor xnor".split(), "LOGIC"),
    **dict.fromkeys("not abs".split(), "UNARY"),
}

MARK_TERMINALS = {
    "(": "LPAR",
    ")": "RPAR",
    "[": "LBRACK",
    "]": "RBRACK",
    ",": "COMMA",
    ";": "SEMI",
    ":": "COLON",
    ".": "DOT",
    "|": "BAR",
    "?": "QUERY",
    "=>": "ARROW",
    ":=": "ASSIGN",
    "<=": "LE",
    "<>": "BOX",
    "??": "UNARY",
    "+": "SIGN",
    "-": "SIGN",
    **dict.fromkeys("= /= < > >= & * / ** ?= ?/= ?< ?<= ?> ?>=".split(), "OP"),
}

# A leaf (declaration, assignment, call, condition) holds none of these once its own first words are
# consumed, so the first of them ends it: `;` and `then` as they should, the others because the text
# before them was left unfinished.
STOPS = frozenset(
    """SEMI END BEGIN IF ELSIF THEN CASE IS LOOP PROCESS WHILE EXIT NEXT RETURN SIGNAL CONSTANT VARIABLE
    SHARED FILE TYPE SUBTYPE ALIAS ATTRIBUTE COMPONENT ENTITY ARCHITECTURE PACKAGE CONFIGURATION LIBRARY BLOCK
    GENERATE FUNCTION PROCEDURE PURE IMPURE WAIT ASSERT WITH EOF""".split()
)

# Parentheses never reach over these; one still open there was never closed.
BARRIERS = frozenset(
    """END BEGIN ARCHITECTURE ENTITY PROCESS THEN LOOP GENERATE PORT COMPONENT IF CASE LIBRARY EOF""".split()
)


class Token:
    """One token. `type` is a terminal of grammar/vhdl.lark or a reserved word in capitals.

    `value` is lower case for names and reserved words, as written for everything else; `start` and `end`
    are code points in `file`. lark takes these objects in place of its own.
    """

    __slots__ = ("end", "file", "start", "type", "value")

    # What lark copies into the end marker it makes from the last token.
    start_pos = end_pos = line = column = end_line = end_column = 0

    def __init__(self, type: str, value: str, file: str, start: int, end: int) -> None:
        self.type = type
        self.value = value
        self.file = file
        self.start = start
        self.end = end

    @property
    def span(self) -> Span:
        return Span(self.file, self.start, self.end)

    def __repr__(self) -> str:
        return f"{self.type}:{self.value}"


def names_in(tokens: Sequence[Token]) -> tuple[str, ...]:
    """The identifiers in a slice, each once, in order of first appearance."""
    return tuple(dict.fromkeys(token.value for token in tokens if token.type == "NAME"))


def slice_span(tokens: Sequence[Token]) -> Span:
    """The span of a slice that holds at least one token."""
    return Span(tokens[0].file, tokens[0].start, tokens[-1].end)
