"""Give the intents of a file's comments to the declarations and instances they speak for."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from memlint.reading.facts.children import item_fields, items_within
from memlint.reading.facts.expressions import DataType
from memlint.reading.facts.items import Instance, Item, Unit, Variable
from memlint.reading.intent.attach import StatementPlace, attach, outside_units, read_comments
from memlint.reading.intent.clauses import Intent
from memlint.reading.intent.comments import Comment as IntentComment
from memlint.reading.verilog.comments import Comment
from memlint.reading.verilog.phases import Phases
from memlint.reading.verilog.tokens import Token
from memlint.text.source import SourceText, Span

# Room on Python's stack for the longest chain of generate branches.
_DEEP = 10_000
UNATTACHED = "intent-unattached"
_MAY_BE_ARRAYS = frozenset(("named", "struct", "union"))


def with_intents(
    units: tuple[Unit, ...],
    outside: tuple[Item, ...],
    tokens: Sequence[Token],
    comments: Sequence[Comment],
    sources: Mapping[str, SourceText],
) -> tuple[tuple[Unit, ...], tuple[Item, ...], list[Phases]]:
    """Units and items with their intents, and what is wrong with the intents of each file."""
    limit = sys.getrecursionlimit()
    sys.setrecursionlimit(max(limit, _DEEP))
    try:
        return _with_intents(units, outside, tokens, comments, sources)
    finally:
        sys.setrecursionlimit(limit)


def _with_intents(
    units: tuple[Unit, ...],
    outside: tuple[Item, ...],
    tokens: Sequence[Token],
    comments: Sequence[Comment],
    sources: Mapping[str, SourceText],
) -> tuple[tuple[Unit, ...], tuple[Item, ...], list[Phases]]:
    problems: list[Phases] = []
    given: dict[Span, tuple[Intent, ...]] = {}
    for file in dict.fromkeys(comment.file for comment in comments):
        source = sources.get(file)
        if source is None:
            continue
        groups, found = read_comments(
            [_plain(comment, source) for comment in comments if comment.file == file], source
        )
        places, spans = _places(file, units, outside, tokens)
        attachment = attach(groups, places, source)
        for index, intents in attachment.statements.items():
            given[spans[index]] = intents
        units, lost = _unit_intents(units, file, attachment.units)
        problems.append(
            Phases(
                found,
                tuple(one for one in attachment.problems if one.rule == UNATTACHED),
                tuple(one for one in attachment.problems if one.rule != UNATTACHED),
                tuple(outside_units(intent) for intent in lost),
            )
        )
    if given:
        units = tuple(_give(unit, given) for unit in units)
        outside = tuple(_give(item, given) for item in outside)
    return units, outside, problems


def _plain(comment: Comment, source: SourceText) -> IntentComment:
    return IntentComment(
        comment.start,
        comment.end,
        comment.text,
        comment.own_line,
        source.position(comment.start).line,
        comment.text.startswith("/*"),
    )


def _unit_intents(
    units: tuple[Unit, ...], file: str, found: Sequence[tuple[int, Intent]]
) -> tuple[tuple[Unit, ...], list[Intent]]:
    lost: list[Intent] = []
    changed = list(units)
    for offset, intent in found:
        for at, unit in enumerate(changed):
            if unit.whole.file == file and unit.whole.start <= offset < unit.whole.end:
                changed[at] = replace(unit, intents=(*unit.intents, intent))
                break
        else:
            lost.append(intent)
    return tuple(changed), lost


def _places(
    file: str, units: tuple[Unit, ...], outside: tuple[Item, ...], tokens: Sequence[Token]
) -> tuple[list[StatementPlace], list[Span]]:
    """The statements an intent may speak for; all other code token by token, so that none is reached past."""
    arrays = sorted(
        {one.statement for one in _declared((units, outside)) if one.statement.file == file},
        key=lambda span: (span.start, span.end),
    )
    places: list[StatementPlace] = []
    spans: list[Span] = []
    at = 0
    attribute: int | None = None
    closed: int | None = None
    for token in tokens:
        if token.file != file or token.kind == "eof":
            continue
        while at < len(arrays) and arrays[at].end <= token.start:
            at += 1
        if at < len(arrays) and arrays[at].start <= token.start < arrays[at].end:
            if token.start == arrays[at].start:
                start = attribute if attribute is not None else token.start
                inner = token.start if attribute is not None else None
                end = _past_semicolon(arrays[at].end, tokens)
                places.append(StatementPlace(start, end, "memory-or-instance", inner))
                spans.append(arrays[at])
            attribute = closed = None
            continue
        if token.kind == "op" and token.text == "(*" and attribute is None:
            attribute = token.start
            continue
        if attribute is not None and closed is None:
            if token.text == "*)":
                closed = token.end
            continue
        if token.kind == "op" and token.text == "(*":
            closed = None
            continue
        if token.kind == "op" and token.text == ";" and places and places[-1].end == token.end:
            continue
        attribute = closed = None
        places.append(StatementPlace(token.start, token.end, "other"))
        spans.append(Span(file, token.start, token.end))
    return places, spans


def _past_semicolon(end: int, tokens: Sequence[Token]) -> int:
    # Declarations are kept without their `;`, which belongs to the statement's extent.
    low, high = 0, len(tokens)
    while low < high:
        middle = (low + high) // 2
        if tokens[middle].start < end:
            low = middle + 1
        else:
            high = middle
    if low < len(tokens) and tokens[low].text == ";" and tokens[low].kind == "op":
        return tokens[low].end
    return end


def _declared(root: object) -> Iterator[Variable | Instance]:
    """Instances and variables that may be arrays, at any depth."""
    stack = [root]
    while stack:
        node = stack.pop()
        if isinstance(node, tuple):
            stack.extend(node)
        elif isinstance(node, Instance):
            yield node
        elif isinstance(node, Variable):
            if _may_be_array(node.type, len(node.dimensions)):
                yield node
        elif (held := items_within(node)) is not None:
            stack.extend(held(node))


def _may_be_array(data_type: DataType, unpacked: int) -> bool:
    return bool(unpacked) or data_type.kind in _MAY_BE_ARRAYS or len(data_type.dimensions) > 1


def _give(node: Any, given: Mapping[Span, tuple[Intent, ...]]) -> Any:
    """A copy of the node in which the statements in `given` carry their intents."""
    if isinstance(node, tuple):
        changed = [_give(one, given) for one in node]
        return tuple(changed) if any(a is not b for a, b in zip(changed, node, strict=True)) else node
    if isinstance(node, Variable | Instance):
        intents = given.get(node.statement)
        return node if intents is None else replace(node, intents=intents)
    changed_fields = {
        name: after
        for name in item_fields(node)
        if (after := _give(before := getattr(node, name), given)) is not before
    }
    return replace(node, **changed_fields) if changed_fields else node
