"""What a text report is written on: its width, its colours, how it names files, how it wraps."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from memlint.text.source import SourceText, Span

WIDTH = 100
"""Columns of a report that no terminal bounds."""

_RESET = "\x1b[0m"

COLOURS: Mapping[str, str] = {
    "error": "\x1b[1;38;5;167m",
    "warning": "\x1b[1;38;5;172m",
    "note": "\x1b[1;38;5;67m",
    "mark": "\x1b[38;5;172m",
    "title": "\x1b[1m",
    "quiet": "\x1b[38;5;245m",
}
"""Escape sequences by what is painted; an empty mapping is a page without colours."""


def _same(name: str) -> str:
    return name


@dataclass(frozen=True, slots=True)
class Page:
    """`shown` turns the name of a project's file into the one a reader can open."""

    width: int = WIDTH
    colours: Mapping[str, str] = field(default_factory=dict)
    shown: Callable[[str], str] = _same

    def paint(self, text: str, role: str) -> str:
        """The text in the colour of its role, where the page has colours."""
        colour = self.colours.get(role)
        return f"{colour}{text}{_RESET}" if colour and text else text

    def place(self, span: Span, sources: Mapping[str, SourceText]) -> str:
        """`file:line:column`; the file alone where its text is not known."""
        source = sources.get(span.file)
        if source is None:
            return self.shown(span.file)
        at = source.position(span.start)
        return f"{self.shown(span.file)}:{at.line}:{at.column}"

    def block(self, label: str, text: str, *, indent: int, first: str = "", role: str = "") -> list[str]:
        """Text wrapped to the page beside a label of `indent` columns; `first` opens its first line."""
        room = max(20, self.width - indent - len(first))
        wrapped = wrap(text, room)
        lines = [f"{self.paint(label, role)}{' ' * (indent - len(label))}{first}{wrapped[0]}"]
        lines += [f"{' ' * (indent + len(first))}{line}" for line in wrapped[1:]]
        return [line.rstrip() for line in lines]

    def items(self, label: str, texts: Iterable[str], *, indent: int, role: str = "") -> list[str]:
        """A list beside a label, each of its texts wrapped behind a dash."""
        lines: list[str] = []
        for text in texts:
            lines += self.block(label, text, indent=indent, first="- ", role=role)
            label = ""
        return lines


def wrap(text: str, width: int) -> list[str]:
    """Lines of at most `width` columns; paths and names are never broken. At least one line."""
    return textwrap.wrap(clean(text), width, break_long_words=False, break_on_hyphens=False) or [""]


def clean(text: str) -> str:
    """Text without characters that would steer a terminal or turn its reading order."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(" " if one in "\t\r\n" else "?" if is_control(one) else one for one in text)


def is_control(character: str) -> bool:
    """Whether a character has an effect in place of a shape."""
    return unicodedata.category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp")
