"""What else goes into the register that takes a word, and whether that is logic (design.md, "Reads").

Beside the word a register may take its own value (an enable), a constant (a reset) or the word being
written (a bypass). Where a multiplexer stands, in the register's process or before it, makes no difference;
any other value is logic. So the values met on the way are carried along and judged at the register.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import Enum

from memlint.design.addresses import Key, Reach, key
from memlint.design.body import Drive, LoopVariable, Signal
from memlint.design.contents import is_constant
from memlint.design.hierarchy import Node, locate
from memlint.design.interface_views import InterfaceViews
from memlint.design.parts import concerned
from memlint.design.scope import Scope
from memlint.design.steps import Part, other_part, overlap, same_part
from memlint.design.trace_addresses import child_output
from memlint.design.uses import CONVERSIONS, Use
from memlint.design.values import Int, Unknown
from memlint.reading.facts.expressions import (
    Call,
    Cast,
    Concat,
    Conditional,
    Expr,
    Index,
    Member,
    Name,
    Pattern,
    Replicate,
    Slice,
)
from memlint.text.source import Span

# Wires that a value beside a word is followed over before it counts as logic.
_MOST_WIRES = 1_000


class Kind(Enum):
    """What a value beside the word is to the register."""

    HOLD = "the register's own value"
    REGISTERED = "the value of a register, maybe of the one behind"
    CONSTANT = "a constant"
    BYPASS = "what is being written"
    ANOTHER_READ = "another word of the same array"
    DATA = "anything else"


@dataclass(frozen=True, slots=True)
class Other:
    """A value that a net takes where it does not take the word.

    `place` is the part of the net that takes it, None where that is not known; `rest` is the part of
    `value` that goes there.
    """

    node: Node
    value: Expr
    scope: Scope
    loops: tuple[LoopVariable, ...]
    rest: Part
    place: Part | None
    span: Span


@dataclass(frozen=True, slots=True)
class Word:
    """A word on its way: the array it is from (and a copy it is read through), and what is written there.

    See `word_key` for `written`.
    """

    views: InterfaceViews
    arrays: tuple[Signal, ...]
    written: frozenset[Key]


def word_key(expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], node: Node) -> Key:
    """A value equal for expressions of a design that name one net, or are written alike in one instance."""
    found = key(expr, scope, loops, node, Reach.DESIGN)
    return found if found[0] in ("net", "of") else (id(node), *found)


def carried(use: Use, drive: Drive, part: Part) -> Part:
    """The part of a drive's target that holds what was `part` of the signal used for its value."""
    if use.span != drive.value.span or use.signal.item.name == drive.signal.item.name:
        # Joined with more, converted or the like: somewhere in the target.
        return drive.steps
    return (*drive.steps, *part[len(use.steps) :])


def passed_on(others: tuple[Other, ...], use: Use, value: Expr, into: Part) -> tuple[Other, ...]:
    """The values beside a word after its net is used in `value`, which is put into a part of another net."""
    found: list[Other] = []
    for other in others:
        if other.place is None or isinstance(value, Concat | Replicate | Pattern):
            found.append(replace(other, place=None))
        elif not other_part(other.place, use.steps) and overlap(
            other.place, use.steps, other.scope, use.scope
        ):
            beyond = use.steps[len(other.place) :]
            place = (*into, *other.place[len(use.steps) :])
            found.append(replace(other, rest=(*other.rest, *beyond), place=place))
    return tuple(found)


def beside(node: Node, use: Use, drive: Drive, part: Part) -> Iterator[Other]:
    """The values that `part` of a drive's target takes instead of the word that is used."""
    whole = not isinstance(drive.value, Concat | Replicate | Pattern)
    for value in use.others:
        yield Other(node, value, use.scope, use.loops, (), drive.steps if whole else None, value.span)
    for one in other_drives(drive):
        if one.value == drive.value and one.scope is drive.scope:
            continue
        value = one.value
        place: Part | None = one.steps
        rest: Part = ()
        if one.part is not None:
            at, count = one.part
            if isinstance(value, Concat) and len(value.parts) == count:
                value = value.parts[at]
            else:
                place = None
        elif len(part) >= len(one.steps):
            place, rest = part, part[len(one.steps) :]
        yield Other(node, value, one.scope, one.loops, rest, place, one.span)


