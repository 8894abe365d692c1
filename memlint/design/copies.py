"""Combinational copies of an array: indexing the copy reads the array."""

from __future__ import annotations

from memlint.design.array_shapes import ArrayShape
from memlint.design.arrays import ArrayFacts, Read
from memlint.design.body import Body, Drive, SelectStep
from memlint.design.neighbours import Neighbours
from memlint.design.signals import resolve
from memlint.design.steps import same_step


def reads_through_copies(facts: ArrayFacts, reads: list[Read], others: Neighbours, body: Body) -> list[Read]:
    """The reads of an array, those that only copy it replaced by what reads the copy.

    A copy is an array of wires that takes over words of another, each at its own place. Single words of it
    may be something else (a register file whose word 0 is a constant).
    """
    copies: list[ArrayFacts] = []
    for other, drive in others.copies.get(facts.signal, ()):
        if other is not facts and other not in copies[-1:] and _is_copy(drive, other, facts, body):
            copies.append(other)
    if not copies:
        return reads
    signals = [copy.signal for copy in copies]
    kept = [one for one in reads if one.use.drive is None or one.use.drive.signal not in signals]
    return [*kept, *(one for copy in copies for one in copy.reads)]


def _is_copy(drive: Drive, other: ArrayFacts, facts: ArrayFacts, body: Body) -> bool:
    found = resolve(drive.value, drive.scope, body)
    if found is None or found[0] is not facts.signal:
        return False
    mine = _rest(drive.steps, other.shape)
    theirs = _rest(found[1], facts.shape)
    if mine is None or theirs is None or mine[1] != theirs[1] or len(mine[0]) != len(theirs[0]):
        return False
    return all(same_step(one, two, drive.scope) for one, two in zip(mine[0], theirs[0], strict=True))


def _rest(
    steps: tuple[SelectStep, ...], shape: ArrayShape
) -> tuple[list[SelectStep], tuple[str | None, ...]] | None:
    """The selects of dimensions that are made, and the way that is left to a word."""
    for step, wanted in zip(steps, shape.path, strict=False):
        if (step.name if step.kind == "field" else None) != wanted:
            return None
    selects = [step for step in steps if step.kind != "field"]
    return (selects, shape.path[len(steps) :]) if len(steps) <= len(shape.path) else None
