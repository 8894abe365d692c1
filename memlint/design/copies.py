"""Combinational copies of an array: indexing the copy reads the array."""

from __future__ import annotations

from memlint.design.arrays import ArrayFacts, Read
from memlint.design.body import Body, Drive, SelectStep
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.values import Int
from memlint.reading.facts.expressions import Expr


def reads_through_copies(
    facts: ArrayFacts, reads: list[Read], every: list[ArrayFacts], body: Body
) -> list[Read]:
    """The reads of an array, those that only copy it replaced by what reads the copy."""
    copies = [other for other in every if other is not facts and _copies(other, facts, body)]
    if not copies:
        return reads
    signals = [copy.signal for copy in copies]
    kept = [one for one in reads if one.use.drive is None or one.use.drive.signal not in signals]
    return [*kept, *(one for copy in copies for one in copy.reads)]


def _copies(other: ArrayFacts, facts: ArrayFacts, body: Body) -> bool:
    """Whether an array of wires takes over the words of another, each at its own place.

    Single words may be something else (a register file whose word 0 is a constant).
    """
    if len(other.shape.dimensions) != len(facts.shape.dimensions):
        return False
    drives = [*other.whole_writes, *(one.drive for one in other.writes)]
    if not drives or any(one.clock is not None or one.guards or one.part for one in drives):
        return False
    return any(_is_copy(one, facts, body) for one in drives)


def _is_copy(drive: Drive, facts: ArrayFacts, body: Body) -> bool:
    found = resolve(drive.value, drive.scope, body)
    if found is None or found[0] is not facts.signal or len(found[1]) != len(drive.steps):
        return False
    return all(
        _same(mine, theirs, drive.scope) for mine, theirs in zip(drive.steps, found[1], strict=True)
    )


def _same(first: SelectStep, second: SelectStep, scope: Scope) -> bool:
    if first.kind != second.kind or first.slice_kind != second.slice_kind:
        return False
    return _equal(first.expr, second.expr, scope) and _equal(first.right, second.right, scope)


def _equal(first: Expr | None, second: Expr | None, scope: Scope) -> bool:
    if first is None or second is None or first == second:
        return first == second
    one, other = scope.evaluate(first), scope.evaluate(second)
    return isinstance(one, Int) and isinstance(other, Int) and one.value == other.value
