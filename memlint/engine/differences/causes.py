"""What of one memory changed, and why."""

from __future__ import annotations

from collections.abc import Callable

from memlint.engine.differences.access_causes import access_causes, clock_causes, read_causes
from memlint.engine.differences.changes import Cause, Change
from memlint.engine.differences.pairs import (
    Pair,
    blocks_text,
    clause_text,
    clocks_text,
    ports_text,
    read_text,
    shape_text,
    tier_text,
)
from memlint.engine.differences.tier_causes import counting_causes, tier_causes
from memlint.reading.intent.clauses import Clause, Holds, Ports, Shape
from memlint.rules.totals import blocks_of
from memlint.rules.wording import plural, quoted

_EXPLAINING = frozenset(("shape", "ports", "tier"))
"""What changes blocks by itself."""


def changes_of(pair: Pair, origin_causes: Callable[[Pair], list[Cause]]) -> tuple[Change, ...]:
    """Everything about the memory that differs, each with its causes. `origin_causes` finds what made its
    shape another among the constants behind it."""
    old, new = pair.old, pair.new
    compared: tuple[tuple[str, str, str, Callable[[Pair], list[Cause]]], ...] = (
        ("shape", shape_text(old), shape_text(new), lambda pair: _shape_causes(pair, origin_causes)),
        ("ports", ports_text(old), ports_text(new), _port_causes),
        ("clocks", clocks_text(old.memory, pair.net_now), clocks_text(new.memory), clock_causes),
        ("read", read_text(old), read_text(new), read_causes),
        ("tier", tier_text(old), tier_text(new), tier_causes),
    )
    found = [
        Change(what, before, after, tuple(dict.fromkeys(causes(pair))))
        for what, before, after, causes in compared
        if before != after
    ]
    if blocks_of(old) != blocks_of(new):
        reasons = tuple(dict.fromkeys(counting_causes(pair)))
        if reasons or not _EXPLAINING.intersection(one.what for one in found):
            found.append(Change("blocks", blocks_text(old), blocks_text(new), reasons))
    return tuple(found)


def _shape_causes(pair: Pair, origin_causes: Callable[[Pair], list[Cause]]) -> list[Cause]:
    old, new = pair.old.memory, pair.new.memory
    if new.planned:
        return _clause_causes(pair, Shape, Holds)
    found = origin_causes(pair)
    if not found and old.banks != new.banks:
        found.append(Cause(f"it is indexed as {plural(new.banks, 'bank')} now", new.span))
    if not found and new.unresolved and new.unresolved != old.unresolved:
        found.append(Cause(new.unresolved, new.unresolved_span or new.span))
    return found


def _port_causes(pair: Pair) -> list[Cause]:
    return _clause_causes(pair, Ports) if pair.new.memory.planned else access_causes(pair)


def _clause_causes(pair: Pair, *kinds: type[Clause]) -> list[Cause]:
    """Clauses that state what a planned memory is, where they say something else."""
    found: list[Cause] = []
    for kind in kinds:
        was, now = pair.old.bound(kind), pair.new.bound(kind)
        words = [
            quoted(clause_text(one.clause, side)) if one is not None else "not stated"
            for one, side in ((was, pair.before), (now, pair.after))
        ]
        if words[0] != words[1]:
            found.append(Cause(" → ".join(words), now.clause.span if now else pair.new.memory.span))
    return found
