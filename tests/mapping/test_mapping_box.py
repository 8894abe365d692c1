"""Counts against an exhaustive search by definition, over every shape of a box."""

import pytest
from mapping_devices import device, on, shapes, tier

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
