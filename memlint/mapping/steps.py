"""The least cost of a word of any width, when each stack's cost is given: a table that repeats."""

from __future__ import annotations

from collections.abc import Sequence


class WordSteps:
    """min sum n_i * cost_i with sum n_i * width_i >= bits, for every number of bits.

    The values are tabled until they repeat: once a window as long as the widest stack has grown by the
    cost of the best-value stack from one such width to the next, the recurrence, which looks back no
    further, must go on so for ever.
    """

    __slots__ = ("length", "price", "size", "table")

    def __init__(self, items: Sequence[tuple[int, int]]) -> None:
        kept: list[tuple[int, int]] = []
        for size, cost in sorted(items, key=lambda item: (-item[0], item[1])):
            if not kept or cost < kept[-1][1]:
                kept.append((size, cost))
        self.size, self.price = min(kept, key=lambda item: (item[1] / item[0], item[0]))
        widest = kept[0][0]
        table = [0]
        agreed = 0
        while agreed < widest:
            at = len(table)
            value = min(cost + table[at - size if at > size else 0] for size, cost in kept)
            table.append(value)
            repeats = at >= self.size and value == table[at - self.size] + self.price
            agreed = agreed + 1 if repeats else 0
        self.table = table
        self.length = len(table)

    def cost(self, bits: int) -> int:
        """The least cost of a word of so many bits."""
        if bits < self.length:
            return self.table[bits]
        times = -(-(bits - self.length + 1) // self.size)
        return self.table[bits - times * self.size] + times * self.price
