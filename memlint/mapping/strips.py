"""Strips: the word cut into strips of bits, each strip's depth into runs of one shape.

The class, exactly: bits 0 .. W'-1 are cut into neighbouring strips; each strip is filled over its whole
depth by any runs, a run being n blocks of one shape one above the other, every shape at least as wide as
the strip (with write lanes: able to hold the strip's parts of lanes). Runs together hold at least D words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from memlint.mapping.chains import ChainLimits
from memlint.mapping.cover import cover
from memlint.mapping.filled import Filled, filled, single
from memlint.mapping.layout import Run
from memlint.mapping.runs import Piece
from memlint.mapping.shapes import ShapeTable
from memlint.mapping.words import Strip, Word, cheapest, least_weight, reaches

NO_CHAIN = ChainLimits(hardened=False)


def strips_cost(table: ShapeTable, depth: int, word: Word) -> int:
    """The fewest cost units of any cut into strips."""
    if word.lanes:
        options = _options(table, depth, word, NO_CHAIN)
        return least_weight(word, options, [one.cost for one in options])
    if table.stacks:
        return cover(word.bits, [(width, -(-depth // deep) * price) for width, deep, price in table.stacks])
    return cover(word.bits, [(width, filling.cost(depth)) for width, filling in table.thresholds])


def _options(table: ShapeTable, depth: int, word: Word, limits: ChainLimits) -> list[Filled]:
    """Every filling a strip may need: each shape alone, and the best mix for each set of shapes that a
    strip of this word can be open to."""
    options = [single(piece, depth, limits) for piece in table.pieces]
    if len({piece.cost for piece in table.pieces}) > 1:
        mixes = (table.filling(pieces).runs(depth) for pieces in _open_sets(table, word))
        options += [filled(runs, limits) for runs in mixes if len(runs) > 1]
    return options


def _open_sets(table: ShapeTable, word: Word) -> Iterable[tuple[Piece, ...]]:
    """The sets of shapes that some strip of the word can be made of; in a fixed order."""
    if not word.lanes:
        widths = sorted({piece.width for piece in table.pieces})
        return [tuple(piece for piece in table.pieces if piece.width >= width) for width in widths]
    far = [reaches(word, piece) for piece in table.pieces]
    found: dict[tuple[Piece, ...], None] = {}
    seen, waiting = {0}, [0]
    while waiting:
        at = waiting.pop()
        if at == word.bits:
            continue
        for to in sorted({one[at] for one in far}):
            found[tuple(p for p, one in zip(table.pieces, far, strict=True) if one[at] >= to)] = None
            if to not in seen:
                seen.add(to)
                waiting.append(to)
    return found


def strips_runs(table: ShapeTable, depth: int, word: Word, limits: ChainLimits, most: int) -> list[Run]:
    """The runs of the best cut into strips that costs `most` (its least cost), by the choice among equals."""
    strips = best_strips(word, _options(table, depth, word, limits), most)
    return [run for one, strip in strips for run in _runs(one, strip, depth)]


def best_strips(word: Word, options: list[Filled], most: int) -> list[tuple[Filled, Strip]]:
    """Among cuts of cost `most`: the smallest multiplexer, then fewest chains, then the shortest chain,
    then fewest blocks awake, then the deepest shapes."""
    deepest = max([one.depth for one in options])
    base = (word.bits + 1) * (deepest + max([one.chains + one.awake for one in options]) + 1)

    def weights(open_to: list[Filled]) -> list[int]:
        return [one.cost * base + one.chains for one in open_to]

    open_to = _narrowed(word, options, lambda one: one.ways, lambda some: [one.cost for one in some], most)
    least = least_weight(word, open_to, weights(open_to))
    open_to = _narrowed(word, open_to, lambda one: one.tallest, weights, least)
    exact = [(weight * base + one.awake) * base + deepest - one.depth for weight, one in
             zip(weights(open_to), open_to, strict=True)]  # fmt: skip
    return cheapest(word, open_to, exact)


def _narrowed(
    word: Word,
    options: list[Filled],
    measure: Callable[[Filled], int],
    weights: Callable[[list[Filled]], list[int]],
    target: int,
) -> list[Filled]:
    """The options up to the least measure with which the target weight can still be had.

    More options never cost more, so the measure is found by halving.
    """
    limits = sorted({measure(one) for one in options})
    low, high = 0, len(limits) - 1
    while low < high:
        middle = (low + high) // 2
        open_to = [one for one in options if measure(one) <= limits[middle]]
        if least_weight(word, open_to, weights(open_to)) == target:
            high = middle
        else:
            low = middle + 1
    return [one for one in options if measure(one) <= limits[low]]


def _runs(one: Filled, strip: Strip, depth: int) -> Iterable[Run]:
    at = 0
    for piece, blocks in one.runs:
        words = min(depth - at, blocks * piece.depth)
        yield Run(at, words, strip.first_bit, strip.bits, piece, blocks)
        at += words
