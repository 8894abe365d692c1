"""Columns as editors count them: in UTF-8, UTF-16 or UTF-32 code units, from 0."""

from __future__ import annotations

from enum import StrEnum

from memlint.text.source import SourceText


class Encoding(StrEnum):
    """A position encoding of the Language Server Protocol 3.17; utf-16 is what its clients default to."""

    UTF_8 = "utf-8"
    UTF_16 = "utf-16"
    UTF_32 = "utf-32"


def units_in(text: str, encoding: Encoding) -> int:
    """How many code units a text takes. A lone surrogate counts as one of UTF-16, three of UTF-8."""
    if encoding is Encoding.UTF_32 or text.isascii():
        return len(text)
    return sum(_units_of(char, encoding) for char in text)


def column_at(line: str, character: int, encoding: Encoding) -> int:
    """The column (code points from 0) of a character offset in code units within a line.

    Past the end of the line is its end; in the middle of a code point is the code point's start.
    """
    if encoding is Encoding.UTF_32 or line.isascii():
        return max(0, min(character, len(line)))
    left = character
    for column, char in enumerate(line):
        left -= _units_of(char, encoding)
        if left < 0:
            return column
    return len(line)


def offset_at(source: SourceText, line: int, character: int, encoding: Encoding) -> int:
    """The offset of a protocol position (line and character from 0) in a text.

    Clamped as the protocol says: a character past the end of its line is the end of the line, before
    its line end; a line past the last is the end of the text.
    """
    if line < 0:
        return 0
    if line >= len(source.line_starts):
        return len(source.text)
    return source.line_starts[line] + column_at(source.line_text(line + 1), character, encoding)


def protocol_position(source: SourceText, offset: int, encoding: Encoding) -> tuple[int, int]:
    """Line and character (both from 0) of an offset; one inside a CR LF counts as before it."""
    position = source.position(offset)
    before = source.line_text(position.line)[: position.column - 1]
    return position.line - 1, units_in(before, encoding)


def _units_of(char: str, encoding: Encoding) -> int:
    """Code units of one code point (RFC 3629 for UTF-8, RFC 2781 for UTF-16)."""
    code = ord(char)
    if encoding is Encoding.UTF_16:
        return 2 if code > 0xFFFF else 1
    if code < 0x80:
        return 1
    if code < 0x800:
        return 2
    return 3 if code < 0x10000 else 4
