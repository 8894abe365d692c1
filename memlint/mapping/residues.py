"""Covering a great length: best-value items throughout, and the least that makes the rest come out.

How many best-value items are used is then no question; what matters of all others is only what they add
to the length modulo the best item's size. The least cost for each such remainder is a shortest path, found
by walking round each item's cycle of remainders (S. Böcker and Zs. Lipták, A fast and simple algorithm for
the money changing problem, 2007; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import gcd


def cover_by_residue(need: int, items: Sequence[tuple[int, int]]) -> tuple[int, list[int]] | None:
    """The least cost of covering `need` with (size, cost) items, best value first, and how many of each.

    None when `need` is not great enough for the argument: the others alone would reach beyond it.
    """
    size, price = items[0]
    least: list[int | None] = [None] * size
    least[0] = 0
    came_by = [0] * size
    for number, (other, cost) in enumerate(items[1:], 1):
        _walk(least, came_by, number, other, cost, size, price)
    total, at = min(
        (spent + price * -(-(need - residue) // size), residue)
        for residue, spent in enumerate(least)
        if spent is not None
    )
    counts = [0] * len(items)
    covered = 0
    while at:
        number = came_by[at]
        counts[number] += 1
        covered += items[number][0]
        at = (at - items[number][0]) % size
    counts[0] = -(-(need - covered) // size)
    return None if counts[0] < 0 else (total, counts)


def _walk(
    least: list[int | None], came_by: list[int], number: int, other: int, cost: int, size: int, price: int
) -> None:
    """Allow any number of one more item. An item's cost counts less the best items it stands for."""
    step, whole = other % size, other // size
    for start in range(gcd(other, size)):
        cycle = range(start, size, gcd(other, size))
        known = [at for at in cycle if least[at] is not None]
        if not known:
            continue
        # Counted so, a step never costs less than nothing (the first item is the best value): the least
        # of the cycle cannot be bettered from within it, and one round settles the rest.
        at = min(known, key=lambda one: (least[one] or 0) * size - price * one)
        spent = least[at] or 0
        for _ in range(len(cycle) - 1):
            after = at + step
            spent += cost - price * (whole + (after >= size))
            at = after - size if after >= size else after
            there = least[at]
            if there is None or spent < there:
                least[at], came_by[at] = spent, number
            else:
                spent = there
