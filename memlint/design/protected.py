"""Shared variables of VHDL protected types: their bodies are not read, so what they store is not known."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.arrays import simple_names
from memlint.design.body import Body, Unread
from memlint.design.types import Shapeless
from memlint.reading.facts.items import Variable


def unread_protected(body: Body) -> Iterator[tuple[Unread, tuple[str, ...]]]:
    """Those that a register takes something from: a memory may be inside, and nobody would see it.

    Such variables of test benches, which only processes without a clock use, are passed over.
    """
    shared = {
        signal.item.name: signal
        for signal in body.signals.values()
        if isinstance(signal.item, Variable) and signal.item.kind == "shared"
    }
    if not shared:
        return
    used = {name for drive in body.drives if drive.clock is not None for name in simple_names(drive.value)}
    for name, signal in shared.items():
        if name in used and isinstance(signal.type, Shapeless) and isinstance(signal.item, Variable):
            what = "a shared variable of a protected type"
            yield Unread(what, (name,), signal.item.statement, signal.scope), (name,)
