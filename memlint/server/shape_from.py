"""Where the dimensions of a memory come from, name by name."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from memlint.design.body import Signal
from memlint.design.hierarchy import Node
from memlint.design.memory import Memory
from memlint.design.origins import Origin, shape_origins
from memlint.rules import wording
from memlint.server.analysis import Judged

_MOST = 6


def shape_from(memory: Memory, judged: Judged) -> list[str]:
    """A line for each constant, type and override that the shape follows from, nearest first; none where
    the dimensions are numbers."""
    place = _declared(memory, judged)
    if place is None:
        return []
    lines = list(islice(dict.fromkeys(_lines(place, judged)), _MOST + 1))
    return [*lines[:_MOST], "and more"] if len(lines) > _MOST else lines


def _declared(memory: Memory, judged: Judged) -> tuple[Node, Signal] | None:
    """The instance that a memory is declared in, and the array: the inmost that has one of that name."""
    found: tuple[Node, Signal] | None = None
    for node in judged.design.nodes:
        if memory.path.startswith(f"{node.path}."):
            signal = node.body.signals.get(memory.path[len(node.path) + 1 :])
            if signal is not None:
                found = node, signal
    return found


def _lines(place: tuple[Node, Signal], judged: Judged) -> Iterator[str]:
    """`WORDS` is 8,200 (where it is declared), set by the instance (where)."""
    line = ""
    for one in shape_origins(*place):
        if one.kind == "override":
            line += f", set by the instance{_place(one, judged)}"
            continue
        if line:
            yield line
        said = _said(one)
        line = f"{said}{_place(one, judged)}" if said else ""
    if line:
        yield line


def _said(one: Origin) -> str:
    match one.kind:
        case "constant":
            return f"`{one.name}` is {'not known' if one.value is None else f'{one.value:,}'}"
        case "type":
            has = "" if one.value is None else f" has {wording.plural(one.value, 'bit')}"
            return f"type `{one.name}`{has}"
    return ""


def _place(one: Origin, judged: Judged) -> str:
    source = judged.judgement.sources.get(one.span.file)
    return "" if source is None else f" ({one.span.file}:{source.position(one.span.start).line})"
