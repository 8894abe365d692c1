"""What an expression names: signals of a body, and the way into their parts."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.body import Body, SelectStep, Signal, path_name
from memlint.design.scope import AliasMeaning, ConstantMeaning, Scope
from memlint.design.values import Int
from memlint.reading.facts.expressions import (
    Call,
    Concat,
    DataType,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Pattern,
    Slice,
    Unsupported,
)
from memlint.reading.facts.items import Variable

Target = tuple[Signal, tuple[SelectStep, ...], "tuple[int, int] | None"]


def targets(expr: Expr, scope: Scope, body: Body) -> Iterator[Target]:
    """Each signal a left side assigns, the steps into it, and for a concatenation its part of the value.

    The part is (number, of how many); None when the whole value goes to one target.
    """
    match expr:
        case Concat(parts=parts):
            for at, part in enumerate(parts):
                for signal, steps, _ in targets(part, scope, body):
                    yield signal, steps, (at, len(parts))
        case Pattern(items=items):
            for at, (_, part) in enumerate(items):
                for signal, steps, _ in targets(part, scope, body):
                    yield signal, steps, (at, len(items))
        case _:
            found = resolve(expr, scope, body)
            if found is not None:
                yield found[0], found[1], None


def far_targets(expr: Expr, scope: Scope, body: Body) -> Iterator[Expr]:
    """The parts of a left side that may name a signal of another unit: `u_store.mem[at]`."""
    if isinstance(expr, Concat):
        for part in expr.parts:
            yield from far_targets(part, scope, body)
    elif is_far(expr, scope) and resolve(expr, scope, body) is None:
        yield expr


def is_far(expr: Expr, scope: Scope) -> bool:
    """Whether a name may be a hierarchical one: it has a dot, and no constant stands before that."""
    member: Expr | None = None
    while isinstance(expr, Index | Slice | Member):
        member = expr if isinstance(expr, Member) else member
        expr = expr.base
    if member is None or not isinstance(expr, Name) or scope.language == "vhdl":
        return False
    return not isinstance(scope.lookup(expr.name), ConstantMeaning)


def elsewhere(expr: Expr, scope: Scope) -> Signal:
    """What stands for a signal that a hierarchical name means, until the hierarchy is known."""
    type = DataType("implicit")
    name = dotted_path(expr, scope) or "a hierarchical name"
    item = Variable(name, "net", type, (), span=expr.span, statement=expr.span)
    return Signal(name, item, scope, "elsewhere")


def not_understood(expr: Expr) -> Iterator[Unsupported]:
    """The parts of a left side that the reader could not make out."""
    match expr:
        case Unsupported():
            yield expr
        case Concat(parts=parts):
            for part in parts:
                yield from not_understood(part)
        case Index(base=base) | Slice(base=base) | Member(base=base):
            yield from not_understood(base)


def resolve(expr: Expr, scope: Scope, body: Body) -> tuple[Signal, tuple[SelectStep, ...]] | None:
    """The signal an expression names or selects from, and the steps; None when it is anything else."""
    steps: list[SelectStep] = []
    while True:
        match expr:
            case Name(name=name):
                signal = signal_named(name, scope, body)
                if signal is not None:
                    return signal, tuple(reversed(steps))
                alias = scope.lookup(name) if scope.language == "vhdl" else None
                if not isinstance(alias, AliasMeaning):
                    return None
                expr, scope = alias.alias.target, alias.scope
            case Index(base=base, index=index):
                steps.append(SelectStep("index", index))
                expr = base
            case Slice(base=base, left=left, right=right, kind=kind):
                steps.append(SelectStep("slice", left, right, kind))
                expr = base
            case Member(base=base, name=name):
                inner = _block_member(expr, body)
                if inner is not None:
                    return inner, tuple(reversed(steps))
                steps.append(SelectStep("field", None, name=name))
                expr = base
            case Call(function=base, arguments=arguments, named=()) if arguments and scope.language == "vhdl":
                steps.extend(_vhdl_step(argument) for argument in reversed(arguments))
                expr = base
            case _:
                return None


def _vhdl_step(argument: Expr) -> SelectStep:
    if isinstance(argument, Slice) and isinstance(argument.base, Name) and not argument.base.name:
        return SelectStep("slice", argument.left, argument.right, argument.kind)
    return SelectStep("index", argument)


def _block_member(expr: Member, body: Body) -> Signal | None:
    """`block.name`: a signal of a named generate block, by its path in the body."""
    path = _path(expr)
    return body.signals.get(path) if path is not None else None


def _path(expr: Expr) -> str | None:
    match expr:
        case Name(name=name):
            return name
        case Member(base=base, name=name):
            inner = _path(base)
            return None if inner is None else f"{inner}.{name}"
        case Index(base=base, index=Number(value=value)):
            inner = _path(base)
            return None if inner is None else f"{inner}[{value}]"
        case _:
            return None


def signal_named(name: str, scope: Scope, body: Body) -> Signal | None:
    """The signal a simple name means in a scope of the body."""
    at: Scope | None = scope
    while at is not None:
        signal = body.of.get((id(at), name))
        if signal is not None:
            return signal
        if at is body.scope or at.has_own(name):
            return None
        at = at.parent
    return None


def dotted_path(expr: Expr, scope: Scope) -> str | None:
    """A hierarchical name as text, its constant indices evaluated."""
    match expr:
        case Name(name=name):
            return path_name(name)
        case Member(base=base, name=name):
            inner = dotted_path(base, scope)
            return None if inner is None else f"{inner}.{path_name(name)}"
        case Index(base=base, index=index):
            inner = dotted_path(base, scope)
            place = scope.evaluate(index) if inner is not None else None
            return f"{inner}[{place.value}]" if isinstance(place, Int) else None
        case _:
            return None
