"""Planned memories: a `plan` in an intent is a memory before its RTL exists, one per instance of its unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeVar

from memlint.design.hierarchy import Node
from memlint.design.intents import IntentBinder
from memlint.design.memory import Access, BoundIntent, Clock, Memory, MemoryPort, Note
from memlint.reading.intent.clauses import (
    Clocks,
    Holds,
    InitialContents,
    Intent,
    Plan,
    Ports,
    ReadWithin,
    Shape,
    Times,
    WriteLanes,
)

Kind = TypeVar("Kind")
# The factor of a quantity that has the unit of a word: `30 bit`, `byte`.
_WORD = re.compile(r"(?:(\d+)\s*)?\b(bit|byte)\b")


def planned_memories(nodes: tuple[Node, ...], binder: IntentBinder) -> Iterator[Memory]:
    """The planned memories of a hierarchy; `times` of them are its banks."""
    for node in nodes:
        for intent in node.body.intents:
            plan = _clause(intent, Plan)
            if plan is not None:
                yield _planned(node, intent, plan, binder)


def _clause(intent: Intent, kind: type[Kind]) -> Kind | None:
    return next((clause for clause in intent.clauses if isinstance(clause, kind)), None)


def _planned(node: Node, intent: Intent, plan: Plan, binder: IntentBinder) -> Memory:
    bound = binder.bind_unit(intent, node)
    depth, width, unresolved = _shape(intent)
    times = _clause(intent, Times)
    within = _clause(intent, ReadWithin)
    clocks, known = _clocks(bound)
    ports, note = _ports(intent, plan, clocks)
    read = None if within is None else "asynchronous" if within.cycles == 0 else "synchronous"
    return Memory(
        path=f"{node.path}.{plan.name}",
        unit=node.body.unit.name,
        name=plan.name,
        language=node.body.language,
        span=plan.span,
        statement=intent.span,
        depth=depth,
        width=width,
        banks=times.count if times is not None else 1,
        ports=ports,
        clocks=clocks,
        clocks_known=known,
        read=read,
        unresolved=unresolved,
        unresolved_span=plan.span if unresolved else None,
        lanes=_lanes(intent, width),
        contents="given" if _clause(intent, InitialContents) is not None else "none",
        intents=(bound,),
        decisions=(Note("planned: nothing in the HDL declares it yet", plan.span), *note),
        planned=True,
    )


def _shape(intent: Intent) -> tuple[int | None, int | None, str | None]:
    shape = _clause(intent, Shape)
    if shape is not None:
        return shape.depth, shape.width, None
    holds = _clause(intent, Holds)
    if holds is None:
        return None, None, "the plan states neither `shape` nor `holds`"
    word = _WORD.search(holds.text)
    if word is None:
        return None, None, "the plan says how much it holds, but not the width of a word: add `shape`"
    width = int(word[1] or 1) if word[2] == "bit" else 8
    return -(-holds.bits // width), width, None


def _clocks(bound: BoundIntent) -> tuple[tuple[Clock, ...], bool]:
    stated = next((one for one in bound.intent.clauses if isinstance(one, Clocks)), None)
    if stated is None:
        return (), False
    nets = tuple(clock for _, clock in bound.clocks if clock is not None)
    return nets, stated.one or len(nets) == len(stated.names)


def _ports(
    intent: Intent, plan: Plan, clocks: tuple[Clock, ...]
) -> tuple[tuple[MemoryPort, ...], tuple[Note, ...]]:
    stated = _clause(intent, Ports)
    note: tuple[Note, ...] = ()
    if stated is None:
        stated = Ports(1, 1, 0, span=plan.span)
        note = (Note("its ports are not stated: counted as 1w 1r", plan.span),)
    if stated.rom:
        stated = Ports(0, 1, 0, rom=True, span=stated.span)
    clock = clocks[0] if len(clocks) == 1 else None
    write, read = Access("write", plan.span, "", clock), Access("read", plan.span, "", clock)
    ports = [MemoryPort(True, False, clock, (write,))] * stated.w
    ports += [MemoryPort(False, True, clock, (read,))] * stated.r
    ports += [MemoryPort(True, True, clock, (write, read))] * stated.rw
    return tuple(ports), note


def _lanes(intent: Intent, width: int | None) -> tuple[int, ...]:
    stated = _clause(intent, WriteLanes)
    if stated is None or width is None:
        return ()
    widths = (stated.each,) * (width // stated.each) if stated.each else stated.widths
    return tuple(reversed(widths)) if sum(widths) == width and len(widths) > 1 else ()
