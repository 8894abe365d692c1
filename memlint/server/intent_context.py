"""What is known around the place where someone writes an intent, from the last answer about the file."""

from __future__ import annotations

import re
from collections.abc import Iterator

from memlint.design.elaborate import inner_items
from memlint.reading.facts.items import Instance, Unit
from memlint.rules.view import MemoryView
from memlint.server.analysis import FileAnswer, Judged
from memlint.server.clock_names import clock_names, unit_at
from memlint.server.completion import Known
from memlint.server.documents import Document
from memlint.server.hints import declared
from memlint.server.intent_text import is_vhdl
from memlint.text.source import SourceText, Span

_MOST_PATHS = 300
_INDEX = re.compile(r"\[-?\d+\]")
_ASIDE = re.compile(r"//[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)|\(\*[\s\S]*?(?:\*\)|\Z)")
_VHDL_ASIDE = re.compile(r"--[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)")
"""What may stand between an intent and the statement it belongs to: comments, and attributes."""


def known_around(answer: FileAnswer | None, document: Document, offset: int) -> Known:
    """What the last answer knows about a place in a text that may have changed since, around that place."""
    if answer is None or answer.judged is None:
        return Known(None)
    judged, source = answer.judged, answer.source
    at = _in_older(source.text, document.source.text, offset)
    facts = judged.facts_of(source.file)
    unit = unit_at(facts, at) if facts is not None else None
    instance = _instance(unit, source, at) if unit is not None else None
    return Known(
        judged.judgement.device,
        clock_names(unit, judged.facts) if unit is not None else (),
        _spoken_for(judged, source, at) or _declared_there(judged, source, at),
        instance is not None,
        tuple(_below(instance, judged)) if instance is not None else (),
    )


def _in_older(old: str, new: str, offset: int) -> int:
    """Whoever types changes what is around the cursor: behind it the text is as it was."""
    shift = len(old) - len(new)
    at = offset + shift if old[offset + shift :] == new[offset:] else offset
    return max(0, min(at, len(old)))


def _spoken_for(judged: Judged, source: SourceText, at: int) -> tuple[MemoryView, ...]:
    return tuple(
        view
        for view in judged.judgement.memories
        if any(
            bound.intent.span.file == source.file
            and bound.intent.span.start <= at <= bound.intent.span.end + 1
            for bound in view.memory.intents
        )
    )


def _declared_there(judged: Judged, source: SourceText, at: int) -> tuple[MemoryView, ...]:
    """The memories of the declaration that a comment at a place belongs to."""
    views = [view for view in judged.judgement.memories if view.memory.statement.file == source.file]
    starts = {view.memory.statement.start for view in views if _belongs(view.memory.statement, source, at)}
    return tuple(view for view in views if view.memory.statement.start in starts)


def _instance(unit: Unit, source: SourceText, at: int) -> Instance | None:
    """The instance that a comment at a place belongs to."""
    items = (inner for item in unit.items for inner in (item, *inner_items(item)))
    instances = (one for one in items if isinstance(one, Instance))
    return next((one for one in instances if _belongs(one.statement, source, at)), None)


def _belongs(statement: Span, source: SourceText, at: int) -> bool:
    """Whether a comment at a place belongs to a statement: the next one, or the one that ends before it on
    its line."""
    if statement.file != source.file:
        return False
    line = source.position(at).line
    start = source.line_starts[line - 1]
    end = start + len(source.line_text(line))
    aside = _VHDL_ASIDE if is_vhdl(source) else _ASIDE
    if statement.start >= at:
        return not aside.sub("", source.text[min(end, statement.start) : statement.start]).strip()
    return start <= statement.end <= at and not aside.sub("", source.text[statement.end : end]).strip(" \t;")


def _below(instance: Instance, judged: Judged) -> Iterator[tuple[str, str]]:
    """The memories in an instance by their paths from there; where several differ in an index only, the path
    that means them all comes first."""
    tops = [
        f"{node.path}."
        for node in judged.design.nodes
        if node.child is not None and node.child.instance.span == instance.span
    ]
    by_path: dict[str, list[MemoryView]] = {}
    for view in judged.judgement.memories:
        for top in tops:
            if view.memory.path.startswith(top):
                by_path.setdefault(view.memory.path.removeprefix(top), []).append(view)
    alike: dict[str, list[str]] = {}
    for path in by_path:
        alike.setdefault(_INDEX.sub("[*]", path), []).append(path)
    found = [
        (pattern, [view for path in paths for view in by_path[path]])
        for pattern, paths in alike.items()
        if len(paths) > 1
    ]
    for path, views in [*found, *by_path.items()][:_MOST_PATHS]:
        yield path, declared(views)
