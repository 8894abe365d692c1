"""Assignments to variables of a subprogram, whole or in part."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.design.conversion import convert
from memlint.design.frames import Frame
from memlint.design.scope import Scope
from memlint.design.selection import At, FieldOf, Part, Step, type_after, type_of_value
from memlint.design.types import AnyType, Range, bits, outer_range
from memlint.design.values import Int, Unknown, Value, vector
from memlint.design.verilog_shapes import slice_range
from memlint.design.vhdl_attributes import range_of
from memlint.reading.facts import expressions as ex
from memlint.reading.facts.statements import Assign


class Stop(Exception):
    """A statement that cannot be interpreted; the call's result is then unknown."""

    def __init__(self, reason: Unknown) -> None:
        super().__init__(reason.reason)
        self.reason = reason


@dataclass(frozen=True, slots=True)
class Target:
    """A variable and the part of it that is assigned; `hidden` where an index is unknown."""

    frame: Frame
    name: str
    steps: tuple[Step, ...]
    type: AnyType
    hidden: Unknown | None = None


def assign(statement: Assign, frame: Frame) -> None:
    """Carry out an assignment; `op` is the operator of `+=` and its kin."""
    value = statement.value
    if statement.op:
        value = ex.Binary(statement.op, statement.target, value, span=statement.span)
    if isinstance(statement.target, ex.Concat):
        _assign_parts(statement.target, value, frame)
        return
    target = target_of(statement.target, frame)
    type = None if isinstance(target.type, Unknown) else target.type
    store(target, frame.evaluate(value, type=type))


def store(target: Target, value: Value) -> None:
    """Give the target its value; with an unknown index the whole variable becomes unknown."""
    if target.hidden is not None:
        target.frame.assign(target.name, (), target.hidden)
    elif isinstance(value, Unknown) and target.steps and not isinstance(target.steps[0], At):
        target.frame.assign(target.name, (), value)
    else:
        target.frame.assign(target.name, target.steps, value)


def _assign_parts(concat: ex.Concat, value: ex.Expr, frame: Frame) -> None:
    """`{a, b} = value`, the leftmost takes the most significant bits (IEEE 1800-2017 11.4.12)."""
    targets = [target_of(part, frame) for part in concat.parts]
    widths = [bits(target.type) for target in targets]
    total = 0
    for width in widths:
        if isinstance(width, Unknown):
            raise Stop(width)
        total += width
    whole = frame.evaluate(value, total)
    for target, width in zip(targets, widths, strict=True):
        assert isinstance(width, int)
        total -= width
        part: Value = whole
        if isinstance(whole, Int):
            part = vector(whole.value >> total, width)
        type = None if isinstance(target.type, Unknown) else target.type
        store(target, part if isinstance(part, Unknown) or type is None else _typed(part, type, frame))


def _typed(value: Value, type: AnyType, frame: Frame) -> Value:
    return convert(value, type, frame.language)


def target_of(expr: ex.Expr, frame: Frame) -> Target:
    """Which variable an expression on the left of an assignment denotes, and which part of it."""
    match expr:
        case ex.Name(name=name):
            owner = _owner(frame, name)
            if owner is None:
                raise Stop(
                    Unknown(
                        f"`{frame.subprogram}` assigns `{name}`, which is no variable of its own", expr.span
                    )
                )
            type = owner.constant_type(name)
            return Target(owner, name, (), type if type is not None else type_of_value(owner.own_value(name)))
        case ex.Index(base=base, index=index):
            return _after(target_of(base, frame), [index], frame)
        case ex.Call(function=function, arguments=arguments):
            return _after(target_of(function, frame), list(arguments), frame)
        case ex.Slice(base=base):
            return _after(target_of(base, frame), [expr], frame)
        case ex.Member(base=base, name=name):
            return _step(target_of(base, frame), FieldOf(name))
        case _:
            raise Stop(Unknown("this is not evaluated as the target of an assignment", expr.span))


def _owner(scope: Scope | None, name: str) -> Frame | None:
    while isinstance(scope, Frame):
        if scope.declares(name):
            return scope
        scope = scope.parent
    return None


def _after(target: Target, indices: list[ex.Expr], frame: Frame) -> Target:
    for index in indices:
        step = _index_step(target, index, frame)
        target = (
            Target(target.frame, target.name, target.steps, target.type, target.hidden or step)
            if isinstance(step, Unknown)
            else _step(target, step)
        )
    return target


def _index_step(target: Target, index: ex.Expr, frame: Frame) -> Step | Unknown:
    if frame.language == "vhdl":
        span = range_of(index, frame)
        if span is not None:
            return span if isinstance(span, Unknown) else Part(span)
    elif isinstance(index, ex.Slice):
        outer = outer_range(target.type)
        span = slice_range(index, frame, not isinstance(outer, Range) or outer.descending)
        return span if isinstance(span, Unknown) else Part(span)
    value = frame.evaluate(index)
    if isinstance(value, Int):
        return At(value.value)
    return value if isinstance(value, Unknown) else Unknown("an index is a whole number", index.span)


def _step(target: Target, step: Step) -> Target:
    type = type_after(target.type, step)
    return Target(target.frame, target.name, (*target.steps, step), type, target.hidden)
