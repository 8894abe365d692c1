"""The name of a planned memory: where it stands, and what it may become."""

from __future__ import annotations

import re

from memlint.reading.intent.clauses import Plan
from memlint.server.asking import RequestFailed, Seen
from memlint.server.clock_names import declared, unit_at
from memlint.server.intent_text import clause_at, intent_comments, intents_in, is_vhdl, written_at
from memlint.text.source import SourceText, Span

_NAME = re.compile(r"[^\W\d]\w*")


def plan_name_at(source: SourceText, offset: int, language: str = "") -> Span | None:
    """The name of the planned memory that a place is in."""
    written = written_at(source, offset, is_vhdl(source, language))
    clause = clause_at(written, source, offset) if written is not None else None
    if not isinstance(clause, Plan):
        return None
    start = source.text.index(clause.name, clause.span.start + len("plan"))
    span = Span(source.file, start, start + len(clause.name))
    return span if span.start <= offset <= span.end else None


def check_new_name(name: str, span: Span, seen: Seen) -> None:
    """Raises RequestFailed where a planned memory cannot have this name."""
    if not _NAME.fullmatch(name):
        raise RequestFailed(f"`{name}` is no name: write a letter, then letters, digits and `_`")
    facts = seen.judged.facts_of(seen.source.file)
    unit = unit_at(facts, span.start) if facts is not None else None
    if unit is None:
        return
    if declared(name, unit, seen.judged.facts) is not None:
        raise RequestFailed(f"`{unit.name}` declares a `{name}` already: choose another name")
    for written in intent_comments(seen.source, is_vhdl(seen.source, seen.document.language)):
        is_own = written.first <= span.start <= written.last
        if is_own or not unit.whole.start <= written.first < unit.whole.end:
            continue
        for intent in intents_in(written, seen.source):
            if any(isinstance(one, Plan) and one.name == name for one in intent.clauses):
                raise RequestFailed(f"a `{name}` is planned in `{unit.name}` already: choose another name")
