"""Whether all chains of a design fit the columns of a tier together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from memlint.device.facts import Column
from memlint.mapping.columns_bounds import beyond_any_arrangement
from memlint.mapping.columns_search import MOST_TRIES, pack
from memlint.mapping.columns_solver import solve_columns

MOST_NAMED = 12
"""Chains up to which a reason lists each length; above, how many there are of each."""


@dataclass(frozen=True, slots=True)
class Arrangement:
    """`fits` is None when the search was given up. `columns` are the chains in each column, in blocks,
    tallest column first, when it fits; `reason` says why it does not, or that it is not known."""

    fits: bool | None
    columns: tuple[tuple[int, ...], ...] = ()
    reason: str = ""


def arrange(
    chains: Sequence[int], singles: int, columns: Sequence[Column], most_tries: int = MOST_TRIES
) -> Arrangement:
    """Put chains (their lengths in blocks, each in one column) and `singles` blocks into the columns.

    Exact unless given up after `most_tries` steps: a column holds what its blocks add up to, so this is
    bin packing. An arrangement is its own proof; that there is none follows from a bound or from having
    tried all. Chains longer than the tallest column must have been split before.
    """
    heights = heights_of(columns)
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
    held = _tightest(lengths, heights)
    if held is None:
        if beyond_any_arrangement(lengths, heights):
            return Arrangement(False, reason=cannot_share(lengths))
        found = pack(lengths, heights, most_tries)
        if found.columns is None and not found.complete:
            found = solve_columns(lengths, heights)
        if found.complete and found.columns is None:
            return Arrangement(False, reason=cannot_share(lengths))
        if found.columns is None:
            reason = f"no arrangement was found in {most_tries:,} tries, and none can be excluded"
            return Arrangement(None, reason=reason)
        held = [list(column) for column in found.columns]
    return Arrangement(True, _filled_up(held, heights, single))


def heights_of(columns: Sequence[Column]) -> list[int]:
    """The blocks of every column, tallest first."""
    return sorted((column.blocks for column in columns for _ in range(column.count)), reverse=True)


def smallest_conflict(
    chains: Sequence[int], columns: Sequence[Column], most_tries: int = MOST_TRIES
) -> tuple[int, ...]:
    """The fewest chains that cannot share the columns, longest first; empty when all fit or it is not
    known that they do not.

    What cannot be packed cannot either with a chain replaced by a longer one, so the fewest are the
    longest: it is enough to find how many. Fewest for certain where no search was given up on the way.
    """
    lengths = sorted((length for length in chains if length > 1), reverse=True)
    if arrange(lengths, 0, columns, most_tries).fits is not False:
        return ()
    low, high = 1, len(lengths)
    while low < high:
        middle = (low + high) // 2
        if arrange(lengths[:middle], 0, columns, most_tries).fits is False:
            high = middle
        else:
            low = middle + 1
    return tuple(lengths[:high])


def cannot_share(lengths: Sequence[int]) -> str:
    """`chains of 7, 5, 4 blocks cannot share these columns`."""
    return f"chains of {named(lengths)} blocks cannot share these columns"


def named(lengths: Sequence[int]) -> str:
    """`7, 5, 4, 4`; of many chains how often each length comes: `13 x 7, 1 x 5`."""
    if len(lengths) <= MOST_NAMED:
        return ", ".join(map(str, lengths))
    return ", ".join(
        f"{count} x {length}" for length, count in sorted(Counter(lengths).items(), reverse=True)
    )


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


def _filled_up(held: list[list[int]], heights: list[int], single: int) -> tuple[tuple[int, ...], ...]:
    """The columns with the blocks that stand alone put wherever there is room."""
    for column, height in enumerate(heights):
        filled = min(height - sum(held[column]), single)
        held[column] += [1] * filled
        single -= filled
    return tuple(tuple(column) for column in held)
