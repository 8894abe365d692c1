"""The choice among equals: blocks; uniform before mixed; smaller M; fewer chains; shorter chain; fewer awake.

Every cut of one run a strip is listed by brute force and measured from the order's definition; what is placed
must be as good as the best of them.
"""

import random
from itertools import combinations_with_replacement

import pytest
from mapping_devices import device, mode, on, tier

from memlint.device.facts import Chain, Column


def best_key(listed, depth, width, longest):
    """(blocks, mixed, M, chains, longest chain, awake) of the best cut into strips of one run each."""
    keys = []
    for count in range(1, width + 1):
        for strips in combinations_with_replacement(range(len(listed)), count):
            if sum(listed[at][1] for at in strips) < width:
                continue
            if sum(listed[at][1] for at in strips) - min(listed[at][1] for at in strips) >= width:
                continue  # one strip would be empty
            heights = [-(-depth // listed[at][0]) for at in strips]
            inputs = [-(-height // longest) if longest else height for height in heights]
            chains = sum(height > 1 for height in heights) if longest else 0
            keys.append((sum(heights), len(set(strips)) > 1, max(inputs), chains, max(heights), count))
    return min(keys)


@pytest.mark.parametrize("seed", range(200))
def test_nothing_equal_is_better(seed):
    draw = random.Random(seed)
    listed = sorted({(2 ** draw.randrange(1, 5), draw.randint(1, 5)) for _ in range(draw.randint(1, 4))})
    depth, width = draw.randint(1, 20), draw.randint(1, 7)
    longest = draw.choice([0, 1, 2, 3, 8])
    chain = Chain(longest, 2) if longest else None
    bench = tier("bench", mode("simple_dual", *listed), chain=chain, columns=(Column(99, 1),))
    placed = on(bench, depth, width, on_device=device(bench))
    best = best_key(listed, depth, width, longest)
    tallest = max(-(-cut.words // cut.shape[0]) for cut in placed.cuts)
    mixed = len({cut.shape for cut in placed.cuts}) > 1
    awake = dict(placed.power)["awake"]
    assert (placed.blocks, mixed, placed.ways, placed.chains, tallest, awake) <= best
    if longest:
        assert placed.chain == tallest


def test_what_is_only_read_goes_in_the_mode_made_for_it():
    listed = (1024, 24), (512, 48)
    bench = tier("bench", mode("simple_dual", *listed), mode("rom", *listed, reads=1))
    table = on(bench, 1024, 10, writes=0, reads=3)
    assert table.mode == "rom"
    # Nothing writes it: its copies are not "written alike".
    assert table.because[0] == "rom with 3 reads in mode rom, in 3 copies that hold the same, for its 3 reads"
    assert on(bench, 1024, 10, writes=1, reads=1).mode == "simple_dual"
    # Where another mode takes fewer blocks, it is that one: two reads a copy, so two copies instead of three.
    dual = tier("bench", mode("true_dual", *listed), mode("rom", *listed, reads=1))
    assert on(dual, 1024, 10, writes=0, reads=3).mode == "true_dual"


def test_fewer_chains_come_before_a_shorter_one():
    # 12 x 6 in six blocks either way: three chains of two, or two chains of three.
    bench = tier("bench", mode("simple_dual", (6, 2), (4, 3)), chain=Chain(8, 2), columns=(Column(99, 1),))
    placed = on(bench, 12, 6, on_device=device(bench))
    assert (placed.blocks, placed.uniform_shape, placed.chains, placed.chain) == (6, (4, 3), 2, 3)
