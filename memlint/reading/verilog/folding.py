"""Chains of operands and binary operators as trees."""

from __future__ import annotations

from dataclasses import fields, is_dataclass

from memlint.reading.facts.expressions import Binary, Expr, Name, Unsupported
from memlint.text.source import Span

PRECEDENCE = {
    op: level
    for level, ops in enumerate(
        (
            ("->", "<->"),
            ("||",),
            ("&&",),
            ("|",),
            ("^", "~^", "^~"),
            ("&",),
            ("==", "!=", "===", "!==", "==?", "!=?"),
            ("<", "<=", ">", ">="),
            ("<<", ">>", "<<<", ">>>"),
            ("+", "-"),
            ("*", "/", "%"),
            ("**",),
        )
    )
    for op in ops
}
_ASSOCIATIVE = frozenset(("|", "&", "^", "||", "&&", "+", "*"))
_LONGEST_CHAIN = 300


def fold(operands: list[Expr], operators: list[str], spans: list[Span]) -> Expr:
    """A chain of operands and binary operators as a tree, by IEEE Std 1800-2017 table 11-2.

    `spans` are those of the operands, with the parentheses around them.
    A long chain of one associative operator becomes a balanced tree, so that later walks stay shallow.
    """
    if len(operands) > _LONGEST_CHAIN:
        if len(set(operators)) == 1 and operators[0] in _ASSOCIATIVE:
            return _balanced(operands, operators[0], spans)
        return Unsupported(
            f"an expression of more than {_LONGEST_CHAIN} operands",
            names_in(operands),
            span=spans[0].to(spans[-1]),
        )
    stack: list[Expr] = [operands[0]]
    places = [spans[0]]
    pending: list[str] = []
    for op, operand, place in zip(operators, operands[1:], spans[1:], strict=True):
        level = PRECEDENCE[op]
        while pending and PRECEDENCE[pending[-1]] >= level:
            _combine(stack, places, pending.pop())
        pending.append(op)
        stack.append(operand)
        places.append(place)
    while pending:
        _combine(stack, places, pending.pop())
    return stack[0]


def _combine(stack: list[Expr], places: list[Span], op: str) -> None:
    right = stack.pop()
    last = places.pop()
    op = "~^" if op == "^~" else op
    places[-1] = places[-1].to(last)
    stack[-1] = Binary(op, stack[-1], right, span=places[-1])


def _balanced(operands: list[Expr], op: str, places: list[Span]) -> Expr:
    while len(operands) > 1:
        joined: list[Expr] = []
        spans: list[Span] = []
        for at in range(0, len(operands) - 1, 2):
            spans.append(places[at].to(places[at + 1]))
            joined.append(Binary(op, operands[at], operands[at + 1], span=spans[-1]))
        if len(operands) % 2:
            joined.append(operands[-1])
            spans.append(places[-1])
        operands, places = joined, spans
    return operands[0]


def names_in(expressions: list[Expr]) -> tuple[str, ...]:
    """The names in a few expressions, for an Unsupported that replaces them."""
    found: dict[str, None] = {}
    stack: list[object] = list(reversed(expressions))
    while stack:
        node = stack.pop()
        if isinstance(node, Name):
            found[node.name] = None
        elif isinstance(node, tuple):
            stack.extend(reversed(node))
        elif is_dataclass(node) and not isinstance(node, Span):
            stack.extend(getattr(node, one.name) for one in reversed(fields(node)))
    return tuple(found)
