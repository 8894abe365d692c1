"""Strips: the word cut into strips of bits, each strip's depth into runs of one shape.

The class, exactly: bits 0 .. W'-1 are cut into neighbouring strips; each strip is filled over its whole
depth by any runs, a run being n blocks of one shape one above the other, every shape at least as wide as
the strip (with write lanes: able to hold the strip's parts of lanes). Runs together hold at least D words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from memlint.mapping.chains import ChainLimits
from memlint.mapping.cover import cover
from memlint.mapping.layout import Run
from memlint.mapping.runs import Piece
from memlint.mapping.shapes import ShapeTable
from memlint.mapping.words import Strip, Word, cheapest, lane_ends, least_weight, reach


@dataclass(frozen=True, slots=True)
class Filled:
    """One way to fill the depth of a strip: its runs (piece, blocks) and what they count for.

    `ways`, `chains`, `tallest` and `awake` as in `Layout`.
    """

    runs: tuple[tuple[Piece, int], ...]
    cost: int
    ways: int
    chains: int
    tallest: int
    awake: int

    def pieces(self) -> tuple[Piece, ...]:
        return tuple(piece for piece, _ in self.runs)


def filled(runs: Sequence[tuple[Piece, int]], limits: ChainLimits) -> Filled:
    """Measure the runs of one strip."""
    return Filled(
        tuple(runs),
        sum(piece.cost * blocks for piece, blocks in runs),
        sum(limits.pieces(blocks) for _, blocks in runs),
        sum(blocks > 1 for _, blocks in runs) if limits.hardened else 0,
        max(blocks for _, blocks in runs),
        max(piece.cost for piece, _ in runs),
    )


def strips_cost(table: ShapeTable, depth: int, word: Word) -> int:
    """The fewest cost units of any cut into strips."""
    if word.lanes:
        fillings = [filled(runs, ChainLimits(False)) for runs in _fillings(table, depth, word)]
        return least_weight(word, fillings, Filled.pieces, lambda one: one.cost)
    items: list[tuple[int, int]] = []
    least = 0
    for threshold in table.thresholds:
        if len(threshold.filling.extras) == 1:
            cost = -(-depth // threshold.size) * threshold.price
        else:
            cost = threshold.filling.cost(depth)
        if not items or cost < least:
            items.append((threshold.width, cost))
            least = cost
    return cover(word.bits, items)


def _fillings(table: ShapeTable, depth: int, word: Word) -> Iterable[tuple[tuple[Piece, int], ...]]:
    """Every filling a strip may need: each shape alone, and the best mix for each set of shapes that a
    strip of this word can be open to."""
    for piece in table.pieces:
        yield ((piece, -(-depth // piece.depth)),)
    if len({piece.cost for piece in table.pieces}) == 1:
        return
    for pieces in _open_sets(table, word):
        runs = table.filling(pieces).runs(depth)
        if len(runs) > 1:
            yield runs


def _open_sets(table: ShapeTable, word: Word) -> set[tuple[Piece, ...]]:
    if not word.lanes:
        widths = {piece.width for piece in table.pieces}
        return {tuple(piece for piece in table.pieces if piece.width >= width) for width in widths}
    ends, found = lane_ends(word), set()
    seen, waiting = {0}, [0]
    while waiting:
        at = waiting.pop()
        if at == word.bits:
            continue
        reaches = [reach(word, ends, piece, at) for piece in table.pieces]
        for to in set(reaches):
            found.add(tuple(p for p, far in zip(table.pieces, reaches, strict=True) if far >= to))
            if to not in seen:
                seen.add(to)
                waiting.append(to)
    return found


def strips_runs(table: ShapeTable, depth: int, word: Word, limits: ChainLimits, most: int) -> list[Run]:
    """The runs of the best cut into strips that costs `most` (its least cost), by the choice among equals."""
    options = [filled(runs, limits) for runs in _fillings(table, depth, word)]
    strips = best_strips(word, options, most)
    return [run for one, strip in strips for run in _runs(one, strip, depth)]


def best_strips(word: Word, options: list[Filled], most: int) -> list[tuple[Filled, Strip]]:
    """Among cuts of cost `most`: the smallest multiplexer, then fewest chains, then the shortest chain,
    then fewest blocks awake, then the deepest shapes."""
    deepest = max(one.runs[0][0].depth for one in options)
    base = (word.bits + 1) * (deepest + max(one.chains + one.awake for one in options) + 1)
    open_to = _narrowed(word, options, lambda one: one.ways, lambda one: one.cost, most)

    def weight(one: Filled) -> int:
        return one.cost * base + one.chains

    def full_weight(one: Filled) -> int:
        return (weight(one) * base + one.awake) * base + deepest - one.runs[0][0].depth

    least = least_weight(word, open_to, Filled.pieces, weight)
    open_to = _narrowed(word, open_to, lambda one: one.tallest, weight, least)
    return cheapest(word, open_to, Filled.pieces, full_weight)[1]


def _narrowed(
    word: Word,
    options: list[Filled],
    measure: Callable[[Filled], int],
    weight: Callable[[Filled], int],
    target: int,
) -> list[Filled]:
    """The options up to the least measure with which the target weight can still be had."""
    for limit in sorted({measure(one) for one in options}):
        open_to = [one for one in options if measure(one) <= limit]
        if least_weight(word, open_to, Filled.pieces, weight) == target:
            return open_to
    return options


def _runs(one: Filled, strip: Strip, depth: int) -> Iterable[Run]:
    at = 0
    for piece, blocks in one.runs:
        words = min(depth - at, blocks * piece.depth)
        yield Run(at, words, strip.first_bit, strip.bits, piece, blocks)
        at += words
