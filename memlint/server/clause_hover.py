"""What hovering over a clause of an intent shows: what it says, and what that comes to here."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.device.facts import Device
from memlint.engine.totals import instance_totals
from memlint.reading.intent.clauses import (
    Accept,
    Budget,
    Clause,
    Clocks,
    Holds,
    In,
    Intent,
    Shape,
    WriteLanes,
)
from memlint.reading.intent.wording import first_word
from memlint.rules import wording
from memlint.rules.base import rule_named
from memlint.rules.docs import documentation
from memlint.rules.view import MemoryView
from memlint.server.analysis import Judged
from memlint.server.hints import one_memory
from memlint.server.hover import HoverText
from memlint.server.intent_text import clause_at, intent_comments, intents_in, is_vhdl
from memlint.server.intent_words import CLAUSES, ON, tier_facts
from memlint.text.source import SourceText, Span

_MOST_INSTANCES = 8


def clause_hover(judged: Judged, source: SourceText, offset: int, language: str) -> HoverText | None:
    """The hover on the clause, or the path after `on`, at a place of an intent; elsewhere in it, for what it
    speaks. None outside intents."""
    comments = intent_comments(source, is_vhdl(source, language))
    written = next((one for one in comments if one.comment.start <= offset <= one.comment.end), None)
    if written is None:
        return None
    views = _spoken_for(judged, source.file, written.comment.start, written.comment.end)
    speaks = [f"`{view.memory.path}`: {one_memory(view)}" for view in views[:_MOST_INSTANCES]]
    if len(views) > _MOST_INSTANCES:
        speaks.append(f"and {len(views) - _MOST_INSTANCES} more")
    for intent in intents_in(written, source):
        if intent.on_span is not None and intent.on_span.start <= offset <= intent.on_span.end:
            on = (("Says", (ON.says,)), ("Speaks for", tuple(speaks or ["no memory"])))
            return HoverText(f"on {intent.on}", on, intent.on_span)
    clause = clause_at(written, source, offset)
    if clause is None:
        whole = Span(source.file, written.comment.start, written.comment.end)
        return HoverText("@mem", (("Speaks for", tuple(speaks)),), whole) if speaks else None
    said = " ".join(source.text[clause.span.start : clause.span.end].split())
    sections: list[tuple[str, tuple[str, ...]]] = [("Says", (CLAUSES[first_word(said)].says,))]
    sections += [(heading, tuple(lines)) for heading, lines in _here(clause, views, judged) if lines]
    if speaks:
        sections.append(("Speaks for", tuple(speaks)))
    return HoverText(said, tuple(sections), clause.span)


def _spoken_for(judged: Judged, file: str, start: int, end: int) -> list[MemoryView]:
    """The memories that the comment's intents speak for."""

    def covers(intent: Intent) -> bool:
        span = intent.span
        return span.file == file and span.start <= start and end <= span.end

    return [
        view
        for view in (*judged.judgement.memories, *judged.judgement.outside)
        if any(covers(bound.intent) for bound in view.memory.intents)
    ]


def _here(clause: Clause, views: list[MemoryView], judged: Judged) -> Iterator[tuple[str, list[str]]]:
    device = judged.judgement.device
    match clause:
        case In():
            for name in clause.tiers:
                yield f"Tier {name}", _tier(name, device)
        case Shape():
            yield "Comes to", [_size(clause)]
        case Holds():
            yield "Comes to", [wording.bits(clause.bits)]
        case Accept():
            rule = rule_named(clause.rule)
            if rule is not None:
                yield f"Rule {clause.rule}", [documentation(rule).summary]
        case Budget():
            yield "Taken now", list(_taken(clause, judged))
        case Clocks(one=False):
            nets = dict.fromkeys(_net(name, clause, view) for view in views for name in clause.names)
            yield "Nets", list(nets)
        case WriteLanes():
            lanes = dict.fromkeys(wording.listed(map(str, view.memory.lanes)) for view in views)
            yield "The HDL writes", [f"{one} bits" if one else "whole words" for one in lanes]
        case _:
            pass


def _size(shape: Shape) -> str:
    return f"{wording.shape(shape.depth, shape.width)} = {wording.bits(shape.depth * shape.width)} a bank"


def _tier(name: str, device: Device) -> list[str]:
    tier = device.tier(name)
    return [f"`{device.name}` has no such tier"] if tier is None else tier_facts(tier, device)


def _taken(clause: Budget, judged: Judged) -> Iterator[str]:
    """What each instance of the unit that the budget stands in takes."""
    places = {place.path: place for place in instance_totals(judged.judgement)}
    for node in judged.design.nodes:
        if not any(clause.span == one.span for intent in node.body.intents for one in intent.clauses):
            continue
        sums = {one.tier: one for one in places[node.path].tiers} if node.path in places else {}
        parts = [
            f"{wording.amount(sums[tier].blocks) if tier in sums else 0} of {wording.amount(most)} {tier}"
            for tier, most in clause.limits
        ]
        yield f"`{node.path}`: {', '.join(parts)}"


def _net(name: str, clause: Clocks, view: MemoryView) -> str:
    for bound in view.memory.intents:
        if any(one.span == clause.span for one in bound.intent.clauses):
            found = dict(bound.clocks).get(name)
            return f"`{name}` is `{found.net}`" if found is not None else f"`{name}` is no net here"
    return f"`{name}`"
