"""Edits of intents: a clause put into the intent of a memory, or a new intent comment above it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from memlint.engine.edits import line_above
from memlint.reading.intent.clauses import In
from memlint.rules.drafts import comment, draft
from memlint.rules.finding import Edit
from memlint.rules.view import MemoryView
from memlint.server.intent_text import Written, intent_comments, is_vhdl
from memlint.text.source import SourceText, Span

Sources = Mapping[str, SourceText]

_ATTRIBUTES = re.compile(r"([ \t]*)(?:\(\*[^\r\n]*?\*\)[ \t]*)+")
"""Attributes before a declaration, on its line."""


def with_clause(views: Sequence[MemoryView], clause: str, sources: Sources) -> tuple[Edit, ...]:
    """Adds a clause to the intents of memories, one edit for each declaration or comment; none where one
    of them has no place for it."""
    edits: dict[Edit, None] = {}
    for view in views:
        edit = _appended(view, clause, sources) or new_comment(view, clause, sources)
        if edit is None:
            return ()
        edits[edit] = None
    return tuple(edits)


def moved(views: Sequence[MemoryView], tier: str, sources: Sources) -> tuple[Edit, ...]:
    """Makes the intents of memories name a tier; none where one of them cannot be edited."""
    edits: dict[Edit, None] = {}
    for view in views:
        bound = view.bound(In)
        if bound is None:
            edit = _prepended(view, f"in {tier}", sources) or new_comment(view, f"in {tier}", sources)
        elif bound.clause.span.file in sources:
            edit = Edit(bound.clause.span, f"in {tier}")
        else:
            edit = None
        if edit is None:
            return ()
        edits[edit] = None
    return tuple(edits)


def drafted(views: Sequence[MemoryView], sources: Sources) -> tuple[Edit, ...]:
    """States what the HDL has now, above a declaration without an intent; none where nothing is known."""
    clauses = draft(views)
    edit = new_comment(views[0], clauses, sources) if clauses else None
    return (edit,) if edit is not None else ()


def new_comment(view: MemoryView, clauses: str, sources: Sources) -> Edit | None:
    """A new intent comment for a declaration: above it, or behind it where other code stands before it
    on its line. None where neither can be."""
    memory = view.memory
    source = sources.get(memory.statement.file)
    if source is None or memory.planned or memory.span.file != memory.statement.file:
        return None
    written = comment(memory.language, clauses)
    start, end = memory.statement.start, memory.statement.end
    before = source.text[source.line_starts[source.position(start).line - 1] : start]
    if attributes := _ATTRIBUTES.fullmatch(before):
        start -= len(before) - len(attributes[1])
    above = line_above(source, start, written)
    if above is not None:
        return above
    line = source.position(end).line
    rest = source.text[end : source.line_starts[line - 1] + len(source.line_text(line))]
    if rest.strip() not in ("", ";"):
        return None
    end += len(rest.rstrip())
    return Edit(Span(source.file, end, end), f" {written}")


def _appended(view: MemoryView, clause: str, sources: Sources) -> Edit | None:
    written = _own_comment(view, sources, last=True)
    if written is None:
        return None
    source, one = written
    extents = one.extents
    if not extents:
        return None
    end = extents[-1][1]
    return Edit(Span(source.file, end, end), f"; {clause}")


def _prepended(view: MemoryView, clause: str, sources: Sources) -> Edit | None:
    written = _own_comment(view, sources, last=False)
    if written is None:
        return None
    source, one = written
    extents = one.extents
    if not extents:
        return None
    start = extents[0][0]
    return Edit(Span(source.file, start, start), f"{clause}; ")


def _own_comment(view: MemoryView, sources: Sources, last: bool) -> tuple[SourceText, Written] | None:
    """A comment of the innermost intent that speaks for a memory: its last one, or its first."""
    for bound in reversed(view.memory.intents):
        span = bound.intent.span
        source = sources.get(span.file)
        if source is None:
            continue
        found = [one for one in intent_comments(source, is_vhdl(source)) if _within(one, span)]
        found = [one for one in found if one.extents]
        if found:
            return source, found[-1 if last else 0]
    return None


def _within(written: Written, span: Span) -> bool:
    return span.start <= written.comment.start and written.comment.end <= span.end


def line_edits(source: SourceText, text: str) -> tuple[Edit, ...]:
    """The edits, each of whole lines, that turn a text into another."""
    from difflib import SequenceMatcher

    before, after = _lines(source.text), _lines(text)
    starts = [0]
    for line in before:
        starts.append(starts[-1] + len(line))
    blocks = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    return tuple(
        Edit(Span(source.file, starts[first], starts[last]), "".join(after[start:end]))
        for kind, first, last, start, end in blocks
        if kind != "equal"
    )


def _lines(text: str) -> list[str]:
    return list(_split(text))


def _split(text: str) -> Iterable[str]:
    starts = SourceText("", text).line_starts
    for first, last in zip(starts, [*starts[1:], len(text)], strict=True):
        yield text[first:last]
