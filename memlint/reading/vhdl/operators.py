"""Flat operand chains to trees: VHDL's operators with their precedence (IEEE Std 1076-2008, 9.2.1)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from memlint.reading.enclosed import Enclosed, bare
from memlint.reading.facts.expressions import Binary, Call, Concat, Expr, Name, Unary
from memlint.text.source import Span

_LOGIC, _RELATION, _SHIFT, _ADDING, _SIGN, _MULTIPLYING, _POWER = range(7)

_LEVELS = {
    **dict.fromkeys("and or nand nor xor xnor".split(), _LOGIC),
    **dict.fromkeys("= /= < <= > >= ?= ?/= ?< ?<= ?> ?>=".split(), _RELATION),
    **dict.fromkeys("sll srl sla sra rol ror".split(), _SHIFT),
    **dict.fromkeys("+ - &".split(), _ADDING),
    **dict.fromkeys("* / mod rem".split(), _MULTIPLYING),
    "**": _POWER,
}
# Spelled as memlint/reading/facts/expressions.py says. The matching relations of 2008 differ from the
# plain ones only in their result type where no don't-care is involved.
_SPELLINGS = {
    "and": "&", "or": "|", "nand": "~&", "nor": "~|", "xor": "^", "xnor": "~^",
    "=": "==", "/=": "!=", "?=": "==?", "?/=": "!=?", "?<": "<", "?<=": "<=", "?>": ">", "?>=": ">=",
    "sll": "<<", "srl": ">>", "sla": "<<<", "sra": ">>>", "rem": "%",
}  # fmt: skip
_REGROUPABLE = frozenset(("&", "|", "^", "+", "*"))
# From so many like operators on, a chain is built as a balanced tree: a thousand terms joined by `or`
# would nest a thousand deep.
_BALANCE_FROM = 32
MOST_OPERATORS = 100
"""Unlike operators in a row that are read; a longer chain would nest too deep for those who walk it."""


@dataclass(slots=True)
class Signed:
    """`+ x` or `- x`: binds looser than `*`, so it stays open until the chain is resolved."""

    op: str
    operand: Expr | Enclosed
    start: int

    def closed(self) -> Expr:
        span = Span(self.operand.span.file, self.start, self.operand.span.end)
        return Unary(self.op, bare(self.operand), span=span)


Chain: TypeAlias = "list[Expr | Enclosed | Signed | str]"


def reduction(op: str) -> str:
    """The unary operator that the logical reduction `op` is."""
    return _SPELLINGS[op]


class TooDeep(Exception):
    """An expression that would nest deeper than those who walk it can follow."""


def resolve(chain: Chain) -> Expr:
    """The tree of operand, operator, operand, …; operators of one level associate to the left.

    Raises TooDeep.
    """
    if len(chain) == 3:
        left, op, right = chain
        if not isinstance(left, Signed | str) and not isinstance(right, Signed | str):
            return _join(str(op), [left, right])  # type: ignore[return-value]
    return bare(_Climber(chain).level(_LOGIC))  # type: ignore[no-any-return]


class _Climber:
    """Precedence climbing with one level of Python stack per level of precedence."""

    __slots__ = ("at", "chain")

    def __init__(self, chain: Chain) -> None:
        self.chain = chain
        self.at = 0

    def level(self, level: int) -> Expr | Enclosed:
        if level == _SIGN:
            return self._sign()
        if level > _POWER:
            return self._operand()
        run_op = ""
        run = [self.level(level + 1)]
        switches = 0
        while (op := self._operator(level)) is not None:
            if op != run_op and len(run) > 1:
                switches += 1
                if switches > MOST_OPERATORS:
                    raise TooDeep
                run = [_join(run_op, run)]
            run_op = op
            run.append(self.level(level + 1))
        return _join(run_op, run)

    def _operator(self, level: int) -> str | None:
        """Step over the next operator if it is one of this level."""
        if self.at >= len(self.chain):
            return None
        op = self.chain[self.at]
        if not isinstance(op, str) or _LEVELS[op] != level:
            return None
        self.at += 1
        return op

    def _operand(self) -> Expr | Enclosed:
        operand = self.chain[self.at]
        self.at += 1
        assert not isinstance(operand, str)
        return operand.closed() if isinstance(operand, Signed) else operand

    def _sign(self) -> Expr | Enclosed:
        operand = self.chain[self.at]
        if not isinstance(operand, Signed):
            return self.level(_MULTIPLYING)
        self.chain[self.at] = operand.operand
        return Signed(operand.op, self.level(_MULTIPLYING), operand.start).closed()


def _join(op: str, parts: list[Expr | Enclosed]) -> Expr | Enclosed:
    """One operator over its operands, left to right; a lone operand is itself."""
    if len(parts) == 1:
        return parts[0]
    first, last = parts[0].span, parts[-1].span
    if op == "&":
        return Concat(tuple([bare(part) for part in parts]), span=first.to(last))
    spelling = _SPELLINGS.get(op, op)
    if len(parts) >= _BALANCE_FROM and spelling in _REGROUPABLE:
        half = len(parts) // 2
        left, right = bare(_join(op, parts[:half])), bare(_join(op, parts[half:]))
        return Binary(spelling, left, right, span=first.to(last))
    if len(parts) > MOST_OPERATORS:
        raise TooDeep
    left = bare(parts[0])
    for part in parts[1:]:
        right = bare(part)
        span = first.to(part.span)
        if op in ("rol", "ror"):
            left = Call(Name(f'"{op}"', span=right.span), (left, right), span=span)
        else:
            left = Binary(spelling, left, right, span=span)
    return left  # type: ignore[no-any-return]
