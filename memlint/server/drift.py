"""Where a line of an older text is now."""

from __future__ import annotations

from collections.abc import Callable

from memlint.text.source import SourceText


def moved_line(old: SourceText, new: SourceText) -> Callable[[int], int | None]:
    """Maps lines (from 0) of the old text to the new; None for a line in what was changed.

    Everything between the first and the last line that differ counts as changed: what lies around one
    edit keeps its place, which is all that typing needs.
    """
    if old.text == new.text:
        return lambda line: line
    before, after = _lines(old), _lines(new)
    most = min(len(before), len(after))
    same_above = next((at for at in range(most) if before[at] != after[at]), most)
    same_below = next(
        (at for at in range(most - same_above) if before[-1 - at] != after[-1 - at]), most - same_above
    )
    shift = len(after) - len(before)

    def moved(line: int) -> int | None:
        if line < same_above:
            return line
        return line + shift if line >= len(before) - same_below else None

    return moved


def _lines(source: SourceText) -> list[str]:
    return [source.line_text(line) for line in range(1, len(source.line_starts) + 1)]
