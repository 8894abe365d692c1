"""Counts against an integer programme of the same classes of cuts, solved by HiGHS (highspy).

The programmes stand in mapping_programme.py, written from the definition of the cuts; they share no code
with the counts. Small shapes, all kinds of them: depths that divide each other and that do not, costs of
halves and wholes and more, write lanes with and without enables.
"""

import random
from fractions import Fraction

import pytest
from mapping_devices import device, on, shapes, tier
from mapping_programme import fresh_threads, laned_strips_minimum, layers_minimum, strips_minimum

from memlint.device.facts import Mode

HALF = Fraction(1, 2)
BATCHES = 20


@pytest.fixture(autouse=True)
def one_thread():
    fresh_threads()
    yield
    fresh_threads()


def random_shapes(draw: random.Random) -> list[tuple[int, int, int]]:
    """(depth, width, cost in half blocks), one to four of them."""
    match draw.randrange(3):
        case 0:  # depths double, costs alike
            return [(2 ** draw.randrange(1, 4), draw.randint(1, 6), 2) for _ in range(draw.randint(1, 4))]
        case 1:  # depths double, halves and wholes
            return [(2 ** draw.randrange(1, 4), draw.randint(1, 6), draw.choice([1, 2])) for _ in range(3)]
        case _:  # anything
            return [
                (draw.randint(2, 8), draw.randint(1, 6), draw.choice([1, 2, 2, 3, 5]))
                for _ in range(draw.randint(1, 4))
            ]


def counted(listed, depth, width, **needs):
    as_shapes = shapes(*[(d, w, c * HALF) for d, w, c in listed])
    bench = tier("block", Mode("simple_dual", as_shapes), splits=2)
    placed = on(bench, depth, width, on_device=device(bench), **needs)
    assert sum(cut.blocks for cut in placed.cuts) == placed.blocks
    return placed.blocks


@pytest.mark.parametrize("batch", range(BATCHES))
def test_fewest_blocks_equal_the_programme(batch):
    draw = random.Random(batch)
    for _ in range(90):
        listed = random_shapes(draw)
        depth = draw.randint(1, 4 * min(d for d, _, _ in listed))
        width = draw.randint(1, 9)
        least = min(strips_minimum(depth, width, listed), layers_minimum(depth, width, listed))
        assert counted(listed, depth, width) == least * HALF, (listed, depth, width)


@pytest.mark.parametrize("batch", range(BATCHES))
def test_write_lanes_equal_the_programme(batch):
    draw = random.Random(1000 + batch)
    for _ in range(20):
        enables = [(w, draw.randint(1, 3)) for w in range(1, 7) if draw.random() < 0.6]
        # Of one depth, so that layers gain nothing over strips; sometimes stacked, in halves and wholes.
        deep = 2 ** draw.randrange(1, 4)
        listed = [(deep, draw.randint(1, 6), draw.choice([1, 2])) for _ in range(draw.randint(1, 3))]
        lanes = [draw.randint(1, 3) for _ in range(draw.randint(2, 3))]
        depth = draw.randint(1, 3 * deep)
        as_shapes = shapes(*[(d, w, c * HALF) for d, w, c in listed])
        bench = tier("block", Mode("simple_dual", as_shapes, enables=tuple(enables)), splits=2)
        blocks = on(bench, depth, sum(lanes), on_device=device(bench), lanes=tuple(lanes)).blocks
        known = [(d, w, c, [g for v, g in enables if v == w]) for d, w, c in listed]
        least = laned_strips_minimum(depth, lanes, known)
        assert blocks == least * HALF, (listed, enables, lanes, depth)
