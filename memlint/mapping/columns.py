"""Whether all chains of a design fit the columns of a tier together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.device.facts import Column

MOST_TRIES = 200_000
"""Places tried before the question is left open."""


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
    left = list(heights)
    held: list[list[int]] = [[] for _ in heights]
    seen: set[tuple[int, tuple[int, ...]]] = set()
    tries = 0

    def put(at: int) -> bool | None:
        nonlocal tries
        if at == len(lengths):
            return True
        state = (at, tuple(sorted(left)))
        if state in seen:
            return False
        tries += 1
        if tries > MOST_TRIES:
            return None
        tried: set[int] = set()
        # Fullest column first: it keeps long gaps for what is to come.
        for column in sorted(range(len(left)), key=left.__getitem__):
            room = left[column]
            if room < lengths[at] or room in tried:
                continue
            tried.add(room)
            left[column] -= lengths[at]
            held[column].append(lengths[at])
            done = put(at + 1)
            if done is not False:
                return done
            left[column] += lengths[at]
            held[column].pop()
        seen.add(state)
        return False

    done = put(0)
    if done is None:
        return Arrangement(
            None, reason=f"no arrangement was found in {MOST_TRIES:,} tries, and none excluded"
        )
    if not done:
        return Arrangement(
            False, reason=f"the chains of {', '.join(map(str, lengths))} blocks cannot share these columns"
        )
    for column, room in enumerate(left):
        filled = min(room, single)
        held[column] += [1] * filled
        single -= filled
    return Arrangement(True, tuple(tuple(column) for column in held))
