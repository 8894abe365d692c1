"""Loop headers: what stands in the parentheses of `for` and `foreach`, and the loops they make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass

from memlint.reading.facts.expressions import DataType, Expr, Name
from memlint.reading.facts.items import Variable
from memlint.reading.facts.statements import Assign, Block, Exit, For, Loop, SkippedStatement, Statement
from memlint.reading.verilog.cursor import find, split
from memlint.reading.verilog.leaves import expression, names, slice_span
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_INT = DataType("builtin", "int", signed=True)


def counted(
    held: Sequence[Token], body: Statement, steps: Sequence[Statement], condition: Expr | None, span: Span
) -> Statement:
    """`for (start; condition; steps) body` from the tokens of its start and the rest as already read.

    Of several loop variables the first counts the loop; the others are variables stepped in its body.
    """
    declares = len(held) > 1 and (held[0].kind == "kw" or held[1].kind == "id")
    starts = [_start(part) for part in split(held)]
    step = steps[0] if steps else None
    if not starts or not isinstance(step, Assign) or starts[0] is None:
        return Loop("for", condition, body, span=span)
    variable, first = starts[0]
    others = [one for one in starts[1:] if one is not None]
    if len(steps) == 1 and not others:
        return For(variable.text, first, condition, step, body, span=span)
    if _continues(body):
        # `continue` would have to run the further steps as well.
        return Loop("for", condition, body, span=span)
    inner = Block((body, *steps[1:]), span=span)
    loop = For(variable.text, first, condition, step, inner, span=span)
    declared = tuple(
        Variable(name.text, "variable", _INT, (), span=_span(name), statement=span)
        for name, _ in others
        if declares
    )
    set_first = [
        Assign(Name(name.text, span=_span(name)), value, True, span=span)
        for name, value in others
        if value is not None
    ]
    return Block((*set_first, loop), declared, span=span)


def foreach(held: Sequence[Token], body: Statement, span: Span) -> Statement:
    """`foreach (array[i, j]) body`, one loop for each index."""
    opening = find(held, frozenset(("[",)))
    # The index list is the last bracket: `foreach (a.b[i, j])`.
    if opening is None or held[-1].text != "]":
        return SkippedStatement("a `foreach` without index", names(held), span=span)
    array = expression(held[:opening])
    for part in reversed(split(held[opening + 1 : -1])):
        if part and part[0].kind == "id":
            body = For(part[0].text, array, None, None, body, "foreach", span=span)
    return body


def _start(tokens: Sequence[Token]) -> tuple[Token, Expr | None] | None:
    """The variable a start sets, and to what."""
    equals = find(tokens, frozenset(("=",)))
    if equals is None or equals == 0 or tokens[equals - 1].kind != "id":
        return None
    value = tokens[equals + 1 :]
    return tokens[equals - 1], expression(value) if value else None


def _continues(node: object) -> bool:
    if isinstance(node, Exit):
        return node.kind == "next"
    if isinstance(node, tuple):
        return any(map(_continues, node))
    if isinstance(node, Span) or not is_dataclass(node):
        return False
    return any(_continues(getattr(node, one.name)) for one in fields(node))


def _span(token: Token) -> Span:
    return slice_span([token])
