"""Changes an editor reports, applied to a text. Nothing is changed in place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from memlint.text.encodings import Encoding, offset_at
from memlint.text.source import SourceText


@dataclass(frozen=True, slots=True)
class RangeChange:
    """Replace what lies between two protocol positions, (line, character) from 0, by `text`."""

    start: tuple[int, int]
    end: tuple[int, int]
    text: str


@dataclass(frozen=True, slots=True)
class WholeChange:
    """Replace the whole text."""

    text: str


def apply_changes(
    source: SourceText, changes: Iterable[RangeChange | WholeChange], encoding: Encoding
) -> SourceText:
    """The text after all changes, in order: positions of each refer to what the one before it left.

    Positions out of range are clamped as `offset_at` says; a range whose ends are swapped is turned.
    """
    for change in changes:
        source = replace(source, text=_applied(source, change, encoding))
    return source


def _applied(source: SourceText, change: RangeChange | WholeChange, encoding: Encoding) -> str:
    if isinstance(change, WholeChange):
        return change.text
    start, end = sorted(offset_at(source, *place, encoding) for place in (change.start, change.end))
    return source.text[:start] + change.text + source.text[end:]
