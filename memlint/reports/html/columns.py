"""Which memory's chains stand in which column of a tier."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from memlint.device.facts import Tier
from memlint.mapping.chains import chain_limits
from memlint.mapping.columns import arrange
from memlint.rules.view import MemoryView

MOST_RUNS = 20_000
"""Blocks and chains that are still placed one by one; a design of more is not drawn."""


@dataclass(frozen=True, slots=True)
class Run:
    """Blocks of one memory that stand one above the other, `times` like it."""

    view: MemoryView
    blocks: int
    times: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """A column of so many blocks and what stands in it, from the bottom up."""

    height: int
    runs: tuple[Run, ...]

    @property
    def free(self) -> int:
        """Blocks that nothing stands in."""
        return self.height - sum(run.blocks for run in self.runs)


@dataclass(frozen=True, slots=True)
class Standing:
    """An arrangement of a tier's memories; `reason` says why there is none, and then `columns` are empty.

    `uncounted` memories of the tier have no known blocks.
    """

    columns: tuple[Column, ...]
    runs: tuple[Run, ...]
    reason: str
    uncounted: tuple[MemoryView, ...]


def standing(views: Sequence[MemoryView], tier: Tier) -> Standing:
    """One way to stand these memories in the tier's columns: an arrangement that fits, not where a build
    will put them."""
    uncounted = tuple(view for view in views if view.placement is None or view.placement.blocks is None)
    runs = tuple(run for view in views for run in _runs(view, tier))
    heights = sorted((one.blocks for one in tier.columns for _ in range(one.count)), reverse=True)
    if sum(run.times for run in runs) > MOST_RUNS:
        reason = f"{sum(run.times for run in runs):,} chains and blocks are too many to draw"
        return Standing(tuple(Column(height, ()) for height in heights), runs, reason, uncounted)
    chains = [run.blocks for run in runs if run.blocks > 1 for _ in range(run.times)]
    singles = sum(run.times for run in runs if run.blocks == 1)
    found = arrange(chains, singles, tier.columns)
    if not found.fits:
        return Standing(tuple(Column(height, ()) for height in heights), runs, found.reason, uncounted)
    return Standing(_named(found.columns, heights, runs), runs, "", uncounted)


def _runs(view: MemoryView, tier: Tier) -> Iterator[Run]:
    """The chains a memory is made of, each at most as long as the tier's depth wires reach."""
    here = view.placement
    if here is None or here.blocks is None:
        return
    mode = tier.mode(here.mode or "")
    limits = None if mode is None else chain_limits(tier, mode)
    times = view.memory.banks * (here.copies or 1)
    lengths: dict[int, int] = {}
    for cut in here.cuts:
        blocks = ceil(cut.blocks)
        if limits is None or not limits.hardened:
            lengths[1] = lengths.get(1, 0) + blocks * times
            continue
        pieces = limits.pieces(blocks)
        for piece in range(pieces):
            length = blocks // pieces + (piece < blocks % pieces)
            lengths[length] = lengths.get(length, 0) + times
    for length in sorted(lengths, reverse=True):
        yield Run(view, length, lengths[length])


def _named(
    columns: Sequence[Sequence[int]], heights: Sequence[int], runs: Sequence[Run]
) -> tuple[Column, ...]:
    """The arrangement's lengths with memories to them; like neighbours are one run."""
    waiting: dict[int, deque[list[object]]] = {}
    for run in runs:
        waiting.setdefault(run.blocks, deque()).append([run.view, run.times])
    named = []
    for height, lengths in zip(heights, columns, strict=True):
        held: list[Run] = []
        for length in lengths:
            view = _next(waiting[length])
            if held and held[-1].view is view and length == 1 == held[-1].blocks // held[-1].times:
                held[-1] = Run(view, held[-1].blocks + 1, held[-1].times + 1)
            else:
                held.append(Run(view, length))
        named.append(Column(height, tuple(held)))
    return tuple(named)


def _next(queue: deque[list[object]]) -> MemoryView:
    view, left = queue[0]
    assert isinstance(view, MemoryView) and isinstance(left, int)
    if left == 1:
        queue.popleft()
    else:
        queue[0][1] = left - 1
    return view
