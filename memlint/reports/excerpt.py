"""The line of a source that a span starts in, with the span's columns marked."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

from memlint.reports.page import is_control
from memlint.text.source import SourceText, Span

TAB = 4
_CUT = "..."
_READ = 2000
"""Code points looked at on either side of a span's start: nobody's line needs more."""


@dataclass(frozen=True, slots=True)
class Excerpt:
    """A line as shown and, column by column below it, the marks; `last_line` where the span ends later."""

    line: str
    marks: str
    last_line: int | None = None


def excerpt(source: SourceText, span: Span, width: int, mark: str = "=") -> Excerpt | None:
    """The span's first line in at most `width` columns; None where that line is blank.

    Indentation is left out, tabs become spaces, a wide character takes two columns and a combining one
    none, and a line that is too long is cut around the span.
    """
    start, end = source.position(span.start), source.position(max(span.start, span.end))
    text = source.line_text(start.line)
    if not text.strip():
        return None
    first = start.column - 1
    last = end.column - 1 if end.line == start.line else len(text.rstrip())
    last = max(last, first + 1)
    margin = min(first, len(text) - len(text.lstrip()))
    low = max(margin, first - _READ)
    cells, columns = _cells(text[low : first + _READ])
    begin = _column(columns, first - low)
    stop = max(begin + 1, _column(columns, last - low))
    cells += [" "] * (stop - len(cells))
    marks = [mark if begin <= at < stop else " " for at in range(len(cells))]
    is_cut = (low > margin, first + _READ < len(text))
    line, marked = _windowed(cells, marks, begin, stop, width, is_cut)
    ends_later = end.line if end.line > start.line else None
    return Excerpt(line, marked, ends_later)


def _cells(text: str) -> tuple[list[str], list[int]]:
    """What stands in each column, and the column of each code point and of the end.

    The second column of a wide character is an empty cell.
    """
    cells: list[str] = []
    columns: list[int] = []
    for character in text:
        columns.append(len(cells))
        if character == "\t":
            cells += [" "] * (TAB - len(cells) % TAB)
        elif is_control(character):
            cells.append("?")
        elif unicodedata.category(character) in ("Mn", "Me") and cells:
            at = len(cells) - 1 if cells[-1] else len(cells) - 2
            cells[at] += character
        elif unicodedata.east_asian_width(character) in ("W", "F"):
            cells += [character, ""]
        else:
            cells.append(character)
    columns.append(len(cells))
    return cells, columns


def _column(columns: list[int], at: int) -> int:
    """The column of a code point; one past the end counts on from there."""
    return columns[at] if at < len(columns) else columns[-1] + at - len(columns) + 1


def _windowed(
    cells: list[str], marks: list[str], begin: int, stop: int, width: int, is_cut: tuple[bool, bool]
) -> tuple[str, str]:
    """The cells and marks that fit the width, so that the marked ones are seen."""
    left, right = 0, len(cells)
    if right > width or any(is_cut):
        inner = width - 2 * len(_CUT)
        left = max(0, min(begin - max(0, inner - (stop - begin)) // 3, right - inner))
        right = min(right, left + inner)
    before = _CUT if left > 0 or is_cut[0] else ""
    after = _CUT if right < len(cells) or is_cut[1] else ""
    shown = cells[left:right]
    if shown and not shown[0]:
        shown[0] = " "
    if after and right < len(cells) and not cells[right]:
        shown[-1] = " "
    line = before + "".join(shown) + after
    return line.rstrip(), (" " * len(before) + "".join(marks[left:right])).rstrip()
