"""Which memory's chains stand in which column of a tier."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass

from memlint.device.facts import Tier
from memlint.mapping.columns import arrange, heights_of
from memlint.mapping.columns_pieces import pieces_of
from memlint.rules.view import MemoryView

MOST_RUNS = 20_000
"""Blocks and chains that are still placed one by one; a design of more is not drawn."""

MOST_TRIES = 20_000
"""Steps of the search for an arrangement, as few as the rule `columns-do-not-fit` takes."""


@dataclass(frozen=True, slots=True)
class Run:
    """Blocks of one memory that stand one above the other, `times` like it; in a column, single blocks that
    stand together are one run of as many `blocks` as `times`."""

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
    runs, uncounted, parts = _runs(views, tier)
    heights = heights_of(tier.columns)
    empty = tuple(Column(height, ()) for height in heights)
    count = sum(run.times for run in runs)
    if parts:
        return Standing(empty, runs, f"{parts} takes parts of blocks, which are not drawn", uncounted)
    if count > MOST_RUNS:
        return Standing(empty, runs, f"{count:,} chains and blocks are too many to draw", uncounted)
    chains = [run.blocks for run in runs if run.blocks > 1 for _ in range(run.times)]
    singles = sum(run.times for run in runs if run.blocks == 1)
    found = arrange(chains, singles, tier.columns, MOST_TRIES)
    if not found.fits:
        return Standing(empty, runs, found.reason, uncounted)
    return Standing(_named(found.columns, heights, runs), runs, "", uncounted)


def _runs(views: Sequence[MemoryView], tier: Tier) -> tuple[tuple[Run, ...], tuple[MemoryView, ...], str]:
    """The chains and single blocks of all memories, those that could not be counted, and the first that
    takes a part of a block."""
    runs: list[Run] = []
    uncounted: list[MemoryView] = []
    parts = ""
    for view in views:
        pieces = pieces_of(view.placement, tier, view.memory.banks) if view.placement else None
        if pieces is None:
            uncounted.append(view)
            continue
        if pieces.singles.denominator > 1:
            parts = parts or view.memory.path
        runs += [Run(view, length, times) for length, times in Counter(pieces.chains).items()]
        if pieces.singles:
            runs.append(Run(view, 1, -(-pieces.singles.numerator // pieces.singles.denominator)))
    return tuple(runs), tuple(uncounted), parts


def _named(
    columns: Sequence[Sequence[int]], heights: Sequence[int], runs: Sequence[Run]
) -> tuple[Column, ...]:
    """The arrangement's lengths with memories to them; like neighbours are one run."""
    waiting: dict[int, deque[MemoryView]] = {}
    for run in runs:
        waiting.setdefault(run.blocks, deque()).extend([run.view] * run.times)
    named = []
    for height, lengths in zip(heights, columns, strict=True):
        held: list[Run] = []
        for length in lengths:
            view = waiting[length].popleft()
            if length == 1 and held and held[-1].view is view and held[-1].blocks == held[-1].times:
                held[-1] = Run(view, held[-1].blocks + 1, held[-1].times + 1)
            else:
                held.append(Run(view, length))
        named.append(Column(height, tuple(held)))
    return tuple(named)
