"""Layers: the depth cut into layers, each layer's word into stacks of one shape each.

The class, exactly: words 0 .. D-1 are cut into neighbouring layers; in each the word is cut into
neighbouring strips of bits, each held by a stack, n blocks of one shape one above the other, where n is
what the layer's depth needs. Different layers may cut the word differently.

A single layer is a cut into strips, so this module looks for two or more. Only depths at which some
stack ends are worth a layer, and none beyond the least common multiple of the shapes' depths: there every
stack ends evenly, so a deeper layer may as well be two. Of shapes whose depths hardly divide each other that
can be very many; then only the shallowest `MOST_LAYERS` are tried.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from operator import truediv

from memlint.mapping.chains import ChainLimits
from memlint.mapping.cover import cover, cover_counts
from memlint.mapping.filled import single
from memlint.mapping.layout import Run
from memlint.mapping.shapes import ShapeTable
from memlint.mapping.strips import NO_CHAIN, best_strips
from memlint.mapping.words import Word, least_weight


def layers_cost(table: ShapeTable, depth: int, word: Word, limit: int) -> int | None:
    """The fewest cost units of any cut into two or more layers, None when that is more than `limit`."""
    if depth <= table.shallowest or table.shallowest == table.even_depth:
        return None
    if 2 * _layer_costs(table, (table.shallowest,), word)[0] > limit:
        return None
    depths = table.layer_depths(depth)
    costs = _layer_costs(table, depths, word)
    rates = list(map(truediv, costs, depths))
    at = rates.index(min(rates))
    best = depths[at], costs[at]
    least = -(-depth * best[1] // best[0])
    if least > limit:
        return None
    # The best value as often as it goes, and one layer for the rest: often this is already the least.
    times, rest = divmod(depth, best[0])
    simple = times * best[1] + (costs[bisect_left(depths, rest)] if rest else 0)
    if simple == least:
        return simple
    found = cover(depth, _worth(depth, depths, costs, best, min(limit, simple)))
    return found if found <= limit else None


def _worth(
    depth: int, depths: Sequence[int], costs: Sequence[int], best: tuple[int, int], limit: int
) -> list[tuple[int, int]]:
    """(depth, cost) of the layers that may be part of a cut within `limit` and that no two shallower ones
    replace.

    Waste is what a layer costs above its depth at the rate of the best-value layer; no layer of a cut can
    waste more than the whole.
    """
    size, price = best
    slack = limit * size - depth * price
    thrifty = [
        (deep, cost) for deep, cost in zip(depths, costs, strict=True) if cost * size - deep * price <= slack
    ]
    worth: list[tuple[int, int]] = []
    for deep, cost in thrifty:
        for other, other_cost in worth:
            if other_cost + costs[bisect_left(depths, deep - other)] <= cost:
                break
        else:
            # A deeper layer at the same cost makes the one before it needless.
            if worth and worth[-1][1] == cost:
                worth.pop()
            worth.append((deep, cost))
    return worth


def _layer_costs(table: ShapeTable, depths: Sequence[int], word: Word) -> list[int]:
    if not word.lanes:
        return table.layer_costs(depths, word.bits)
    found = []
    for depth in depths:
        options = [single(piece, depth, NO_CHAIN) for piece in table.pieces]
        found.append(least_weight(word, options, [one.cost for one in options]))
    return found


def layers_runs(table: ShapeTable, depth: int, word: Word, limits: ChainLimits, most: int) -> list[Run]:
    """The runs of a cut into layers that costs `most` (its least cost): the fewest layers, the deepest
    first, each layer's stacks by the choice among equals; layers that are alike stand as one."""
    depths = table.layer_depths(depth)
    costs = _layer_costs(table, depths, word)
    rates = list(map(truediv, costs, depths))
    at = rates.index(min(rates))
    layers = _worth(depth, depths, costs, (depths[at], costs[at]), most)
    cost_of = dict(layers)
    base = depth + 1
    _, counts = cover_counts(depth, [(deep, cost * base + 1) for deep, cost in layers])
    runs: list[Run] = []
    at = 0
    for deep in sorted(counts, reverse=True):
        # Layers that are alike become one: its stacks are no higher than theirs together.
        whole = deep * counts[deep]
        options = [single(piece, deep, limits) for piece in table.pieces]
        words = min(whole, depth - at)
        for one, strip in best_strips(word, options, cost_of[deep]):
            piece = one.runs[0][0]
            runs.append(Run(at, words, strip.first_bit, strip.bits, piece, -(-whole // piece.depth)))
        at += words
    return runs
