"""From the parse tree of one clause to the clause."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from memlint.reading.intent.amounts import Factor, bits_of
from memlint.reading.intent.arithmetic import Number, Word, place
from memlint.reading.intent.clauses import (
    Accept,
    Budget,
    Clause,
    Clocks,
    Ecc,
    Fifo,
    Holds,
    In,
    InitialContents,
    Plan,
    Ports,
    ReadWithin,
    SameAddress,
    Shape,
    Times,
    Why,
    WriteLanes,
)
from memlint.reading.intent.parsing import Tree
from memlint.reading.intent.refusal import Refusal
from memlint.text.source import Span

Locate = Callable[[int, int], Span]
"""The span in the file of a range of the parsed text."""

_MOST_PORTS = 64


def build(tree: Tree, text: str, locate: Locate) -> Clause:
    """The clause of a tree of grammar `intent`; raises Refusal where its numbers make no sense."""
    span = locate(0, len(text))
    children: list[Any] = tree.children
    match str(tree.data):
        case "in_tiers":
            spans = tuple(locate(*place(token)) for token in children)
            return In(tuple(map(str, children)), tier_spans=spans, span=span)
        case "shape":
            return shape_of(children[0], span)
        case "ports":
            return _ports(children, span)
        case "one_clock":
            return Clocks((), one=True, span=span)
        case "clocks":
            return Clocks(tuple(map(str, children)), span=span)
        case "read_within":
            return ReadWithin(_at_least(0, children[0], "a number of cycles"), span=span)
        case "write_lanes":
            return _lanes(children, span)
        case "ecc" | "ecc_in_word" as name:
            return Ecc(name == "ecc_in_word", span=span)
        case "same_address":
            return SameAddress(str(children[0]), span=span)
        case "fifo":
            return Fifo(span=span)
        case "initial_contents":
            return InitialContents(span=span)
        case "holds":
            return holds_of(children[0], text.removeprefix("holds"), span)
        case "plan":
            return Plan(str(children[0]), span=span)
        case "times":
            return Times(_at_least(1, children[0], "a number of memories"), span=span)
        case "budget":
            return _budget(children, locate, span)
        case "accept":
            rule, reason = children
            return Accept(str(rule), _quoted(reason, "reason"), rule_span=locate(*place(rule)), span=span)
        case "why":
            return Why(_quoted(children[0], "text"), span=span)
    raise AssertionError(f"the grammar has a clause the reader does not know: {tree.data}")


def shape_of(size: Tree, span: Span) -> Shape:
    """The clause for a tree of rule `size`."""
    numbers: list[Any] = size.children
    depth = _at_least(1, numbers[0], "a depth in words")
    return Shape(depth, _at_least(1, numbers[1], "a width in bits"), span=span)


def holds_of(amount: Tree, text: str, span: Span) -> Holds:
    """The clause for a tree of rule `amount`, written as `text`."""
    factors = tuple(_factor(tree.children) for tree in amount.children)
    return Holds(bits_of(factors), " ".join(text.split()), span=span)


def _factor(children: list[Any]) -> Factor:
    match children:
        case [number]:
            return Factor(number)
        case [number, word]:
            return Factor(number, str(word), place(word))
        case [number, word, rate, rate_word]:
            return Factor(number, str(word), place(word), rate, str(rate_word), place(rate_word))
    raise AssertionError("the grammar has a factor the reader does not know")


def _at_least(least: int, number: Number, what: str) -> int:
    if not isinstance(number.value, int) or number.value < least:
        message = f"{what} must be at least {least}, and this is {number.value}"
        raise Refusal(message, number.start, number.end, (f"write {least} or more",))
    return number.value


def _ports(children: list[Any], span: Span) -> Ports:
    if isinstance(children[0], Word):
        # How many reads a ROM has is not said: `ports 2r` says that.
        return Ports(0, 0, 0, rom=True, span=span)
    counts = {"w": 0, "r": 0, "rw": 0}
    widths: dict[str, int] = {}
    for port in children:
        token, *width = port.children
        kind = token.lstrip("0123456789")
        start, end = place(token)
        if counts[kind]:
            help = (f"add them up: one number before `{kind}` counts all its ports",)
            raise Refusal(f"`{kind}` ports are given twice", start, end, help)
        counts[kind] = _port_count(token, kind)
        if width and kind == "rw":
            help = ("leave the width off: both directions of an `rw` port are as wide as the word",)
            raise Refusal("only `w` and `r` ports have a width of their own", start, end, help)
        if width:
            widths[kind] = _at_least(1, width[0], "a port's width in bits")
    w, r, rw = counts["w"], counts["r"], counts["rw"]
    return Ports(w, r, rw, write_width=widths.get("w"), read_width=widths.get("r"), span=span)


def _port_count(token: Word, kind: str) -> int:
    digits = token[: -len(kind)].lstrip("0")
    if not digits:
        raise Refusal(f"`{token}` is no port", *place(token), ("leave it out, or write 1 or more",))
    if len(digits) > 2 or int(digits) > _MOST_PORTS:
        help = (f"write {_MOST_PORTS} or fewer",)
        raise Refusal(f"no memory has so many ports: `{digits[:20]}{kind}`", *place(token), help)
    return int(digits)


def _lanes(children: list[Number], span: Span) -> WriteLanes:
    widths = tuple(_at_least(1, number, "a lane's width in bits") for number in children)
    if len(widths) == 1:
        return WriteLanes((), each=widths[0], span=span)
    return WriteLanes(widths, span=span)


def _budget(children: list[Any], locate: Locate, span: Span) -> Budget:
    limits: list[tuple[str, Fraction]] = []
    for limit in children:
        tier, number = limit.children
        if number.value < 0:
            help = ("write 0 for none at all",)
            raise Refusal(f"a budget of {number.value} blocks is below 0", number.start, number.end, help)
        limits.append((str(tier), Fraction(number.value)))
    spans = tuple(locate(*place(limit.children[0])) for limit in children)
    return Budget(tuple(limits), tier_spans=spans, span=span)


def _quoted(token: Word, what: str) -> str:
    """The text between the quotes, on one line whatever the comment's layout."""
    text = " ".join(token[1:-1].split())
    if not text:
        raise Refusal(f"the {what} is empty", *place(token), (f"write the {what} between the quotes",))
    return text
