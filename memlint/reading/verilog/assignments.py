"""Simple statements: assignments, increments and calls."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.facts.expressions import Call, Number, Unsupported
from memlint.reading.facts.statements import Assign, CallStatement, SkippedStatement, Statement
from memlint.reading.verilog.cursor import find
from memlint.reading.verilog.leaves import expression, slice_span
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

ASSIGNMENTS = frozenset(
    ("=", "<=", "+=", "-=", "*=", "/=", "%=", "&=", "|=", "^=", "<<=", ">>=", "<<<=", ">>>=")
)


def assignment(tokens: Sequence[Token]) -> Statement:
    """An assignment, an increment or a call from the tokens of one statement."""
    span = slice_span(tokens)
    if tokens[0].text in ("++", "--") and tokens[0].kind == "op":
        return _increment(tokens[1:], tokens[0].text, span)
    if tokens[-1].text in ("++", "--") and tokens[-1].kind == "op":
        return _increment(tokens[:-1], tokens[-1].text, span)
    at = find(tokens, ASSIGNMENTS)
    if at is not None and at > 0:
        op = tokens[at].text
        value = _without_timing(tokens[at + 1 :])
        target = expression(tokens[:at])
        return Assign(
            target, expression(value), op != "<=", op[:-1] if op not in ("=", "<=") else "", span=span
        )
    if tokens[0].text == "void" and len(tokens) > 3:
        tokens = tokens[3:-1]
    called = expression(tokens)
    if isinstance(called, Call):
        return CallStatement(called, span=span)
    if isinstance(called, Unsupported):
        return SkippedStatement(called.what, called.names, span=span)
    return CallStatement(Call(called, (), span=span), span=span)


def _without_timing(tokens: Sequence[Token]) -> Sequence[Token]:
    """An assignment's value without an intra-assignment delay (`q <= #1 d`)."""
    if not tokens or tokens[0].text not in ("#", "@") or tokens[0].kind != "op":
        return tokens
    if len(tokens) > 1 and tokens[1].text == "(":
        depth = 0
        for at, token in enumerate(tokens):
            depth += (token.text == "(") - (token.text == ")")
            if at and depth == 0:
                return tokens[at + 1 :]
    return tokens[2:]


def _increment(tokens: Sequence[Token], op: str, span: Span) -> Statement:
    one = Number(1, None, True, span=span)
    return Assign(expression(tokens), one, True, op[0], span=span)
