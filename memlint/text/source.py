"""The text of one file and the places in it."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from itertools import accumulate

from memlint.text.nodes import node

_LINE_END = re.compile(r"\r\n|\r|\n")


@node(frozen=True, slots=True)
class Span:
    """A half-open range of one file's text, in code points from 0.

    `file` is the name findings print: relative to memlint.toml, with `/`.
    """

    file: str
    start: int
    end: int

    def to(self, other: Span) -> Span:
        """The span from the start of this one to the end of `other`, when both lie in one file."""
        if other.file != self.file:
            return self
        return Span(self.file, self.start, max(self.end, other.end))


@dataclass(frozen=True, slots=True)
class Position:
    """A place for people: line and column from 1, the column in code points."""

    line: int
    column: int


@dataclass(frozen=True)
class SourceText:
    """A file's name and its decoded text; positions are found on demand."""

    file: str
    text: str = field(repr=False)

    @cached_property
    def line_starts(self) -> list[int]:
        """Offset of the first code point of each line; LF, CRLF and a lone CR end a line."""
        return line_starts(self.text)

    def position(self, offset: int) -> Position:
        """Line and column of an offset; an offset past the end counts as the end."""
        offset = max(0, min(offset, len(self.text)))
        line = bisect_right(self.line_starts, offset)
        return Position(line, offset - self.line_starts[line - 1] + 1)

    def line_text(self, line: int) -> str:
        """The text of a line (from 1) without its line end."""
        start = self.line_starts[line - 1]
        end = self.line_starts[line] if line < len(self.line_starts) else len(self.text)
        return self.text[start:end].rstrip("\r\n")


def line_starts(text: str) -> list[int]:
    """Offsets at which lines start, by the line ends of the LSP: LF, CRLF, CR and no others."""
    if "\r" not in text:
        # Every edit of a long file comes here.
        return list(accumulate((len(line) + 1 for line in text.split("\n")[:-1]), initial=0))
    return [0, *(match.end() for match in _LINE_END.finditer(text))]


def decode(data: bytes) -> str:
    """Bytes of a source file as text: UTF-8 (a byte order mark dropped), else Latin-1."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")
