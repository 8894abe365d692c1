"""Whether all chains of a design fit the columns of a tier together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.device.facts import Column

MOST_TRIES = 200_000
"""States tried before the question is left open."""

MOST_SEARCHED = 400
"""Chains up to which every arrangement is tried when the obvious one does not fit."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """`fits` is None when the search was given up. `columns` are the chains in each column, in blocks,
    tallest column first, when it fits; `reason` says why it does not, or that it is not known."""

    fits: bool | None
    columns: tuple[tuple[int, ...], ...] = ()
    reason: str = ""


def arrange(chains: Sequence[int], singles: int, columns: Sequence[Column]) -> Arrangement:
    """Put chains (their lengths in blocks, each in one column) and `singles` blocks into the columns.

    Exact unless given up: a column holds what its blocks add up to, so this is bin packing. Chains longer
    than the tallest column must have been split before.
    """
    heights = sorted((column.blocks for column in columns for _ in range(column.count)), reverse=True)
    lengths = sorted((length for length in chains if length > 1), reverse=True)
    single = singles + sum(length == 1 for length in chains)
    needed, there = sum(lengths) + single, sum(heights)
    if needed > there:
        return Arrangement(False, reason=f"{needed:,} blocks are needed, the columns hold {there:,}")
    if lengths and lengths[0] > heights[0]:
        return Arrangement(
            False, reason=f"a chain of {lengths[0]} blocks is longer than the tallest column of {heights[0]}"
        )
    for length in sorted(set(lengths), reverse=True):
        long = sum(one >= length for one in lengths)
        room = sum(height // length for height in heights)
        if long > room:
            return Arrangement(
                False, reason=f"{long} chains are {length} blocks or longer, the columns have room for {room}"
            )
    return _search(lengths, single, heights)


def _search(lengths: list[int], single: int, heights: list[int]) -> Arrangement:
    held = _tightest(lengths, heights)
    if held is None and len(lengths) > MOST_SEARCHED:
        return Arrangement(None, reason=f"{len(lengths)} chains are too many to try every arrangement")
    if held is None:
        search = _Exhaustive(lengths, heights)
        done = search.put(0)
        if done is None:
            reason = f"no arrangement was found in {MOST_TRIES:,} tries, and none can be excluded"
            return Arrangement(None, reason=reason)
        if not done:
            named = ", ".join(map(str, lengths))
            return Arrangement(False, reason=f"chains of {named} blocks cannot share these columns")
        held = search.held
    for column, height in enumerate(heights):
        filled = min(height - sum(held[column]), single)
        held[column] += [1] * filled
        single -= filled
    return Arrangement(True, tuple(tuple(column) for column in held))


def _tightest(lengths: list[int], heights: list[int]) -> list[list[int]] | None:
    """Each chain, longest first, in the column it leaves the least room in; None if one finds none."""
    left = list(heights)
    held: list[list[int]] = [[] for _ in heights]
    for length in lengths:
        open_to = [column for column, room in enumerate(left) if room >= length]
        if not open_to:
            return None
        column = min(open_to, key=left.__getitem__)
        left[column] -= length
        held[column].append(length)
    return held


class _Exhaustive:
    """Every arrangement of the chains, longest first; columns with equal room count as one."""

    __slots__ = ("held", "left", "lengths", "seen", "tries")

    def __init__(self, lengths: list[int], heights: list[int]) -> None:
        self.lengths = lengths
        self.left = list(heights)
        self.held: list[list[int]] = [[] for _ in heights]
        self.seen: set[tuple[int, tuple[int, ...]]] = set()
        self.tries = 0

    def put(self, at: int) -> bool | None:
        """Whether the chains from `at` on can be placed; None when the tries are used up."""
        if at == len(self.lengths):
            return True
        state = (at, tuple(sorted(self.left)))
        if state in self.seen:
            return False
        self.tries += 1
        if self.tries > MOST_TRIES:
            return None
        length, tried = self.lengths[at], set()
        for column in sorted(range(len(self.left)), key=self.left.__getitem__):
            room = self.left[column]
            if room < length or room in tried:
                continue
            tried.add(room)
            self.left[column] -= length
            self.held[column].append(length)
            done = self.put(at + 1)
            if done is not False:
                return done
            self.left[column] += length
            self.held[column].pop()
        self.seen.add(state)
        return False
