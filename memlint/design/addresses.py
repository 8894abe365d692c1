"""Address expressions in a form that compares: names resolved to nets, plain wires followed."""

from __future__ import annotations

from enum import Enum
from typing import Any

from memlint.design.body import LoopVariable, SelectStep, Signal
from memlint.design.hierarchy import Node, locate, member_of
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
    Open,
    Pattern,
    Slice,
    String,
    Unary,
)

Key = tuple[Any, ...]
_FARTHEST = 50


class Reach(Enum):
    """How far names are followed to tell whether two are one net."""

    UNIT = "to the ports of the unit: accesses of one unit are told apart as it is written"
    DESIGN = "through ports: accesses stand in several units"


def key(
    expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], node: Node, reach: Reach, far: int = 0
) -> Key:
    """A value equal for two expressions that always have the same value, as far as wires show it."""
    if isinstance(expr, Name) and any(loop.name == expr.name for loop in loops):
        return ("loop", expr.name)
    match expr:
        case Number(value=value):
            return ("constant", value)
        case Name() | Index() | Slice() | Member():
            return _named(expr, scope, loops, node, reach, far)
        case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
            return key(inner, scope, loops, node, reach, far)
        case Call() if scope.language == "vhdl" and resolve(expr, scope, node.body) is not None:
            return _named(expr, scope, loops, node, reach, far)
        case Call(function=function, arguments=arguments):
            parts = tuple(key(one, scope, loops, node, reach, far) for one in arguments)
            return ("call", getattr(function, "name", ""), *parts)
        case Cast(value=value):
            return key(value, scope, loops, node, reach, far)
        case Unary(op=op, operand=operand):
            return ("unary", op, key(operand, scope, loops, node, reach, far))
        case Binary(op=op, left=left, right=right):
            return (
                "binary",
                op,
                key(left, scope, loops, node, reach, far),
                key(right, scope, loops, node, reach, far),
            )
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            return ("if", *(key(one, scope, loops, node, reach, far) for one in (condition, then, otherwise)))
        case Concat(parts=parts):
            return ("concat", *(key(part, scope, loops, node, reach, far) for part in parts))
        case String(value=text):
            return ("text", text)
        case _:
            return ("as written", expr)


def _named(
    expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], node: Node, reach: Reach, far: int
) -> Key:
    found = resolve(expr, scope, node.body)
    if found is None:
        value = scope.evaluate(expr)
        if isinstance(value, Int):
            return ("constant", value.value)
        located = locate(node, expr, scope)
        return ("as written", expr) if located is None else _net(*located, scope, loops, node, reach, far)
    signal, steps = found
    if signal.direction == "interface":
        inside = member_of(node, signal, steps, scope)
        if inside is not None:
            return _net(*inside, scope, loops, node, reach, far)
    return _net(node, signal, steps, scope, loops, node, reach, far)


def _net(
    at: Node,
    signal: Signal,
    steps: tuple[SelectStep, ...],
    scope: Scope,
    loops: tuple[LoopVariable, ...],
    node: Node,
    reach: Reach,
    far: int,
) -> Key:
    """A signal of node `at` and selects from it, whose expressions are meant in `node`."""
    selects = tuple(
        (
            step.kind,
            step.name,
            step.slice_kind,
            *(key(one, scope, loops, node, reach, far) for one in (step.expr, step.right) if one is not None),
        )
        for step in steps
    )
    inner = _source(at, signal, reach, far) if far < _FARTHEST else None
    if inner is not None:
        return ("of", inner, *selects) if selects else inner
    return ("net", id(at), id(signal), *selects)


def _source(node: Node, signal: Signal, reach: Reach, far: int) -> Key | None:
    """What a plain wire, or a port with its connection, is another name for."""
    source = wire_source(signal)
    if source is not None:
        return key(source[0], source[1], (), node, reach, far + 1)
    if reach is Reach.UNIT or node.parent is None or node.child is None:
        return None
    if signal.direction not in ("input", "output", "buffer"):
        return None
    if signal.direction == "input" and any(not one.initial for one in signal.drives):
        return None
    connection = node.child.connections.get(signal.item.name)
    value = connection.value if connection is not None else None
    if value is None or isinstance(value, Pattern | Open):
        return None
    if signal.direction != "input" and not isinstance(value, Name):
        return None
    return key(value, node.child.scope, (), node.parent, reach, far + 1)


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
