"""Variables of a process that only name an expression, replaced by it where an array is accessed.

`at := to_integer(unsigned(address)); store(at) <= word;` writes at `address`, and a loop that computes a
bound in a variable writes a part that the loop variable alone settles.
"""

from __future__ import annotations

from dataclasses import replace

from memlint.design.body import Body, Drive, Guard, LoopVariable, ProcessFacts, SelectStep, Signal
from memlint.design.scope import Scope
from memlint.design.signals import signal_named
from memlint.design.substitute import substitute
from memlint.reading.facts.expressions import Call, Concat, Expr, Name
from memlint.reading.facts.items import Variable
from memlint.text.source import Span

_DEEPEST = 8


class At:
    """Where an expression is used: in a process, at a place among its assignments (None: not known)."""

    __slots__ = ("body", "guards", "loops", "order", "process", "scope")

    def __init__(
        self,
        body: Body,
        scope: Scope,
        process: ProcessFacts | None,
        order: int | None,
        guards: tuple[Guard, ...] | None,
        loops: tuple[LoopVariable, ...],
    ) -> None:
        self.body = body
        self.scope = scope
        self.process = process
        self.order = order
        self.guards = guards
        self.loops = loops


def inlined(expr: Expr, at: At, depth: int = 0) -> Expr:
    """The expression with each variable in it replaced by what was last assigned to it, if that is sure."""
    from memlint.design.arrays import simple_names

    if at.process is None or depth >= _DEEPEST:
        return expr
    values: dict[str, Expr] = {}
    for name in dict.fromkeys(simple_names(expr)):
        if any(loop.name == name for loop in at.loops):
            continue
        signal = signal_named(name, at.scope, at.body)
        value = _value(signal, at, expr.span) if signal is not None else None
        if value is not None:
            values[name] = inlined(value[0], value[1], depth + 1)
    return substitute(expr, values) if values else expr


def inlined_steps(steps: tuple[SelectStep, ...], at: At) -> tuple[SelectStep, ...]:
    """The same for the expressions of selects."""
    changed: list[SelectStep] = []
    for step in steps:
        first = inlined(step.expr, at) if step.expr is not None else None
        second = inlined(step.right, at) if step.right is not None else None
        same = first is step.expr and second is step.right
        changed.append(step if same else replace(step, expr=first, right=second))
    return tuple(changed)


def _value(signal: Signal, at: At, span: Span) -> tuple[Expr, At] | None:
    """What a variable holds at a place, and the place its value is meant at."""
    if not isinstance(signal.item, Variable) or signal.item.kind not in ("variable", "net"):
        return None
    drives = [one for one in signal.drives if not one.initial]
    if not drives or any(not one.blocking or one.process is not at.process for one in drives):
        return None
    if at.order is not None:
        drives = [one for one in drives if one.order < at.order and not _excluded(one, at)]
    elif len(drives) > 1:
        return None
    if not drives or any(_elsewhere(one, signal, at) for one in drives):
        return None
    last = drives[-1]
    inner = At(at.body, last.scope, at.process, last.order, last.guards, last.loops)
    if not last.steps and _always(last, at):
        return last.value, inner
    parts = tuple(one.value for one in drives)
    if all(_always(one, at) for one in drives):
        # Assigned part by part: the parts together stand for it.
        return Concat(parts, span=span), inner
    # A choice of values, which no expression of the source stands for.
    return Call(Name("one of", span=span), parts, span=span), inner


def _elsewhere(drive: Drive, signal: Signal, at: At) -> bool:
    """Whether an assignment cannot be looked into here, or uses the variable itself (`at := at + 1`)."""
    if drive.scope is not at.scope or drive.part is not None or drive.loops != at.loops[: len(drive.loops)]:
        return True
    return _mentions(drive.value, signal.item.name)


def _always(drive: Drive, at: At) -> bool:
    """Whether an assignment is made whenever the place is reached: it stands in no branch of its own."""
    return at.guards is None or drive.guards == at.guards[: len(drive.guards)]


def _excluded(drive: Drive, at: At) -> bool:
    """Whether an assignment stands in another branch than the place."""
    branches = {guard.site: guard.branch for guard in at.guards or ()}
    return any(branches.get(guard.site, guard.branch) != guard.branch for guard in drive.guards)


def _mentions(expr: Expr, name: str) -> bool:
    from memlint.design.arrays import simple_names

    return name in simple_names(expr)
