"""One way to fill the depth of a strip, measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.mapping.chains import ChainLimits
from memlint.mapping.runs import Piece


@dataclass(frozen=True, slots=True)
class Filled:
    """The runs of a strip, (piece, blocks) each, deepest shape first, and what they count for.

    `width` is the most bits the strip may have, `cost` in the table's units; `ways`, `chains`, `tallest`
    and `awake` as in `Layout`.
    """

    runs: tuple[tuple[Piece, int], ...]
    pieces: tuple[Piece, ...]
    width: int
    cost: int
    ways: int
    chains: int
    tallest: int
    awake: int

    @property
    def depth(self) -> int:
        """The depth of the deepest shape."""
        return self.pieces[0].depth


def filled(runs: Sequence[tuple[Piece, int]], limits: ChainLimits) -> Filled:
    """Measure the runs of one strip."""
    if len(runs) == 1:
        piece, blocks = runs[0]
        chains = 1 if limits.hardened and blocks > 1 else 0
        ways, cost = limits.pieces(blocks), piece.cost * blocks
        return Filled(tuple(runs), (piece,), piece.width, cost, ways, chains, blocks, piece.cost)
    return Filled(
        tuple(runs),
        tuple(piece for piece, _ in runs),
        min(piece.width for piece, _ in runs),
        sum(piece.cost * blocks for piece, blocks in runs),
        sum(limits.pieces(blocks) for _, blocks in runs),
        sum(blocks > 1 for _, blocks in runs) if limits.hardened else 0,
        max(blocks for _, blocks in runs),
        max(piece.cost for piece, _ in runs),
    )


def single(piece: Piece, depth: int, limits: ChainLimits) -> Filled:
    """A run of one shape as high as `depth` words need."""
    return filled([(piece, -(-depth // piece.depth))], limits)
