"""Text to tokens: one regular expression over the whole text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from sys import intern

from memlint.reading.vhdl.tokens import BARRIERS, MARK_TERMINALS, STOPS, WORD_TERMINALS, Token
from memlint.text.source import SourceText, Span

MAX_NESTING = 100
"""Levels of parentheses or nested statements that are read; deeper ones are skipped by name."""

# Groups are numbered in the order of the names below. White space other than a tab ends a `--` comment
# (IEEE Std 1076-2008, 15.3: format effectors except the tab signify the end of a line).
_TOKEN = re.compile(
    r"""\s*+(?:
      (\d*+[sSuU]?[bBoOxXdD]"[^"\r\n]*")
    | ([^\W\d]\w*)
    | (--[^\r\n\f\v]*|/\*[\s\S]*?(?:\*/|\Z))
    | (<<\s*(?i:signal|constant|variable)\b[^;"<]*>>)
    | (=>|<=|:=|/=|>=|\*\*|<>|\?\?|\?/=|\?[<>]=|\?[=<>]|[;,():.=&+\-*/|<>\[\]?])
    | (\d[\d_]*(?:\#[\da-fA-F_.]*\#(?:[eE][+-]?\d+)?|(?:\.\d[\d_]*)?(?:[eE][+-]?\d[\d_]*)?))
    | ('[^\r\n]')
    | ("(?:[^"\r\n]|"")*")
    | (')
    | (\\(?:[^\\\r\n]|\\\\)*\\)
    | (`[^\r\n]*)
    | (\S)
    | \Z
    )""",
    re.VERBOSE,
)
_BITS, _WORD, _COMMENT, _EXTERNAL, _MARK, _NUMBER = 1, 2, 3, 4, 5, 6
_CHAR, _STRING, _TICK, _EXTENDED, _DIRECTIVE = 7, 8, 9, 10, 11
_ATOMS = frozenset((_BITS, _NUMBER, _EXTERNAL))

_MEM = re.compile(r"(?:--|/\*)[ \t]*@mem\b")
_SWITCH = re.compile(r"--\s*(?:synthesis|pragma)\s+translate_(off|on)\b", re.IGNORECASE)
# After these a quote is the tick of an attribute or a qualified expression, else it opens a character.
_BEFORE_TICK = frozenset(("NAME", "RPAR", "RBRACK", "STRING"))
# The Property Specification Language, which may stand in VHDL, has these.
_PSL = frozenset("{}!@")
_KEEPS_RUN = frozenset(("NAME", "ATOM", "STRING"))


@dataclass(frozen=True, slots=True)
class Lexed:
    """A file's tokens, the last ones EOF.

    `closing` maps the index of an opening parenthesis to that of its closing one; `stops` are the
    indices of tokens in STOPS, ascending. `comments` are the `@mem` comments, `directives` the lines
    of tool directives, which are not obeyed, `unknown` what is no token of the language.
    """

    tokens: list[Token]
    closing: dict[int, int]
    stops: list[int]
    comments: list[Span]
    directives: list[Span]
    unknown: list[Span]


def lex(source: SourceText) -> Lexed:
    """The tokens of a file; what no token fits becomes one of type BAD."""
    lexed = Lexed([], {}, [], [], [], [])
    at = 0
    while at >= 0:
        at = _scan(source, at, lexed)
    end = len(source.text)
    # Several, so that readers may step over the words they expect before they look where they are.
    lexed.tokens.extend(Token("EOF", "", source.file, end, end) for _ in range(4))
    _pair(lexed)
    return lexed


def _scan(source: SourceText, begin: int, lexed: Lexed) -> int:
    """Lex from `begin`; the place to go on from where a quote was misjudged, -1 at the end."""
    file = source.file
    tokens = lexed.tokens
    append = tokens.append
    terminal = WORD_TERMINALS.get
    for match in _TOKEN.finditer(source.text, begin):
        group = match.lastindex
        if group is None:
            break
        text = match[group]
        start, end = match.span(group)
        if group == _WORD:
            word = intern(text.lower())
            kind = terminal(word, "NAME")
            # A designator may be spelled like a reserved word: a'range, t'subtype, pkg.all.
            if kind != "NAME" and tokens and tokens[-1].end == start and tokens[-1].type in ("TICK", "DOT"):
                kind = "NAME"
            append(Token(kind, word, file, start, end))
        elif group == _MARK:
            append(Token(MARK_TERMINALS[text], text, file, start, end))
        elif group == _COMMENT:
            resume = _comment(source, text, start, end, lexed)
            if resume:
                return resume
        elif group == _CHAR:
            if tokens and tokens[-1].type in _BEFORE_TICK:
                append(Token("TICK", "'", file, start, start + 1))
                return start + 1
            append(Token("ATOM", text, file, start, end))
        elif group in _ATOMS:
            append(Token("ATOM", text, file, start, end))
        elif group == _STRING:
            append(Token("STRING", text, file, start, end))
        elif group == _TICK:
            append(Token("TICK", text, file, start, end))
        elif group == _EXTENDED:
            append(Token("NAME", text, file, start, end))
        elif group == _DIRECTIVE:
            lexed.directives.append(Span(file, start, end))
        else:
            append(Token("BAD", text, file, start, end))
            if text not in _PSL:
                lexed.unknown.append(Span(file, start, end))
    return -1


def _comment(source: SourceText, text: str, start: int, end: int, lexed: Lexed) -> int:
    """Note an `@mem` comment; step over a translate_off region: where to go on, or 0 for just on."""
    if "@mem" in text and _MEM.match(text):
        lexed.comments.append(Span(source.file, start, end))
        return 0
    if "translate_" not in text:
        return 0
    switch = _SWITCH.match(text)
    if switch is None or switch[1].lower() != "off":
        return 0
    for other in _SWITCH.finditer(source.text, end):
        if other[1].lower() == "on":
            return other.end()
    return len(source.text)


def _pair(lexed: Lexed) -> None:
    """Pair parentheses, list the stops, and mark what nests too deep with a type no grammar knows."""
    opened: list[int] = []
    # How many suffixes in a row, at each level of parentheses: a.b.c(1)(2)'d nests as deep as it is long.
    runs = [0]
    for index, token in enumerate(lexed.tokens):
        kind = token.type
        if kind == "LPAR" or kind == "DOT" or kind == "TICK":
            runs[-1] += 1
            if runs[-1] > MAX_NESTING or len(opened) >= MAX_NESTING:
                token.type = "DEEP"
            if kind == "LPAR":
                opened.append(index)
                runs.append(0)
        elif kind == "RPAR":
            if opened:
                lexed.closing[opened.pop()] = index
                runs.pop()
        elif kind not in _KEEPS_RUN:
            runs[-1] = 0
            if kind in STOPS:
                lexed.stops.append(index)
            if kind in BARRIERS:
                opened.clear()
                del runs[1:]
