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


def fold(operands: list[Expr], operators: list[str]) -> Expr:
    """A chain of operands and binary operators as a tree, by IEEE Std 1800-2017 table 11-2.

    A long chain of one associative operator becomes a balanced tree, so that later walks stay shallow.
    """
    if len(operands) > _LONGEST_CHAIN:
        if len(set(operators)) == 1 and operators[0] in _ASSOCIATIVE:
            return _balanced(operands, operators[0])
        return Unsupported(
            f"an expression of more than {_LONGEST_CHAIN} operands",
            names_in(operands),
            span=operands[0].span.to(operands[-1].span),
        )
    stack: list[Expr] = [operands[0]]
    pending: list[str] = []
    for op, operand in zip(operators, operands[1:], strict=True):
        level = PRECEDENCE[op]
        while pending and PRECEDENCE[pending[-1]] >= level:
            _combine(stack, pending.pop())
        pending.append(op)
        stack.append(operand)
    while pending:
        _combine(stack, pending.pop())
    return stack[0]


def _combine(stack: list[Expr], op: str) -> None:
    right = stack.pop()
    left = stack.pop()
    op = "~^" if op == "^~" else op
    stack.append(Binary(op, left, right, span=left.span.to(right.span)))


def _balanced(operands: list[Expr], op: str) -> Expr:
    while len(operands) > 1:
        operands = [
            Binary(op, pair[0], pair[1], span=pair[0].span.to(pair[1].span)) if len(pair) == 2 else pair[0]
            for pair in (operands[at : at + 2] for at in range(0, len(operands), 2))
        ]
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
