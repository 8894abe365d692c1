"""Intent comments in their one spelling. Only comments that can be read whole are touched, and each still
means what it meant."""

from __future__ import annotations

import re
from collections.abc import Iterator

from memlint.reading.intent.clauses import Clause, Holds, Intent, Shape, Times
from memlint.reading.intent.comments import Piece
from memlint.reading.intent.format import format_clause
from memlint.reading.intent.reader import read_intents
from memlint.rules.finding import Edit
from memlint.server.intent_text import Written, intent_comments
from memlint.text.source import SourceText, Span

_RECKONED = re.compile(r"[-+*()]")


def format_edits(source: SourceText, vhdl: bool) -> Iterator[Edit]:
    """An edit for each intent comment that is spelt in another way."""
    for written in intent_comments(source, vhdl):
        text = _formatted(written, source)
        if text is not None and text != written.comment.text:
            yield Edit(Span(source.file, written.comment.start, written.comment.end), text)


def _formatted(written: Written, source: SourceText) -> str | None:
    """The whole comment, None where it is better left alone: more than one line, a mistake in it, or
    nothing but a beginning."""
    comment, text = written.comment, written.comment.text
    if "\n" in text or "\r" in text or (comment.block and not text.endswith("*/")):
        return None
    intents, problems = read_intents([written.piece], source)
    # What is wrong only between comments (a plan whose shape is on the next line) is none of this one's.
    if len(intents) != 1 or _unreadable(written, intents[0]) or any(one.repair for one in problems):
        return None
    on = f" on {intents[0].on}:" if intents[0].on else ""
    clauses = "; ".join(_spelt(clause, source) for clause in intents[0].clauses)
    made = f"{text[:2]} @mem{on} {clauses}{' */' if comment.block else ''}"
    again, _ = read_intents([_piece(made, comment.block)], SourceText(source.file, made))
    return made if again == intents else None


def _unreadable(written: Written, intent: Intent) -> bool:
    return len(written.extents) != len(intent.clauses)


def _piece(comment: str, block: bool) -> Piece:
    start = comment.index("@mem") + len("@mem")
    text = comment[start:].removesuffix("*/") if block else comment[start:]
    return Piece(start, text, (0, len(comment)))


def _spelt(clause: Clause, source: SourceText) -> str:
    """The clause; arithmetic stays as its author wrote it, since it says where a number comes from."""
    said = source.text[clause.span.start : clause.span.end]
    if isinstance(clause, Shape | Times | Holds) and _RECKONED.search(said):
        return " ".join(said.split())
    return format_clause(clause)
