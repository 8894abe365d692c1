"""Every arrangement of chains in columns that is worth trying, fullest columns first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

MOST_TRIES = 200_000
"""Steps of the search before the question is left open."""

MOST_COLUMNS = 400
"""Columns above which the search would nest too deep."""

Chains = tuple[tuple[int, int], ...]
"""(length, how many), longest first."""


@dataclass(frozen=True, slots=True)
class Packed:
    """`columns` are the chains of each column in the order of `heights`, None when none was found;
    `complete` says that then there is none."""

    columns: tuple[tuple[int, ...], ...] | None
    complete: bool


def pack(lengths: Sequence[int], heights: Sequence[int], most_tries: int = MOST_TRIES) -> Packed:
    """Put every chain into a column, or find that it cannot be done.

    The longest chain left lies in some column, and what lies beside it may be taken to be as much as
    fits: chains can be moved there from other columns. So only maximal fillings are tried.
    """
    if len(heights) > MOST_COLUMNS:
        return Packed(None, False)
    counted: Chains = tuple(sorted(Counter(lengths).items(), reverse=True))
    columns = tuple(sorted(Counter(heights).items()))
    search = _Search(most_tries)
    found = search.pack(counted, columns, sum(heights) - sum(lengths))
    if found is None:
        return Packed(None, not search.given_up)
    return Packed(_in_order(found, heights), True)


def _in_order(
    found: list[tuple[int, tuple[int, ...]]], heights: Sequence[int]
) -> tuple[tuple[int, ...], ...]:
    """The fillings, each given the first column of its height that is still empty."""
    waiting: dict[int, list[tuple[int, ...]]] = {}
    for height, filling in found:
        waiting.setdefault(height, []).append(filling)
    return tuple(waiting[height].pop() if waiting.get(height) else () for height in heights)


class _Search:
    """`left` counts the tries; `dead` are states known to have no arrangement."""

    __slots__ = ("dead", "left")

    def __init__(self, most_tries: int) -> None:
        self.left = most_tries
        self.dead: set[tuple[Chains, Chains]] = set()

    @property
    def given_up(self) -> bool:
        return self.left <= 0

    def pack(self, chains: Chains, columns: Chains, slack: int) -> list[tuple[int, tuple[int, ...]]] | None:
        """(column height, its chains) for each column used; None when there is none or it was given up."""
        if not chains:
            return []
        state = (chains, columns)
        if slack < 0 or state in self.dead or not _room(chains, columns):
            return None
        longest = chains[0][0]
        for height, _ in columns:
            if height < longest:
                continue
            rest = _without(columns, height, 1)
            fillings = sorted(self._fillings(_without(chains, longest, 1), height - longest, slack))
            for wasted, filling in fillings:
                self.left -= 1
                if self.left <= 0:
                    return None
                after = _without(chains, longest, 1)
                for length in filling:
                    after = _without(after, length, 1)
                found = self.pack(after, rest, slack - wasted)
                if found is not None:
                    return [*found, (height, (longest, *filling))]
        if self.left > 0:
            self.dead.add(state)
        return None

    def _fillings(self, chains: Chains, room: int, slack: int) -> Iterator[tuple[int, tuple[int, ...]]]:
        """(room left over, chains) of every maximal filling that wastes no more than the slack."""
        yield from self._fill(chains, 0, room, slack, (), room + 1)

    def _fill(
        self, chains: Chains, at: int, room: int, slack: int, taken: tuple[int, ...], shortest: int
    ) -> Iterator[tuple[int, tuple[int, ...]]]:
        """`shortest` is the shortest chain left out so far: the filling is maximal if it has no room."""
        self.left -= 1
        if self.left <= 0:
            return
        if at == len(chains):
            if room < shortest and room <= slack:
                yield room, taken
            return
        length, count = chains[at]
        most = min(count, room // length)
        for number in range(most, -1, -1):
            left_out = shortest if number == count else min(shortest, length)
            yield from self._fill(
                chains, at + 1, room - number * length, slack, taken + (length,) * number, left_out
            )


def _room(chains: Chains, columns: Chains) -> bool:
    """Whether each number of longest chains has room if only their count and shortest length matter."""
    count = 0
    for length, number in chains:
        count += number
        if count > sum(height // length * times for height, times in columns):
            return False
    return True


def _without(counted: Chains, length: int, number: int) -> Chains:
    return tuple(
        (one, count - number if one == length else count)
        for one, count in counted
        if one != length or count > number
    )