def other_drives(drive: Drive) -> Iterator[Drive]:
    """The other drives of the same bits that count beside one; an asynchronous reset does not."""
    for one in drive.signal.drives:
        if one is drive or one.initial or one.reset or _overridden(one, drive):
            continue
        if overlap(one.steps, drive.steps, one.scope, drive.scope):
            yield one


def _overridden(earlier: Drive, by: Drive) -> bool:
    """Whether a drive of one process never counts, because another follows wherever it is made."""
    if earlier.process is not by.process or earlier.order >= by.order or by.loops:
        return False
    return by.guards == earlier.guards[: len(by.guards)]


def kinds(other: Other, word: Word, register: tuple[Node, Signal] | None) -> Iterator[Kind]:
    """What a value beside the word may be; `register` takes both, None where that is not known yet."""
    seen: set[object] = set()
    waiting = [other]
    while waiting:
        one = waiting.pop()
        found = _kind(one, word, register, seen)
        if isinstance(found, Kind):
            yield found
        else:
            waiting.extend(reversed(found))


def _kind(
    other: Other, word: Word, register: tuple[Node, Signal] | None, seen: set[object]
) -> Kind | list[Other]:
    """What one value is, or the values that it is made of; those already looked at are none."""
    value = other.value
    if is_constant(value, other.scope) or not isinstance(other.scope.evaluate(value), Unknown):
        return Kind.CONSTANT
    if not other.rest and word_key(value, other.scope, other.loops, other.node) in word.written:
        return Kind.BYPASS
    match value:
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            decided = other.scope.evaluate(condition)
            arms = ((then, True), (otherwise, False))
            return [
                replace(other, value=arm)
                for arm, truth in arms
                if not isinstance(decided, Int) or bool(decided.value) is truth
            ]
        case Cast(value=inner):
            return [replace(other, value=inner)]
        case Call(function=Name(name=name), arguments=(inner, *_)) if name in CONVERSIONS:
            return [replace(other, value=inner)]
        case Name() | Index() | Slice() | Member() | Call():
            located = locate(other.node, value, other.scope)
        case _:
            located = None
    if located is None:
        return Kind.DATA
    at, signal, steps = located
    if signal in word.arrays:
        return Kind.ANOTHER_READ
    part = (*steps, *other.rest)
    if register is not None and at is register[0] and signal is register[1]:
        same = other.place is not None and same_part(part, other.place, other.scope)
        return Kind.HOLD if same else Kind.DATA
    place = (id(at), id(signal), part, other.place)
    if place in seen:
        return []
    if len(seen) > _MOST_WIRES:
        return Kind.DATA
    seen.add(place)
    sources = list(_sources(other, at, signal, part, word.views))
    if sources:
        return sources
    stored = register is None and any(one.clock is not None for _, one in word.views.drives(at, signal))
    return Kind.REGISTERED if stored else Kind.DATA


def _sources(other: Other, node: Node, signal: Signal, part: Part, views: InterfaceViews) -> Iterator[Other]:
    """What drives a part of a wire; nothing if a register or a latch does."""
    driving = [
        (at, one)
        for at, one in views.drives(node, signal)
        if not one.initial and overlap(one.steps, part, one.scope, other.scope)
    ]
    if any(one.clock is not None or one.process.kind == "latch" or one.part for _, one in driving):
        return
    if len(driving) == 1 and driving[0][1].guards:
        return
    for at, one in driving:
        place = other.place
        if place is not None and len(one.steps) > len(part):
            place = (*place, *one.steps[len(part) :])
        yield Other(at, one.value, one.scope, one.loops, part[len(one.steps) :], place, other.span)
    if driving:
        return
    if signal.direction == "input" and node.parent is not None and node.child is not None:
        connection = node.child.connections.get(signal.item.name)
        if connection is None or connection.value is None:
            return
        rest = () if isinstance(connection.value, Pattern) else part
        for actual in concerned(connection.value, part):
            yield replace(other, node=node.parent, value=actual, scope=node.child.scope, loops=(), rest=rest)
        return
    below = child_output(node, signal)
    if below is not None:
        inner, formal = below
        yield replace(other, node=inner, value=formal, scope=inner.body.scope, loops=(), rest=part)
