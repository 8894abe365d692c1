"""Steps into parts of an object: which parts are the same, which have bits in common."""

from __future__ import annotations

from memlint.design.body import SelectStep
from memlint.design.scope import Scope
from memlint.design.values import Int
from memlint.reading.facts.expressions import Expr

Part = tuple[SelectStep, ...]


def other_part(steps: Part, part: Part) -> bool:
    """Whether two selects surely name different fields of a record."""
    for a, b in zip(steps, part, strict=False):
        if a.kind == "field" and b.kind == "field" and a.name != b.name:
            return True
    return False


def overlap(first: Part, second: Part, scope: Scope, other: Scope) -> bool:
    """Whether two parts may have bits in common; constant selects that differ do not."""
    for a, b in zip(first, second, strict=False):
        if a.kind == "field" and b.kind == "field":
            if a.name != b.name:
                return False
            continue
        if a.kind != b.kind or a.expr is None or b.expr is None:
            continue
        low, high = scope.evaluate(a.expr), other.evaluate(b.expr)
        if isinstance(low, Int) and isinstance(high, Int) and low.value != high.value:
            return False
    return True


def same_part(first: Part, second: Part, scope: Scope) -> bool:
    """Whether two parts are surely the same."""
    return len(first) == len(second) and all(
        same_step(a, b, scope) for a, b in zip(first, second, strict=True)
    )


def same_step(first: SelectStep, second: SelectStep, scope: Scope) -> bool:
    """Whether two steps surely lead to the same part of one object."""
    if (first.kind, first.name, first.slice_kind) != (second.kind, second.name, second.slice_kind):
        return False
    return _equal(first.expr, second.expr, scope) and _equal(first.right, second.right, scope)


def _equal(first: Expr | None, second: Expr | None, scope: Scope) -> bool:
    if first is None or second is None or first == second:
        return first == second
    one, other = scope.evaluate(first), scope.evaluate(second)
    return isinstance(one, Int) and isinstance(other, Int) and one.value == other.value
