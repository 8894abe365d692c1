"""Counts against an exhaustive search by definition, over every shape of a box."""

import random

import pytest
from mapping_devices import device, on, shapes, tier
from mapping_programme import may_hold

from memlint.device.facts import Mode

DEPTHS, WIDTHS = 200, 100


def searched(listed):
    """Fewest cost of every depth x width: tables filled straight from the definition of strips and layers."""
    never = 10**9
    run = {}  # run[b][D]: a strip of b bits filled D deep by any runs of shapes that are wide enough
    for bits in range(1, WIDTHS + 1):
        fit = [(d, c) for d, w, c in listed if w >= bits]
        run[bits] = [0] + [never] * DEPTHS
        for depth in range(1, DEPTHS + 1):
            run[bits][depth] = min((c + run[bits][max(0, depth - d)] for d, c in fit), default=never)
    widest = max(w for _, w, _ in listed)

    def word(costs):  # fewest cost of every width, given what a strip of each number of bits costs
        table = [0]
        for width in range(1, WIDTHS + 1):
            table.append(min(costs[b] + table[width - b] for b in range(1, min(width, widest) + 1)))
        return table

    strips = [[0] * (WIDTHS + 1)]
    layer = [[0] * (WIDTHS + 1)]
    for depth in range(1, DEPTHS + 1):
        strips.append(word([never] + [run[b][depth] for b in range(1, WIDTHS + 1)]))
        alone = [never]
        for bits in range(1, WIDTHS + 1):
            alone.append(min((-(-depth // d) * c for d, w, c in listed if w >= bits), default=never))
        layer.append(word(alone))
    layers = [[0] * (WIDTHS + 1)]
    for depth in range(1, DEPTHS + 1):
        layers.append([0] + [
            min(layer[e][width] + layers[depth - e][width] for e in range(1, depth + 1))
            for width in range(1, WIDTHS + 1)
        ])  # fmt: skip
    return [
        [min(one, other) for one, other in zip(row, other_row, strict=True)]
        for row, other_row in zip(strips, layers, strict=True)
    ]


@pytest.mark.parametrize(
    "listed",
    [
        [(64, 1, 1), (32, 2, 1), (16, 4, 1), (16, 5, 1), (8, 10, 1), (4, 20, 1)],
        [(48, 3, 2), (24, 7, 2), (24, 3, 1), (10, 12, 2), (6, 20, 3)],
    ],
    ids=["doubling", "uneven"],
)
def test_every_shape_of_a_box_of_20000(listed):
    expected = searched(listed)
    bench = tier("block", Mode("simple_dual", shapes(*listed)))
    bench_device = device(bench)
    wrong = [
        (depth, width)
        for depth in range(1, DEPTHS + 1)
        for width in range(1, WIDTHS + 1)
        if on(bench, depth, width, on_device=bench_device).blocks != expected[depth][width]
    ]
    assert wrong == []


def searched_with_lanes(listed, granules, lanes, depth):
    """Fewest cost of one memory with write lanes, over every cut of the word and of the depth."""
    never = 10**9
    width = sum(lanes)

    def word(cost_of):  # cost_of(shapes that can hold bits [a, b))
        table = [0] + [never] * width
        for b in range(1, width + 1):
            for a in range(b):
                fit = [s for s in listed if may_hold(a, b, lanes, s[1], granules.get(s[1], []))]
                if fit:
                    table[b] = min(table[b], table[a] + cost_of(fit))
        return table[width]

    def runs(fit):
        table = [0]
        for deep in range(1, depth + 1):
            table.append(min(c + table[max(0, deep - d)] for d, _, c in fit))
        return table[depth]

    layer = [0] + [word(lambda fit, e=e: min(-(-e // d) * c for d, _, c in fit)) for e in range(1, depth + 1)]
    layers = [0]
    for deep in range(1, depth + 1):
        layers.append(min(layer[e] + layers[deep - e] for e in range(1, deep + 1)))
    return min(word(runs), layers[depth])


@pytest.mark.parametrize("seed", range(150))
def test_lanes_over_every_cut(seed):
    draw = random.Random(seed)
    listed = [
        (draw.randint(1, 8), draw.randint(1, 8), draw.choice([1, 2, 3])) for _ in range(draw.randint(1, 4))
    ]
    granules = {w: [draw.randint(1, w)] for _, w, _ in listed if draw.random() < 0.7}
    lanes = [draw.randint(1, 5) for _ in range(draw.randint(2, 4))]
    depth = draw.randint(1, 20)
    enables = tuple((w, g) for w, found in granules.items() for g in found)
    bench = tier("block", Mode("simple_dual", shapes(*listed), enables=enables))
    placed = on(bench, depth, sum(lanes), on_device=device(bench), lanes=tuple(lanes))
    assert placed.blocks == searched_with_lanes(listed, granules, lanes, depth)
    assert sum(cut.blocks for cut in placed.cuts) == placed.blocks
