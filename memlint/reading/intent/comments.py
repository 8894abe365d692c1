"""Which comments are intents, and which of them are one intent."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from memlint.text.source import SourceText

_MARKER = re.compile(r"(?://|--|/\*)[ \t]*@mem(?!\w)")
# The star that many styles draw down the left of a block comment.
_STAR = re.compile(r"(?<=[\r\n])[ \t]*\*(?!/)")
_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment of a source file, `text` with its opener (and closer), `start` to `end` its extent.

    A line comment ends before its line end. `own_line`: nothing but blanks stands before it on its line.
    `line` counts from 1. `block` comments are those in `/* */`.
    """

    start: int
    end: int
    text: str
    own_line: bool
    line: int
    block: bool


@dataclass(frozen=True, slots=True)
class Piece:
    """What follows the marker of one comment: `text`, whose first code point lies at `start`.

    `outer` is the extent of the whole comment.
    """

    start: int
    text: str
    outer: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Group:
    """The comments that are one intent, in the order of the file; never empty."""

    pieces: tuple[Piece, ...]
    own_line: bool

    @property
    def start(self) -> int:
        return self.pieces[0].outer[0]

    @property
    def end(self) -> int:
        return self.pieces[-1].outer[1]


def piece_of(comment: Comment) -> Piece | None:
    """What a comment says after `@mem`, None when it has no marker straight after its opener."""
    marker = _MARKER.match(comment.text)
    if marker is None:
        return None
    text = comment.text[marker.end() :]
    if comment.block:
        text = _STAR.sub(lambda star: " " * len(star[0]), text.removesuffix("*/"))
    return Piece(comment.start + marker.end(), text, (comment.start, comment.end))


def group_comments(comments: Iterable[Comment], source: SourceText) -> tuple[Group, ...]:
    """The intents among a file's comments, which come in the order of the file.

    Own-line `@mem` comments on consecutive lines are one group; a comment after code is one by itself.
    """
    groups: list[Group] = []
    for comment in comments:
        piece = piece_of(comment)
        if piece is None:
            continue
        last = groups[-1] if groups else None
        if last and last.own_line and _follows(source.text[last.end : comment.start]):
            groups[-1] = Group((*last.pieces, piece), own_line=True)
        else:
            groups.append(Group((piece,), comment.own_line))
    return tuple(groups)


def _follows(between: str) -> bool:
    """Whether two comments with this text between them stand on the same line or on consecutive ones."""
    return not between.strip() and len(_LINE_END.findall(between)) <= 1
