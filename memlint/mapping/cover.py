"""The least cost of covering a length with pieces: the small integer programme under every count.

`cover` answers min sum n_i * cost_i with sum n_i * size_i >= need. Strips ask it for the word, layers
for the depth. Sizes and costs are positive whole numbers. Answers are exact unless a search is given up
after `MOST_STEPS` x `LONGER` steps; then they can be had, but may not be the least.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from math import gcd, lcm

from memlint.mapping.residues import cover_by_residue

MOST_STEPS = 50_000
"""Steps of branching after which a great length is rather settled by remainders."""

LONGER = 20
"""How many times as many steps where that does not help. No shapes of any real device come near."""


def cover(need: int, items: Sequence[tuple[int, int]]) -> int:
    """The least cost of covering `need` with any number of (size, cost) items."""
    return _Search(need, items).cost


def cover_counts(need: int, items: Sequence[tuple[int, int]]) -> tuple[int, dict[int, int]]:
    """The least cost, and how many of each size it takes (sizes not used are left out).

    Of several items of one size only the cheapest is ever used.
    """
    search = _Search(need, items)
    return search.cost, search.counts()


class _TooManySteps(Exception):
    pass


class _Search:
    """Branch and bound over the items, best cost per size first.

    What is left after choosing the better items cannot cost less than its size at the next item's
    rate; that bound only rises as fewer of the better item are taken, so each loop ends early. A length
    left over is not looked at twice at the same item unless less has been spent.
    """

    __slots__ = (
        "best",
        "chosen",
        "costs",
        "scale",
        "seen",
        "size_scale",
        "sizes",
        "stack",
        "steps_left",
        "worse",
    )

    def __init__(self, need: int, items: Sequence[tuple[int, int]]) -> None:
        kept = _useful(items)
        if len(kept) == 1:
            self.size_scale, self.scale = kept[0]
        else:
            self.scale = gcd(*[cost for _, cost in kept])
            self.size_scale = gcd(*[size for size, _ in kept])
        self.sizes = [size // self.size_scale for size, _ in kept]
        self.costs = [cost // self.scale for _, cost in kept]
        self.chosen: list[int] = []
        self.stack: list[int] = []
        self.seen: dict[tuple[int, int], int] = {}
        self.worse: dict[int, int] = {}
        self.best = -1
        self.steps_left = MOST_STEPS
        if need <= 0:
            self.best = 0
            return
        need = -(-need // self.size_scale)
        try:
            self._down(0, need, 0)
        except _TooManySteps:
            self._settle(need)

    @property
    def cost(self) -> int:
        return self.best * self.scale

    def counts(self) -> dict[int, int]:
        used = zip(self.sizes, self.chosen, strict=False)
        return {size * self.size_scale: count for size, count in used if count}

    def _settle(self, need: int) -> None:
        """Finish what branching takes too long for."""
        found = cover_by_residue(need, list(zip(self.sizes, self.costs, strict=True)))
        if found is not None:
            self.best, self.chosen = found
            return
        self.seen.clear()
        self.stack.clear()
        self.steps_left = MOST_STEPS * LONGER
        # Where that runs out too, what was found is kept: a cover, if perhaps not the cheapest.
        with suppress(_TooManySteps):
            self._down(0, need, 0)

    def _down(self, at: int, rest: int, spent: int) -> None:
        size, cost = self.sizes[at], self.costs[at]
        full = -(-rest // size)
        total = spent + full * cost
        if self.best < 0 or total < self.best:
            self.best = total
            self.chosen = [*self.stack, full]
        if at + 1 == len(self.sizes) or full * size == rest:
            return
        next_size, next_cost = self.sizes[at + 1], self.costs[at + 1]
        count = full - 1
        left, paid = rest - count * size, total - cost
        if paid - (-left * next_cost // next_size) >= self.best:
            return
        lowest = max(0, -(-(rest - self._worse_cover(at)) // size))
        seen = self.seen
        while count >= lowest and paid - (-left * next_cost // next_size) < self.best:
            self.steps_left -= 1
            if self.steps_left == 0:
                raise _TooManySteps
            if seen.get((at, left), paid + 1) > paid:
                seen[at, left] = paid
                self.stack.append(count)
                self._down(at + 1, left, paid)
                self.stack.pop()
            count, left, paid = count - 1, left + size, paid - cost

    def _worse_cover(self, at: int) -> int:
        """The most the items after `at` need to cover together: lcm/size copies of a worse item can be
        exchanged for better ones at no greater cost."""
        found = self.worse.get(at)
        if found is None:
            size = self.sizes[at]
            found = self.worse[at] = sum([lcm(size, other) - other for other in self.sizes[at + 1 :]])
        return found


def _useful(items: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The items no single better-value item can stand in for, best cost per size first."""
    kept: list[tuple[int, int]] = []
    # Weights of several criteria in one are too long for a float; below 2^32 a size tells these rates apart.
    for _, size, cost in sorted([((cost << 64) // size, size, cost) for size, cost in items]):
        for other, price in kept:
            if -(-size // other) * price <= cost:
                break
        else:
            kept.append((size, cost))
    return kept
