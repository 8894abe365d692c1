"""An intent that states what the HDL has now: what to write where there is none."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.rules.view import MemoryView
from memlint.rules.wording import number_in_clause, ports


def draft(views: Sequence[MemoryView]) -> str:
    """The clauses that are true of every one of these memories, as far as all is known; maybe none."""
    clauses: list[str] = []
    for said in zip(*(_clauses(view) for view in views), strict=True):
        if said[0] and len(set(said)) == 1:
            clauses.append(said[0])
    return "; ".join(clauses)


def comment(language: str, clauses: str) -> str:
    """Clauses as an intent comment of a language."""
    return f"{'--' if language == 'vhdl' else '//'} @mem {clauses}"


def _clauses(view: MemoryView) -> tuple[str, ...]:
    """Tier, shape, ports and clock, each empty where it is not known or cannot be said in one scope."""
    memory = view.memory
    w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
    is_shaped = memory.depth is not None and memory.width is not None
    has_one_clock = memory.clocks_known and len(memory.clocks) == 1
    return (
        f"in {view.tier.name}" if view.tier is not None else "",
        f"shape {number_in_clause(memory.depth or 0)} x {memory.width}" if is_shaped else "",
        "ports rom" if r and not w and not rw else f"ports {ports(w, r, rw)}" if w or r or rw else "",
        # Two clocks have names in this scope that the design does not tell.
        "one clock" if has_one_clock else "",
    )
