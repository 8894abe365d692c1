"""The intent comments of a text, found without reading the rest: also in code that is half typed."""

from __future__ import annotations

import re
from dataclasses import dataclass

from memlint.engine.files import VHDL
from memlint.reading.intent.clauses import Clause, Intent
from memlint.reading.intent.comments import Comment, Piece, piece_of
from memlint.reading.intent.reader import clause_extents, read_intents
from memlint.text.source import SourceText

_VERILOG = re.compile(r'"(?:[^"\\\r\n]|\\(?:\r\n|[\s\S]))*"?|//[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)')
# A tick behind a name or a parenthesis is an attribute's or a qualified expression's.
_VHDL = re.compile(r"""(?<![\w)\]"])'[^\r\n]'|"[^"\r\n]*"?|--[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)""")
_ON = re.compile(r"\s*on(?!\w)[^:;\"]*:")


@dataclass(frozen=True, slots=True)
class Written:
    """One intent comment: `first` to `last` is what it says, without marker and closer."""

    comment: Comment
    piece: Piece

    @property
    def first(self) -> int:
        return self.piece.start

    @property
    def last(self) -> int:
        closed = self.comment.block and self.comment.text.endswith("*/")
        return self.comment.end - 2 if closed else self.comment.end

    @property
    def extents(self) -> tuple[tuple[int, int], ...]:
        """Where its clauses stand in the file."""
        return tuple((self.first + start, self.first + end) for start, end in clause_extents(self.piece.text))

    @property
    def after_on(self) -> int:
        """Where its clauses may begin: behind `on path:`, if there is one."""
        found = _ON.match(self.piece.text)
        return self.first + (found.end() if found else 0)


def is_vhdl(source: SourceText, language: str = "") -> bool:
    """Whether a text is VHDL, by its name or by what the editor says."""
    return source.file.endswith(VHDL) or (language == "vhdl" and not source.file.endswith((".v", ".sv")))


def intent_comments(source: SourceText, vhdl: bool) -> tuple[Written, ...]:
    """The intent comments of a file, in its order."""
    if "@mem" not in source.text:
        return ()
    found = []
    for match in (_VHDL if vhdl else _VERILOG).finditer(source.text):
        if "@mem" not in match[0] or match[0][0] in "\"'":
            continue
        line = source.position(match.start()).line
        before = source.text[source.line_starts[line - 1] : match.start()]
        block = match[0].startswith("/*")
        comment = Comment(match.start(), match.end(), match[0], not before.strip(), line, block)
        piece = piece_of(comment)
        if piece is not None:
            found.append(Written(comment, piece))
    return tuple(found)


def written_at(source: SourceText, offset: int, vhdl: bool) -> Written | None:
    """The intent comment that a place lies in, behind its marker."""
    return next((one for one in intent_comments(source, vhdl) if one.first <= offset <= one.last), None)


def intents_in(written: Written, source: SourceText) -> tuple[Intent, ...]:
    """What one comment says by itself, as far as it can be read."""
    return read_intents([written.piece], source)[0]


def clause_at(written: Written, source: SourceText, offset: int) -> Clause | None:
    """The clause at a place, if it can be read."""
    clauses = (clause for intent in intents_in(written, source) for clause in intent.clauses)
    return next((one for one in clauses if one.span.start <= offset <= one.span.end), None)
