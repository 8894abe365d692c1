"""Clocks as code writes them: event controls of Verilog, edge conditions of VHDL."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.body import ClockTerm
from memlint.design.scope import Scope
from memlint.reading.facts.expressions import (
    Attribute,
    Binary,
    Call,
    Expr,
    Member,
    Name,
    Number,
    Scoped,
    String,
    Unary,
)
from memlint.reading.facts.statements import Block, Event, If, Statement, Timed

_EDGE_FUNCTIONS = {"rising_edge": "rising", "falling_edge": "falling"}
_EDGES = {"posedge": "rising", "negedge": "falling", "edge": "any"}


def clock_of_events(events: tuple[Event, ...], body: Statement, scope: Scope) -> ClockTerm | None:
    """The clock of an event control: its one edge that the first `if`s do not test as a reset.

    None when there is no edge, or when more than one is left and none is certain.
    """
    edges = [event for event in events if event.edge]
    if not edges:
        return None
    if len(edges) > 1:
        tested = set(_tested_names(body))
        left = [event for event in edges if _name(event.signal) not in tested]
        if len(left) != 1:
            return None
        edges = left
    event = edges[0]
    return ClockTerm(event.signal, _EDGES[event.edge], scope, event.span)


def _tested_names(statement: Statement) -> Iterator[str]:
    """Names in the conditions of the first `if … else if …` of a process body."""
    while isinstance(statement, Block | Timed):
        if isinstance(statement, Timed):
            if statement.body is None:
                return
            statement = statement.body
            continue
        first = next((one for one in statement.statements if not _only_locals(one)), None)
        if first is None:
            return
        statement = first
    while isinstance(statement, If):
        yield from _names(statement.condition)
        if statement.otherwise is None:
            return
        statement = statement.otherwise
        while isinstance(statement, Block) and len(statement.statements) == 1:
            statement = statement.statements[0]


def _only_locals(statement: Statement) -> bool:
    return isinstance(statement, Block) and not statement.statements


def _names(expr: Expr) -> Iterator[str]:
    match expr:
        case Name() | Member():
            name = _name(expr)
            if name is not None:
                yield name
        case Unary(operand=operand):
            yield from _names(operand)
        case Binary(left=left, right=right):
            yield from _names(left)
            yield from _names(right)


def _name(expr: Expr) -> str | None:
    match expr:
        case Name(name=name):
            return name
        case Member(base=base, name=name):
            inner = _name(base)
            return None if inner is None else f"{inner}.{name}"
        case _:
            return None


def edge_condition(condition: Expr, scope: Scope) -> tuple[ClockTerm, bool] | None:
    """The clock edge a VHDL condition asks for, and whether the `then` branch is the clocked one.

    `rising_edge(c)`, `c'event and c = '1'`, `not c'stable and …`, each maybe and-ed with an enable;
    a leading `not` makes the other branch the clocked one.
    """
    match condition:
        case Unary(op="not" | "!", operand=operand):
            inner = edge_condition(operand, scope)
            if inner is None:
                return None
            return inner[0], not inner[1]
        case Call(function=Name(name=name), arguments=(signal,)) if name in _EDGE_FUNCTIONS:
            return ClockTerm(signal, _EDGE_FUNCTIONS[name], scope, condition.span), True
        case Call(function=Member(name=name) | Scoped(name=name), arguments=(signal,)) if (
            name in _EDGE_FUNCTIONS
        ):
            return ClockTerm(signal, _EDGE_FUNCTIONS[name], scope, condition.span), True
        case Binary(op="&" | "&&"):
            return _conjunction(condition, scope)
        case _:
            return None


def waited_edge(wait: Timed, scope: Scope) -> ClockTerm | None:
    """The clock edge that a VHDL wait statement waits for.

    `wait until clk = '1'` and `wait on clk until clk = '1'` resume at a change of `clk` that makes it
    '1': at its rising edge (IEEE Std 1076-2008, 10.2).
    """
    condition = wait.condition
    if condition is None:
        return None
    found = edge_condition(condition, scope)
    if found is not None:
        return found[0] if found[1] else None
    if isinstance(condition, Binary) and isinstance(condition.left, Name | Member | Call):
        level = _level(condition, condition.left)
        watched = [event.signal for event in wait.events]
        if level in ("0", "1") and (not watched or watched == [condition.left]):
            edge = "rising" if level == "1" else "falling"
            return ClockTerm(condition.left, edge, scope, condition.span)
    return None


def _conjunction(condition: Binary, scope: Scope) -> tuple[ClockTerm, bool] | None:
    terms = list(_terms(condition))
    for term in terms:
        if isinstance(term, Call):
            found = edge_condition(term, scope)
            if found is not None:
                return found
    for term in terms:
        signal = _event_signal(term)
        if signal is None:
            continue
        for other in terms:
            level = _level(other, signal)
            if level is not None:
                edge = "rising" if level == "1" else "falling"
                return ClockTerm(signal, edge, scope, condition.span), True
    return None


def _terms(expr: Expr) -> Iterator[Expr]:
    if isinstance(expr, Binary) and expr.op in ("&", "&&"):
        yield from _terms(expr.left)
        yield from _terms(expr.right)
    else:
        yield expr


def _event_signal(term: Expr) -> Expr | None:
    match term:
        case Attribute(prefix=prefix, name="event"):
            return prefix
        case Unary(op="not" | "!", operand=Attribute(prefix=prefix, name="stable")):
            return prefix
        case _:
            return None


def _level(term: Expr, signal: Expr) -> str | None:
    match term:
        case Binary(op="==", left=left, right=String(value=value)) if left == signal:
            return value
        case Binary(op="==", left=left, right=Number(value=value)) if left == signal:
            return str(value)
        case _ if term == signal:
            return "1"
        case _:
            return None
