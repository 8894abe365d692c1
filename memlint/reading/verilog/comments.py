"""The comments that mean something: intents, and the pairs that switch translation off and on."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import TypeAlias

from memlint.reading.verilog.lexer import COMMENT, STRING, Lexed
from memlint.text.source import SourceText, Span

# The last branch, a block comment never closed, keeps the search from starting anew within it.
_COMMENT = re.compile(rf"{STRING}|({COMMENT})|/\*[\s\S]*")
_START = itemgetter(3)


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment that starts with `@mem`; `text` with its opener.

    `own_line`: only white space and other comments stand before it on its line. `line_start` is the
    offset of that line: code that ends after it is on the same line.
    """

    file: str
    start: int
    end: int
    text: str
    own_line: bool
    line_start: int

    @property
    def span(self) -> Span:
        """The comment's place."""
        return Span(self.file, self.start, self.end)


@dataclass(frozen=True, slots=True)
class Switch:
    """A comment that switches translation off (until the next `on` in the same file) or on."""

    off: bool
    span: Span


Mark: TypeAlias = Comment | Switch


def marks(
    source: SourceText, lexed: Lexed, prefixes: Sequence[str], first: int = 0, last: int | None = None
) -> dict[int, list[Mark]]:
    """The meaningful comments from offset `first` to `last`, by the index of the token they stand before.

    A comment within a macro's text is given at its `define, never as one on its own line: it belongs to
    no statement there. `prefixes` are the words that may stand before `translate_off`.
    """
    text = source.text
    words = "|".join(map(re.escape, prefixes)) or "(?!)"
    meaningful = re.compile(rf"/[/*]\s*(?:@mem(?!\w)|(?i:(?:{words})\s+translate[_ ](off|on)(?!\w)))")
    tokens = lexed.tokens
    found: dict[int, list[Mark]] = {}
    seen_to = -1
    last = len(text) if last is None else last
    for hit in meaningful.finditer(text, first, last):
        if hit.start() < seen_to:
            continue
        after = bisect_right(tokens, hit.start(), key=_START)
        before = tokens[after - 1] if after else None
        in_define = before is not None and before.end > hit.start()
        if before is None:
            start, end, at = first, tokens[0].start, 0
        elif in_define:
            start, end, at = before.start, before.end, after - 1
            if before.kind != "dir":
                continue
        else:
            start, end, at = before.end, tokens[after].start if after < len(tokens) else last, after
        seen_to = end
        for comment in _COMMENT.finditer(text, start, end):
            meant = meaningful.match(text, comment.start()) if comment[1] else None
            if meant is None:
                continue
            mark = _mark(source, comment, meant[1], start)
            if isinstance(mark, Comment) and in_define:
                mark = Comment(mark.file, mark.start, mark.end, mark.text, False, mark.line_start)
            if isinstance(mark, Comment) or not in_define:
                found.setdefault(at, []).append(mark)
    return found


def _mark(source: SourceText, comment: re.Match[str], switch: str | None, gap: int) -> Mark:
    start, end = comment.span()
    if switch:
        return Switch(switch.lower() == "off", Span(source.file, start, end))
    line_start = source.line_starts[bisect_right(source.line_starts, start) - 1]
    own_line = gap == 0 or line_start >= gap
    return Comment(source.file, start, end, comment[0], own_line, line_start)
