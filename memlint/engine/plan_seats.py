"""Where a comment on an instance can name the tier of a memory in it, one place for each tier."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from memlint.design.design import Design
from memlint.reading.intent.clauses import In
from memlint.rules.view import MemoryView
from memlint.text.source import Span


@dataclass(frozen=True, slots=True)
class Seat:
    """An instance whose statement may carry an intent. `level` counts the instances from the root down, the
    outermost is 1; of two intents the lower level wins."""

    path: str
    name: str
    statement: Span
    level: int


@dataclass(frozen=True, slots=True)
class Seated:
    """Memories that one comment at a statement speaks for: `on` is their path below its instances."""

    seat: Seat
    on: str
    views: tuple[MemoryView, ...]


def seats_of(design: Design) -> Mapping[str, Seat]:
    """The seat of every instance but the roots, by path."""
    found: dict[str, Seat] = {}
    for node in design.nodes:
        if node.child is not None:
            level = sum(at.child is not None for at in node.above())
            instance = node.child.instance
            found[node.path] = Seat(node.path, instance.name, instance.statement, level)
    return found


def seated(
    views: Sequence[MemoryView], tier_of: Mapping[str, str], seats: Mapping[str, Seat]
) -> tuple[list[Seated], list[MemoryView]]:
    """Memories of one declaration, each at the inmost instance whose statement speaks for memories of one
    tier alone; and those for which there is none. `tier_of` gives the tiers by path."""
    found: list[Seated] = []
    left = list(views)
    steps = 1
    while left:
        groups: dict[tuple[Span, str], list[tuple[Seat, MemoryView]]] = {}
        for view in left:
            seat = _above(view.memory.path, steps, seats)
            if seat is not None and seat.level < _level(view):
                on = view.memory.path[len(seat.path) + 1 :]
                groups.setdefault((seat.statement, on), []).append((seat, view))
        if not groups:
            break
        for (_, on), held in groups.items():
            here = tuple(view for _, view in held)
            if len({tier_of.get(view.memory.path) for view in here}) == 1:
                found.append(Seated(held[0][0], on, here))
        settled = {view.memory.path for one in found for view in one.views}
        left = [view for view in left if view.memory.path not in settled]
        steps += 1
    return found, left


def _above(path: str, steps: int, seats: Mapping[str, Seat]) -> Seat | None:
    """The instance so many instances above a memory, its own the first."""
    for holder in _holders(path):
        if holder in seats:
            steps -= 1
            if not steps:
                return seats[holder]
    return None


def _holders(path: str) -> Iterable[str]:
    """Every dotted beginning of a path, longest first."""
    return (path[:at] for at in range(len(path) - 1, 0, -1) if path[at] == ".")


def _level(view: MemoryView) -> int:
    """The level of the intent that names its tiers now; more than any where none does."""
    bound = view.bound(In)
    return 1 << 30 if bound is None else bound.bound.level
