"""Address expressions as short text for messages, with the parentheses that their meaning needs."""

from __future__ import annotations

from memlint.design.uses import CONVERSIONS
from memlint.reading.facts.expressions import (
    Binary,
    Call,
    Cast,
    Concat,
    Conditional,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Slice,
    Unary,
)

# What binds tighter has the higher level (IEEE Std 1800-2017, table 11-2). VHDL's operators are spelled
# like these in the facts and their order is the same (IEEE Std 1076-2008, 9.2.1), but for signs: those bind
# looser than multiplication there.
_LEVELS = {
    op: level
    for level, ops in enumerate(
        (
            ("->", "<->"),
            ("||",),
            ("&&",),
            ("|", "~|"),
            ("^", "~^", "^~"),
            ("&", "~&"),
            ("==", "!=", "===", "!==", "==?", "!=?"),
            ("<", "<=", ">", ">="),
            ("<<", ">>", "<<<", ">>>", "rol", "ror"),
            ("+", "-"),
            ("*", "/", "%", "mod"),
            ("**",),
        ),
        1,
    )
    for op in ops
}
_CONDITIONAL, _UNARY, _WHOLE = 0, 20, 21
_SIGNS = frozenset(("+", "-"))
_SIGN_BINDS_LOOSER = frozenset(("mod", "**"))
_ASSOCIATIVE = frozenset(("+", "*", "&", "|", "^", "&&", "||"))


def text(expr: Expr) -> str:
    """An expression as short text for messages."""
    match expr:
        case Name(name=name):
            return name
        case Number(value=value):
            return str(value)
        case Member(base=base, name=name):
            return f"{_within(base, _WHOLE)}.{name}"
        case Index(base=base, index=index):
            return f"{_within(base, _WHOLE)}[{text(index)}]"
        case Slice(base=base, left=left, right=right, kind=kind):
            return f"{_within(base, _WHOLE)}[{text(left)} {kind} {text(right)}]".replace(" : ", ":")
        case Binary(op=op, left=left, right=right):
            return f"{_left(op, left)} {op} {_right(op, right)}"
        case Unary(op=op, operand=operand):
            return f"{op}{' ' if op.isalpha() else ''}{_within(operand, _WHOLE)}"
        case Concat(parts=parts):
            return "{" + ", ".join(text(part) for part in parts) + "}"
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            return f"{_within(condition, _CONDITIONAL + 1)} ? {text(then)} : {text(otherwise)}"
        case Call() | Cast():
            inner = _converted(expr)
            if inner is not expr:
                return text(inner)
            assert isinstance(expr, Call)
            return f"{text(expr.function)}({', '.join(text(one) for one in expr.arguments)})"
        case _:
            return "…"


def _converted(expr: Expr) -> Expr:
    """What a conversion converts: `to_integer(unsigned(at))` is `at` to whoever reads a message."""
    while True:
        match expr:
            case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
                expr = inner
            case Cast(value=value):
                expr = value
            case _:
                return expr


def _level(expr: Expr) -> int:
    match expr:
        case Binary(op=op):
            return _LEVELS.get(op, _CONDITIONAL)
        case Unary():
            return _UNARY
        case Conditional():
            return _CONDITIONAL
        case _:
            return _WHOLE


def _within(expr: Expr, least: int) -> str:
    """An operand, in parentheses unless it binds so tight at least."""
    inner = _converted(expr)
    shown = text(inner)
    return shown if _level(inner) >= least else f"({shown})"


def _left(op: str, expr: Expr) -> str:
    inner = _converted(expr)
    if op in _SIGN_BINDS_LOOSER and isinstance(inner, Unary):
        return f"({text(inner)})"
    return _within(inner, _LEVELS.get(op, _UNARY))


def _right(op: str, expr: Expr) -> str:
    inner = _converted(expr)
    if isinstance(inner, Unary) and (inner.op in _SIGNS or inner.op == op):
        return f"({text(inner)})"
    if isinstance(inner, Binary) and inner.op == op and op in _ASSOCIATIVE:
        return text(inner)
    return _within(inner, _LEVELS.get(op, _UNARY) + 1)
