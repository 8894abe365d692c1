"""What the names in an intent stand for, and where else they are used."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from memlint.device.lines import line_map
from memlint.reading.facts.items import Unit
from memlint.reading.intent.clauses import Accept, Budget, Clocks, In, Intent
from memlint.rules.view import MemoryView
from memlint.server.analysis import Judged
from memlint.server.clock_names import declared, unit_at, with_entity
from memlint.server.hover import memories_at
from memlint.server.intent_text import intent_comments, intents_in, is_vhdl, written_at
from memlint.text.source import SourceText, Span, decode

_NAME = re.compile(r"[^\W\d][\w$]*(?:\[-?\d+\])*(?:\.[^\W\d][\w$]*(?:\[-?\d+\])*)*")
_COMMENT = re.compile(r'"[^"\r\n]*"|//[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)')
_VHDL_COMMENT = re.compile(r'"[^"\r\n]*"|--[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z)')


@dataclass(frozen=True, slots=True)
class Meant:
    """What a word of an intent means: kind `clock`, `tier`, `rule` or `memory`, its name and its place."""

    kind: str
    name: str
    span: Span


def meant_at(source: SourceText, offset: int, language: str = "") -> Meant | None:
    """The name in an intent that stands at a place."""
    written = written_at(source, offset, is_vhdl(source, language))
    if written is None:
        return None
    for intent in intents_in(written, source):
        for one in _names(intent, source):
            if one.span.start <= offset <= one.span.end:
                return one
    return None


def names_in(source: SourceText, language: str = "") -> Iterator[Meant]:
    """All names in the intents of a file."""
    for written in intent_comments(source, is_vhdl(source, language)):
        for intent in intents_in(written, source):
            yield from _names(intent, source)


def _names(intent: Intent, source: SourceText) -> Iterator[Meant]:
    if intent.on_span is not None:
        yield Meant("memory", intent.on, intent.on_span)
    for clause in intent.clauses:
        match clause:
            case In(tiers=tiers, tier_spans=spans):
                yield from (Meant("tier", name, span) for name, span in zip(tiers, spans, strict=True))
            case Budget(limits=limits, tier_spans=spans):
                yield from (Meant("tier", name, span) for (name, _), span in zip(limits, spans, strict=True))
            case Accept(rule=rule, rule_span=span):
                yield Meant("rule", rule, span)
            case Clocks(span=span, one=False):
                start = span.start + len("clocks")
                for found in _NAME.finditer(source.text, start, span.end):
                    yield Meant("clock", found[0], Span(source.file, found.start(), found.end()))
            case _:
                pass


@dataclass(frozen=True, slots=True)
class Target:
    """A place in a file of the judgement, or (with `path`) a line of another one."""

    span: Span | None = None
    path: Path | None = None
    line: int = 1


def definitions(meant: Meant, judged: Judged) -> list[Target]:
    """Where what a name stands for is declared: nets and memories in the HDL, tiers in the profile."""
    match meant.kind:
        case "clock":
            return _clock(meant, judged)
        case "tier":
            return tier_lines(meant.name, judged)
        case "memory":
            spans = dict.fromkeys(view.memory.span for view in spoken_for(meant.span, judged))
            return [Target(span) for span in spans]
    return []


def spoken_for(span: Span, judged: Judged) -> list[MemoryView]:
    """The memories for which the intent at a place speaks."""
    return [
        view
        for view in judged.judgement.memories
        if any(
            bound.intent.span.file == span.file
            and bound.intent.span.start <= span.start <= bound.intent.span.end
            and (bound.intent.on_span is None or bound.intent.on_span.start == span.start)
            for bound in view.memory.intents
        )
    ]


def _clock(meant: Meant, judged: Judged) -> list[Target]:
    facts = judged.facts_of(meant.span.file)
    unit = unit_at(facts, meant.span.start) if facts is not None else None
    if unit is None:
        return []
    first, _, rest = re.sub(r"\[-?\d+\]", "", meant.name).partition(".")
    found = declared(first, unit, judged.facts)
    if found is not None:
        return [Target(found.span)]
    # `u_pll.clk_out`: a net of an instance.
    for node in judged.design.nodes:
        if node.body.unit is not unit or first not in node.children or not rest:
            continue
        inner = declared(rest, node.children[first].body.unit, judged.facts)
        return [Target(inner.span)] if inner is not None else []
    return []


def tier_lines(name: str, judged: Judged) -> list[Target]:
    """Where the profile declares a tier: in the device's own file, else in what that extends."""
    for file in judged.judgement.device.files:
        try:
            text = decode(Path(file).read_bytes())
            lines = line_map(text)
        except (OSError, ValueError):
            continue
        for path, line in lines.items():
            if len(path) == 3 and path[0] == "tier" and path[2] == "name":
                said = text.splitlines()[line - 1].partition("=")[2]
                if re.match(rf"""\s*["']{re.escape(name)}["']""", said):
                    return [Target(path=Path(file), line=line)]
    return []


def references(meant: Meant, judged: Judged) -> list[Span]:
    """Where else a name of an intent is used: a tier or a rule in every intent of the project, a clock in
    its unit, a memory where it is declared, written and read."""
    match meant.kind:
        case "tier" | "rule":
            return [
                one.span
                for source in judged.judgement.sources.values()
                for one in names_in(source)
                if (one.kind, one.name) == (meant.kind, meant.name)
            ]
        case "clock":
            facts = judged.facts_of(meant.span.file)
            unit = unit_at(facts, meant.span.start) if facts is not None else None
            return list(_uses(meant.name, unit, judged)) if unit is not None else []
        case _:
            return _of_memories(spoken_for(meant.span, judged))


def memory_references(judged: Judged, file: str, offset: int) -> list[Span]:
    """Where the memory at a place is declared, intended, written and read."""
    found = memories_at(judged.judgement, file, offset)
    return _of_memories(list(found[0])) if found is not None else []


def _of_memories(views: list[MemoryView]) -> list[Span]:
    spans: dict[Span, None] = {}
    for view in views:
        memory = view.memory
        spans[memory.span] = None
        spans.update((bound.intent.span, None) for bound in memory.intents)
        spans.update((access.span, None) for port in memory.ports for access in port.accesses)
    return list(spans)


def _uses(name: str, unit: Unit, judged: Judged) -> Iterator[Span]:
    """The name as a whole word in a unit's code and in the clock clauses of its intents."""
    for one in with_entity(unit, judged.facts):
        file = one.whole.file
        source = judged.judgement.sources.get(file)
        if source is None:
            continue
        vhdl = is_vhdl(source)
        start, end = one.whole.start, one.whole.end
        comments = _VHDL_COMMENT if vhdl else _COMMENT
        aside = [found.span() for found in comments.finditer(source.text, start, end)]
        flags = re.IGNORECASE if vhdl else 0
        for found in re.finditer(rf"(?<![\w$.]){re.escape(name)}(?![\w$])", source.text[start:end], flags):
            at = start + found.start()
            if not any(first <= at < last for first, last in aside):
                yield Span(file, at, at + len(name))
        for meant in names_in(source):
            if meant.kind == "clock" and meant.name == name and start <= meant.span.start < end:
                yield meant.span
