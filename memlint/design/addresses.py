"""Address expressions in a form that compares: names resolved to nets, plain wires followed."""

from __future__ import annotations

from typing import Any

from memlint.design.body import Body, LoopVariable, Signal
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.uses import CONVERSIONS
from memlint.design.values import Int
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
    String,
    Unary,
)

Key = tuple[Any, ...]


def key(expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], body: Body, far: int = 0) -> Key:
    """A value equal for two expressions that always have the same value, as far as wires show it."""
    if isinstance(expr, Name) and any(loop.name == expr.name for loop in loops):
        return ("loop", expr.name)
    match expr:
        case Number(value=value):
            return ("constant", value)
        case Name() | Index() | Slice() | Member():
            return _named(expr, scope, loops, body, far)
        case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
            return key(inner, scope, loops, body, far)
        case Call() if scope.language == "vhdl" and resolve(expr, scope, body) is not None:
            return _named(expr, scope, loops, body, far)
        case Call(function=function, arguments=arguments):
            parts = tuple(key(one, scope, loops, body, far) for one in arguments)
            return ("call", getattr(function, "name", ""), *parts)
        case Cast(value=value):
            return key(value, scope, loops, body, far)
        case Unary(op=op, operand=operand):
            return ("unary", op, key(operand, scope, loops, body, far))
        case Binary(op=op, left=left, right=right):
            return (
                "binary",
                op,
                key(left, scope, loops, body, far),
                key(right, scope, loops, body, far),
            )
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            return ("if", *(key(one, scope, loops, body, far) for one in (condition, then, otherwise)))
        case Concat(parts=parts):
            return ("concat", *(key(part, scope, loops, body, far) for part in parts))
        case String(value=text):
            return ("text", text)
        case _:
            return ("as written", expr)


def _named(expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], body: Body, far: int) -> Key:
    found = resolve(expr, scope, body)
    if found is None:
        value = scope.evaluate(expr)
        if isinstance(value, Int):
            return ("constant", value.value)
        return ("as written", expr)
    signal, steps = found
    selects = tuple(
        (
            step.kind,
            step.name,
            step.slice_kind,
            *(key(one, scope, loops, body, far) for one in (step.expr, step.right) if one is not None),
        )
        for step in steps
    )
    source = wire_source(signal)
    if source is not None and far < 50:
        value_expr, inner_scope = source
        inner = key(value_expr, inner_scope, (), body, far + 1)
        return ("of", inner, *selects) if selects else inner
    return ("net", id(signal), *selects)


def wire_source(signal: Signal) -> tuple[Expr, Scope] | None:
    """What a plain wire is another name for: its one unconditional driver that is a name; else None."""
    drives = [one for one in signal.drives if not one.initial]
    if len(drives) != 1:
        return None
    drive = drives[0]
    if drive.clock is not None or drive.guards or drive.loops or drive.steps or drive.part is not None:
        return None
    if drive.process.kind == "latch":
        return None
    value = drive.value
    while isinstance(value, Call) and isinstance(value.function, Name) and value.function.name in CONVERSIONS:
        if not value.arguments:
            return None
        value = value.arguments[0]
    return (value, drive.scope) if isinstance(value, Name) else None


def text(expr: Expr) -> str:
    """An expression as short text for messages."""
    match expr:
        case Name(name=name):
            return name
        case Number(value=value):
            return str(value)
        case Member(base=base, name=name):
            return f"{text(base)}.{name}"
        case Index(base=base, index=index):
            return f"{text(base)}[{text(index)}]"
        case Slice(base=base, left=left, right=right, kind=kind):
            return f"{text(base)}[{text(left)} {kind} {text(right)}]".replace(" : ", ":")
        case Binary(op=op, left=left, right=right):
            return f"{text(left)} {op} {text(right)}"
        case Unary(op=op, operand=operand):
            return f"{op}{text(operand)}"
        case Concat(parts=parts):
            return "{" + ", ".join(text(part) for part in parts) + "}"
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            return f"{text(condition)} ? {text(then)} : {text(otherwise)}"
        case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
            # `to_integer(unsigned(at))` is `at` to whoever reads a message.
            return text(inner)
        case Call(function=function, arguments=arguments):
            return f"{text(function)}({', '.join(text(one) for one in arguments)})"
        case Cast(value=value):
            return text(value)
        case _:
            return "…"
