"""Filling a depth with blocks one above the other: the runs of one strip.

Costs are small whole numbers (a block, a half block), so the best filling is a run of the best value
with at most a few others under it, which is worked out once per set of shapes; a depth is then a
division. The bound: any c pieces that are not the best value, c being the cost of the best one, contain
some whose costs add up to a multiple of c, and those can be exchanged for best pieces of no less depth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Piece:
    """One shape of a block or of a part of it: words, bits, its cost in the mode's cost units.

    `granules` are the write-enable granules of a word of this width, in bits; empty = no enables.
    """

    depth: int
    width: int
    cost: int
    granules: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Extra:
    """Pieces put under the main run: the depth they add, what they cost, which and how many."""

    depth: int
    cost: int
    pieces: tuple[tuple[Piece, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Filling:
    """The best value of a set of pieces, and the extras worth trying under it (the first is none)."""

    main: Piece
    extras: tuple[Extra, ...]

    def cost(self, depth: int) -> int:
        """The least cost of `depth` words."""
        size, price = self.main.depth, self.main.cost
        if len(self.extras) == 1:
            return -(-depth // size) * price
        return min(e.cost + max(0, -(-(depth - e.depth) // size)) * price for e in self.extras)

    def runs(self, depth: int) -> tuple[tuple[Piece, int], ...]:
        """The runs of the least cost, (piece, blocks), deepest shape first; fewest runs of equals."""
        size, price = self.main.depth, self.main.cost

        def key(extra: Extra) -> tuple[int, int]:
            main = max(0, -(-(depth - extra.depth) // size))
            return extra.cost + main * price, len(extra.pieces) + (main > 0)

        extra = min(self.extras, key=key)
        main = max(0, -(-(depth - extra.depth) // size))
        runs = (*extra.pieces, (self.main, main)) if main else extra.pieces
        return tuple(sorted(runs, key=lambda run: (-run[0].depth, -run[0].width)))


def filling(pieces: Sequence[Piece]) -> Filling:
    """The filling of a set of pieces (at least one)."""
    deepest: dict[int, Piece] = {}
    for piece in pieces:
        known = deepest.get(piece.cost)
        if known is None or piece.depth > known.depth:
            deepest[piece.cost] = piece
    main = max(deepest.values(), key=lambda piece: (piece.depth / piece.cost, -piece.cost))
    others = [piece for piece in deepest.values() if piece is not main]
    return Filling(main, _extras(main, others))


def _extras(main: Piece, others: list[Piece]) -> tuple[Extra, ...]:
    """The greatest depth of at most main.cost - 1 other pieces for each total cost, where it helps."""
    best: dict[int, Extra] = {0: Extra(0, 0)}
    reached = dict(best)
    for _ in range(main.cost - 1):
        grown: dict[int, Extra] = {}
        for extra in reached.values():
            for piece in others:
                cost, depth = extra.cost + piece.cost, extra.depth + piece.depth
                if cost not in grown or depth > grown[cost].depth:
                    grown[cost] = Extra(depth, cost, _with(extra.pieces, piece))
        for cost, extra in grown.items():
            if cost not in best or extra.depth > best[cost].depth:
                best[cost] = extra
        reached = grown
    useful: list[Extra] = []
    for extra in sorted(best.values(), key=lambda one: one.cost):
        # Main pieces for no more money that reach as deep make the extra needless.
        if not useful or extra.depth > max(
            one.depth + (extra.cost - one.cost) // main.cost * main.depth for one in useful
        ):
            useful.append(extra)
    return tuple(useful)


def _with(pieces: tuple[tuple[Piece, int], ...], more: Piece) -> tuple[tuple[Piece, int], ...]:
    counts = dict(pieces)
    counts[more] = counts.get(more, 0) + 1
    return tuple(counts.items())


def thresholds(pieces: Sequence[Piece]) -> tuple[tuple[int, Filling], ...]:
    """The filling open to a strip of up to so many bits, widest first; narrower strips that gain nothing
    are left out."""
    found: list[tuple[int, Filling]] = []
    for width in sorted({piece.width for piece in pieces}, reverse=True):
        best = filling([piece for piece in pieces if piece.width >= width])
        if not found or best != found[-1][1]:
            found.append((width, best))
    return tuple(found)
