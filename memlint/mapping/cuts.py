"""The fewest blocks for one bank, exact: the better of strips and layers, uniform where it costs no more."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.mapping.chains import ChainLimits
from memlint.mapping.filled import single
from memlint.mapping.layers import layers_cost, layers_runs
from memlint.mapping.layout import Layout, Run, layout
from memlint.mapping.runs import Piece
from memlint.mapping.shapes import ShapeTable
from memlint.mapping.strips import strips_cost, strips_runs
from memlint.mapping.words import Word, cheapest, stacks_needed


def uniform_cost(table: ShapeTable, depth: int, word: Word) -> int:
    """The fewest cost units when one shape is used for the whole memory."""
    if not word.lanes:
        bits = word.bits
        return min([-(-depth // p.depth) * -(-bits // p.width) * p.cost for p in table.pieces])
    return min(-(-depth // p.depth) * stacks_needed(word, p) * p.cost for p in table.pieces)


def uniform_piece(table: ShapeTable, depth: int, word: Word, limits: ChainLimits) -> Piece:
    """The shape that is best used alone, by the choice among equals."""

    def key(piece: Piece) -> tuple[int, ...]:
        high, stacks = -(-depth // piece.depth), stacks_needed(word, piece)
        chains = stacks if limits.hardened and high > 1 else 0
        awake = stacks * piece.cost
        return high * awake, limits.pieces(high), chains, high, awake, -piece.depth

    return min(table.pieces, key=key)


def least_units(table: ShapeTable, depth: int, word: Word) -> int:
    """Cost units that no cut can go below: the bits at the density of the densest shape."""
    return -(-depth * word.bits * table.densest.denominator // table.densest.numerator)


def fewest_units(table: ShapeTable, depth: int, word: Word) -> int:
    """The fewest cost units of any cut into strips or layers."""
    strips = strips_cost(table, depth, word)
    if strips <= least_units(table, depth, word):
        return strips
    layers = layers_cost(table, depth, word, strips - 1)
    return strips if layers is None else layers


def fewest_blocks(table: ShapeTable, depth: int, word: Word, limits: ChainLimits) -> Layout:
    """A layout of the fewest blocks, by the choice among equals.

    Exact among uniform cuts and among cuts into strips (of mixed runs, one best filling per set of
    shapes is looked at); of cuts into layers one with the fewest layers is looked at.
    """
    uniform, strips = uniform_cost(table, depth, word), strips_cost(table, depth, word)
    limit = strips - 1 if strips == uniform else strips
    layers = None
    if limit >= least_units(table, depth, word):
        layers = layers_cost(table, depth, word, limit)
    if layers is not None and layers < strips:
        return layout(layers_runs(table, depth, word, limits, layers), limits)
    if strips == uniform:
        return uniform_layout(uniform_piece(table, depth, word, limits), depth, word, limits)
    best = layout(strips_runs(table, depth, word, limits, strips), limits)
    if layers is None:
        return best
    return min(best, layout(layers_runs(table, depth, word, limits, strips), limits), key=Layout.key)


def uniform_layout(piece: Piece, depth: int, word: Word, limits: ChainLimits) -> Layout:
    """The layout of one shape used alone."""
    one = single(piece, depth, limits)
    high, strips = one.tallest, cheapest(word, [one], [one.cost])
    return Layout(
        cost=high * len(strips) * piece.cost,
        uniform=True,
        runs=tuple(Run(0, depth, strip.first_bit, strip.bits, piece, high) for _, strip in strips),
        ways=one.ways,
        chains=len(strips) * one.chains,
        tallest=high,
        height=high,
        awake=len(strips) * piece.cost,
    )


def layouts_to_compare(table: ShapeTable, depth: int, word: Word, limits: ChainLimits) -> Iterator[Layout]:
    """Layouts worth comparing when blocks are not all that counts: the fewest blocks, each shape alone,
    and for each height the fewest blocks with no more than that many one above the other."""
    yield fewest_blocks(table, depth, word, limits)
    for piece in table.pieces:
        yield uniform_layout(piece, depth, word, limits)
    options = [single(piece, depth, limits) for piece in table.pieces]
    for height in sorted({one.tallest for one in options}):
        open_to = [one for one in options if one.tallest <= height]
        strips = cheapest(word, open_to, [one.cost for one in open_to])
        runs = [Run(0, depth, strip.first_bit, strip.bits, *one.runs[0]) for one, strip in strips]
        yield layout(runs, limits)
