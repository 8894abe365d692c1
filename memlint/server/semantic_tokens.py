"""The words of intents, told apart for colouring. Nothing outside intents is touched."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from lsprotocol import types

from memlint.server.intent_text import Written, intent_comments
from memlint.server.intent_words import CLAUSES
from memlint.text.encodings import Encoding, units_in
from memlint.text.source import SourceText

_T = types.SemanticTokenTypes
TYPES = (_T.Decorator, _T.Keyword, _T.EnumMember, _T.Number, _T.String, _T.Variable, _T.Property, _T.Operator)
LEGEND = types.SemanticTokensLegend([one.value for one in TYPES], [])

_TOKEN = re.compile(
    r'(?P<string>"[^"]*"?)|(?P<number>\d[\w.]*)|(?P<operator><=|[-+*(),:;])'
    r"|(?P<word>[^\W\d][\w$-]*(?:\[[\w*-]*\])*(?:\.[^\W\d][\w$]*(?:\[[\w*-]*\])*)*)"
)
_WORDS = {
    "in": {"or"},
    "one": {"clock"},
    "read": {"within", "cycle", "cycles"},
    "write": {"lanes"},
    "ecc": {"in", "word"},
    "same": {"address", "before", "after", "any", "never"},
    "initial": {"contents"},
    "shape": {"x"},
    "holds": {"x", "at"},
    "ports": {"rom"},
    "accept": {"because"},
}
"""The words of each clause that are no names."""

_NAMES = {"in": _T.EnumMember, "budget": _T.EnumMember, "accept": _T.EnumMember, "clocks": _T.Variable}


@dataclass(frozen=True, slots=True)
class Coloured:
    """A piece of one line."""

    start: int
    end: int
    kind: types.SemanticTokenTypes


def tokens_of(source: SourceText, vhdl: bool) -> Iterator[Coloured]:
    """The tokens of a file's intents, in its order; none spans a line end."""
    for written in intent_comments(source, vhdl):
        marker = written.comment.start + written.comment.text.index("@mem")
        yield Coloured(marker, marker + len("@mem"), _T.Decorator)
        for token in _of_clauses(written):
            yield from _by_line(token, source)


def _of_clauses(written: Written) -> Iterator[Coloured]:
    text, base = written.piece.text, written.first
    head = ""
    on = re.match(r"\s*on(?!\w)[^:;\"]*:", text)
    for found in _TOKEN.finditer(text):
        start, end = base + found.start(), base + found.end()
        if found.lastgroup == "operator" and found[0] == ";":
            head = ""
        kind = _kind(found, head, on is not None and found.end() <= on.end())
        if found.lastgroup == "word" and not head and not (on and found.end() <= on.end()):
            head = found[0]
        if kind is not None:
            yield Coloured(start, end, kind)


def _kind(found: re.Match[str], head: str, in_path: bool) -> types.SemanticTokenTypes | None:
    match found.lastgroup:
        case "string":
            return _T.String
        case "number":
            return _T.Number
        case "operator":
            return _T.Operator
    word = found[0]
    if in_path:
        return _T.Keyword if word == "on" else _T.Property
    if not head:
        return _T.Keyword if word in CLAUSES else None
    return _T.Keyword if word in _WORDS.get(head, ()) else _NAMES.get(head, _T.Property)


def _by_line(token: Coloured, source: SourceText) -> Iterator[Coloured]:
    start = token.start
    while start < token.end:
        line = source.position(start).line
        end = min(token.end, source.line_starts[line - 1] + len(source.line_text(line)))
        if end > start:
            yield Coloured(start, end, token.kind)
        start = source.line_starts[line] if line < len(source.line_starts) else token.end


def encoded(tokens: Iterator[Coloured], source: SourceText, encoding: Encoding) -> list[int]:
    """The tokens as numbers, each place relative to the one before (LSP 3.17, "Semantic Tokens")."""
    data: list[int] = []
    last_line = last_column = 0
    for token in tokens:
        place = source.position(token.start)
        line = place.line - 1
        before = source.line_text(place.line)[: place.column - 1]
        column = units_in(before, encoding)
        length = units_in(source.text[token.start : token.end], encoding)
        step = column - last_column if line == last_line else column
        data += [line - last_line, step, length, TYPES.index(token.kind), 0]
        last_line, last_column = line, column
    return data
