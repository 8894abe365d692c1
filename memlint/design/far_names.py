"""Whether a body may name signals of other units by paths: a quick look that spares finding all its uses."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.body import Body
from memlint.design.scope import Scope, SubprogramMeaning
from memlint.design.signals import is_far, resolve
from memlint.design.uses import CONVERSIONS
from memlint.reading.facts.children import children
from memlint.reading.facts.expressions import Call, Expr, Index, Member, Name, Scoped, Slice


def may_name_elsewhere(body: Body) -> bool:
    """Whether a name with a dot is read that means nothing in the body; true where that is not clear.

    An expression is looked through once, however many generate blocks hold it.
    """
    if body.language == "vhdl":
        return False
    known: dict[int, tuple[Expr, ...]] = {}
    for expr, scope in _read(body):
        dotted = known.get(id(expr))
        if dotted is None:
            dotted = known[id(expr)] = tuple(_dotted(expr))
        if any(_may_be_far(one, scope, body) for one in dotted):
            return True
    return False


def _read(body: Body) -> Iterator[tuple[Expr, Scope]]:
    for drive in body.drives:
        if drive.process.kind == "initial":
            continue
        yield drive.value, drive.scope
        for step in drive.steps:
            if step.expr is not None:
                yield step.expr, drive.scope
            if step.right is not None:
                yield step.right, drive.scope
    for expr, scope, _, _ in body.reads:
        yield expr, scope
    for child in body.children:
        for connection in child.connections.values():
            if connection.value is not None:
                yield connection.value, child.scope


def _dotted(expr: object) -> Iterator[Expr]:
    """The names with dots in an expression, and its calls, which may stand for more."""
    stack: list[object] = [expr]
    while stack:
        one = stack.pop()
        if isinstance(one, tuple):
            stack.extend(one)
            continue
        if isinstance(one, Call):
            yield one
            stack.extend((one.arguments, one.named))
            continue
        base, has_dot = one, False
        while isinstance(base, Index | Slice | Member):
            if isinstance(base, Index):
                stack.append(base.index)
            elif isinstance(base, Slice):
                stack.extend((base.left, base.right))
            else:
                has_dot = True
            base = base.base
        if base is not one:
            if not isinstance(base, Name):
                stack.append(base)
            elif has_dot and isinstance(one, Index | Slice | Member):
                yield one
            continue
        inner = children(one)
        if inner is not None:
            stack.extend(inner(one))


def _may_be_far(expr: Expr, scope: Scope, body: Body) -> bool:
    if not isinstance(expr, Call):
        return is_far(expr, scope) and resolve(expr, scope, body) is None
    match expr.function:
        case Scoped():
            return False
        case Name(name=name):
            meaning = scope.lookup(name) if name not in CONVERSIONS else None
            if not isinstance(meaning, SubprogramMeaning):
                return False
            return any(next(_dotted(one.body), None) is not None for one in meaning.subprograms)
        case _:
            # A method of an object.
            return True
