"""Event controls: what follows `@`."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.facts.expressions import Name
from memlint.reading.facts.statements import Event
from memlint.reading.verilog.cursor import Cursor, split
from memlint.reading.verilog.leaves import expression, slice_span
from memlint.reading.verilog.tokens import Token


def event_control(cursor: Cursor) -> tuple[tuple[Event, ...], bool]:
    """What follows `@`: the events, and whether it is `*`."""
    if cursor.accept("*"):
        return (), True
    if cursor.token.kind == "op" and cursor.token.text == "(*":
        cursor.take()
        cursor.accept(")")
        return (), True
    if not cursor.is_op("("):
        token = cursor.take()
        return (Event("", Name(token.text, span=token.span), span=token.span),), False
    held = cursor.inside()
    if held is None:
        cursor.take()
        return (), False
    if len(held) == 1 and held[0].text == "*":
        return (), True
    events: list[Event] = []
    for comma_part in split(held):
        for part in _split_word(comma_part, "or"):
            if part:
                events.append(_event(part))
    return tuple(events), False


def _event(tokens: Sequence[Token]) -> Event:
    edge = ""
    span = slice_span(tokens)
    if tokens[0].kind == "kw" and tokens[0].text in ("posedge", "negedge", "edge"):
        edge = tokens[0].text
        tokens = tokens[1:]
    signal = next((tokens[:at] for at, one in enumerate(tokens) if one.text == "iff"), tokens)
    if len(signal) > 2 and signal[0].text == "(" and signal[-1].text == ")":
        signal = signal[1:-1]
    return Event(edge, expression(signal), span=span)


def _split_word(tokens: Sequence[Token], word: str) -> list[Sequence[Token]]:
    parts: list[Sequence[Token]] = []
    start = 0
    for at, token in enumerate(tokens):
        if token.kind == "kw" and token.text == word:
            parts.append(tokens[start:at])
            start = at + 1
    parts.append(tokens[start:])
    return parts
