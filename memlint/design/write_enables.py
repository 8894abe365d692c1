"""When a part of a word is written: on which clock, at which address, under which conditions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from memlint.design.addresses import Key, Reach, key
from memlint.design.arrays import Write
from memlint.design.body import Guard
from memlint.design.hierarchy import Node
from memlint.design.scope import Scope
from memlint.design.substitute import simple_names
from memlint.design.values import Int
from memlint.design.variables import At, inlined
from memlint.reading.facts.expressions import Binary, Expr, Unary

# One value for each loop variable in force.
Round = tuple[tuple[str, int], ...]
_Condition = tuple[Key, bool]
# Conditions of one write whose every combination is looked up; beyond that all writes are gone through.
_FEW = 6


@dataclass(frozen=True, slots=True)
class Enable:
    """Writes with equal enables happen together. `place` is the clock and the address."""

    place: Key
    conditions: frozenset[_Condition]


def in_round(scope: Scope, values: Round) -> Scope:
    """A scope in which loop variables have values."""
    for name, value in values:
        inner = Scope(scope.language, scope, scope.packages, scope.name)
        inner.set(name, Int(value, 32 if scope.language != "vhdl" else None, True))
        scope = inner
    return scope


def enables(node: Node, write: Write, rounds: list[Round], reach: Reach) -> list[Enable]:
    """The enable of a write in each round of the loops around it."""
    at = write.node or node
    drive = write.drive
    known = At(write.body, drive.scope, drive.process, drive.order, drive.guards, write.loops)
    guards = [(one, inlined(one.condition, known)) for one in drive.guards]
    names = {loop.name for loop in write.loops}
    fixed: list[_Condition] = []
    moving: list[tuple[Guard, Expr]] = []
    for guard, condition in guards:
        if names.isdisjoint(simple_names(condition)):
            fixed.extend(_conditions(guard, condition, guard.scope, at, reach))
        else:
            moving.append((guard, condition))
    clock: Key = (
        ()
        if drive.clock is None
        else (drive.clock.edge, key(drive.clock.signal, drive.clock.scope, (), at, reach))
    )
    found: list[Enable] = []
    for values in rounds:
        scope = in_round(write.scope, values)
        address = tuple(key(index, scope, (), at, reach) for index in write.indices)
        conditions = set(fixed)
        for guard, condition in moving:
            conditions.update(_conditions(guard, condition, in_round(guard.scope, values), at, reach))
        found.append(Enable((id(at), clock, address), frozenset(conditions)))
    return found


def _conditions(
    guard: Guard, condition: Expr, scope: Scope, node: Node, reach: Reach
) -> Iterator[_Condition]:
    """What holds in a branch, taken apart where several conditions must hold together."""
    if guard.kind == "case":
        # An arm by its place in the source: generate blocks repeat it, another case has other arms.
        span = guard.condition.span
        subject = key(condition, scope, (), node, reach)
        yield ("case", span.file, span.start, guard.branch, subject), True
        return
    yield from _holding(condition, guard.branch == 0, scope, node, reach)


def _holding(condition: Expr, truth: bool, scope: Scope, node: Node, reach: Reach) -> Iterator[_Condition]:
    both = ("&&", "&") if scope.language == "vhdl" else ("&&",)
    match condition:
        case Unary(op="!" | "not", operand=operand):
            yield from _holding(operand, not truth, scope, node, reach)
        case Binary(op=op, left=left, right=right) if truth and op in both:
            yield from _holding(left, True, scope, node, reach)
            yield from _holding(right, True, scope, node, reach)
        case _:
            yield key(condition, scope, (), node, reach), truth


def written_together(parts: dict[Enable, int]) -> list[int]:
    """For each enable the bits written whenever it holds, given the bits that stand under each."""
    merged = dict(parts)
    # What both branches of a condition write is written without it.
    waiting = sorted(merged, key=lambda one: -len(one.conditions))
    while waiting:
        enable = waiting.pop()
        for condition, truth in enable.conditions:
            rest = enable.conditions - {(condition, truth)}
            other = merged.get(Enable(enable.place, rest | {(condition, not truth)}), 0)
            common = merged[enable] & other
            without = Enable(enable.place, rest)
            if common & ~merged.get(without, 0):
                merged[without] = merged.get(without, 0) | common
                waiting.append(without)
    found: list[int] = []
    for enable in parts:
        bits = 0
        for weaker in _weaker(enable, merged):
            bits |= merged[weaker]
        found.append(bits)
    return found


def _weaker(enable: Enable, known: dict[Enable, int]) -> Iterator[Enable]:
    """The enables that hold whenever one does, itself among them."""
    if len(enable.conditions) > _FEW:
        for one in known:
            if one.place == enable.place and one.conditions <= enable.conditions:
                yield one
        return
    for count in range(len(enable.conditions) + 1):
        for chosen in combinations(enable.conditions, count):
            one = Enable(enable.place, frozenset(chosen))
            if one in known:
                yield one
