"""The shapes a mode offers, in whole cost units, and what can be worked out from them once per mode.

Nothing here depends on a memory: a `ShapeTable` is made once per mode and shared by every memory that
is placed in it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import lcm

from memlint.device.facts import BlockShape
from memlint.mapping.cover import cover
from memlint.mapping.runs import Filling, Piece, filling, thresholds
from memlint.mapping.steps import WordSteps

TABLED_LAYERS = 512
"""Layer depths of a mode up to this many get a table of widths each; beyond, words are reckoned singly."""

MOST_LAYERS = 2048
"""Layers deeper than so many times the shallowest shape are not tried; the shapes themselves always are."""


class ShapeTable:
    """The pieces of one mode, deepest first, with costs as whole multiples of 1/`unit` block.

    `densest` is the greatest depth x width per cost unit, `steps_of` the parts of a block that counts
    move in. Layers are worth trying at depths where some stack ends, up to `even_depth`, the least
    common multiple, where every stack ends. `thresholds` are the fillings open to strips by width;
    `stacks` the same as (width, depth, cost) where each is a run of one shape, else empty.
    """

    __slots__ = (
        "_ends", "_fillings", "_is_tabled", "_words", "densest", "even_depth", "pieces", "shallowest",
        "stacks", "steps_of", "thresholds", "unit",
    )  # fmt: skip

    def __init__(
        self, shapes: Iterable[BlockShape], splits: int = 1, enables: Sequence[tuple[int, int]] = ()
    ) -> None:
        listed = tuple(shapes)
        if not listed:
            raise ValueError("a mode needs at least one shape to be reckoned with")
        self.unit = lcm(*(shape.cost.denominator for shape in listed))
        self.steps_of = lcm(splits, self.unit)
        pieces = {
            Piece(
                shape.depth,
                shape.width,
                int(shape.cost * self.unit),
                tuple(granule for width, granule in enables if width == shape.width),
            )
            for shape in listed
        }
        self.pieces = tuple(sorted(pieces, key=lambda piece: (-piece.depth, -piece.width, piece.cost)))
        self.densest = max(Fraction(piece.depth * piece.width, piece.cost) for piece in self.pieces)
        self.shallowest = min(piece.depth for piece in self.pieces)
        self.even_depth = lcm(*(piece.depth for piece in self.pieces))
        self._is_tabled = self.even_depth <= TABLED_LAYERS * self.shallowest
        self.thresholds = thresholds(self.pieces)
        self.stacks: tuple[tuple[int, int, int], ...] = ()
        if all(len(best.extras) == 1 for _, best in self.thresholds):
            self.stacks = tuple((width, best.main.depth, best.main.cost) for width, best in self.thresholds)
        self._fillings: dict[tuple[Piece, ...], Filling] = {}
        self._words: list[WordSteps] = []
        self._ends: Sequence[int] | None = None

    def offers(self) -> set[tuple[int, int, Fraction, tuple[int, ...]]]:
        """Every piece with its cost in blocks, to compare with other tables."""
        return {(p.depth, p.width, Fraction(p.cost, self.unit), p.granules) for p in self.pieces}

    def filling(self, pieces: tuple[Piece, ...]) -> Filling:
        """How a depth is filled at least cost with these pieces, one above the other."""
        found = self._fillings.get(pieces)
        if found is None:
            found = self._fillings[pieces] = filling(pieces)
        return found

    def layer_depths(self, depth: int) -> Sequence[int]:
        """The depths below `depth` that are worth a layer, shallowest first, at most `MOST_LAYERS`."""
        if not self._is_tabled:
            return self._ends_below(min(self.even_depth + 1, depth))
        if self._ends is None:
            self._ends = self._ends_below(self.even_depth + 1)
        return self._ends[: bisect_left(self._ends, depth)]

    def _ends_below(self, depth: int) -> Sequence[int]:
        most = min(depth, self.shallowest * MOST_LAYERS)
        ends = {end for piece in self.pieces for end in range(piece.depth, most, piece.depth)}
        ends |= {piece.depth for piece in self.pieces if piece.depth < depth}
        return sorted(ends)

    def layer_costs(self, depths: Sequence[int], bits: int) -> list[int]:
        """The least cost of a layer of each of these `layer_depths`, over a word of so many bits."""
        if not self._is_tabled:
            return [cover(bits, self._stacks(depth)) for depth in depths]
        words = self._words
        for depth in depths[len(words) :] if len(words) < len(depths) else ():
            words.append(WordSteps(self._stacks(depth)))
        return [
            steps.table[bits] if bits < steps.length else steps.cost(bits) for steps in words[: len(depths)]
        ]

    def _stacks(self, depth: int) -> list[tuple[int, int]]:
        return [(piece.width, -(-depth // piece.depth) * piece.cost) for piece in self.pieces]
