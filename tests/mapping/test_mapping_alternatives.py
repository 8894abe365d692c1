"""The same memory otherwise: other tiers, near misses, folding, side by side."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mapping_devices import BLOCK, BULK, FABRIC, SORTER, device, mode, only, tier

from memlint.device.facts import External, Tier
from memlint.mapping.alternatives import foldings, near_misses, on_every_tier, side_by_side
from memlint.mapping.demand import Demand
from memlint.mapping.place import count_blocks, place


def test_tiers_that_take_it_stand_first_by_their_share_of_the_device():
    placed = on_every_tier(Demand(32768, 40), SORTER)
    # 4 of 96 bulk blocks are 4 %, 56 of 220 blocks 25 %; fabric would take 3,584 of 2,400.
    assert [one.tier for one in placed] == ["bulk", "block", "registers", "fabric"]
    assert [one.fits for one in placed] == [True, True, True, False]


def test_unknown_supply_comes_last_of_the_tiers():
    stock = tier("stock", *BLOCK.modes, block_bits=24576, splits=2)
    outside = Tier("outside", "external", external=External(10**9, None))
    placed = on_every_tier(Demand(2048, 12), device(outside, stock, BULK))
    assert [one.tier for one in placed] == ["bulk", "stock", "registers", "outside"]
    assert placed[-1].blocks is None and placed[-1].share == Fraction(2048 * 12, 10**9)


def test_more_than_the_external_memory_holds():
    outside = Tier("outside", "external", external=External(1000, None))
    placed = place(Demand(1001, 1), outside, device(outside))
    assert [one.text for one in placed.obstacles] == ["it takes 1,001 bits; outside holds 1,000"]
    vague = Tier("vague", "external")
    assert "capacity" in place(Demand(8, 1), vague, device(vague)).because[1]


def test_one_word_less_takes_half():
    (miss,) = near_misses(Demand(8193, 40), BULK, SORTER)
    assert (miss.of, miss.less, miss.size, miss.blocks, miss.saved) == ("depth", 1, 8192, 1, 1)


def test_one_bit_less_takes_half():
    (miss,) = near_misses(Demand(8192, 41), BULK, SORTER)
    assert (miss.of, miss.less, miss.size, miss.blocks) == ("width", 1, 40, 1)
    (laned,) = near_misses(Demand(8192, 41, lanes=(20, 21), reads=0), BULK, SORTER)
    assert (laned.of, laned.less, laned.blocks) == ("width", 1, 1)


def test_nothing_close_by():
    assert near_misses(Demand(8192, 40), BULK, SORTER) == ()
    assert near_misses(Demand(1, 1), BULK, SORTER) == ()


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 600), st.integers(1, 60), st.sampled_from([FABRIC, BLOCK]))
def test_a_near_miss_is_the_least_step_that_saves(depth, width, where):
    demand = Demand(depth, width)
    taken = count_blocks(demand, where, SORTER)
    by_hand = {}
    for less in range(1, min(depth - 1, max(1, depth // 8)) + 1):
        if count_blocks(Demand(depth - less, width), where, SORTER) < taken:
            by_hand["depth"] = less
            break
    for less in range(1, min(width - 1, max(1, width // 8)) + 1):
        if count_blocks(Demand(depth, width - less), where, SORTER) < taken:
            by_hand["width"] = less
            break
    assert {one.of: one.less for one in near_misses(demand, where, SORTER)} == by_hand


def test_folding_a_narrow_memory():
    # 4096 x 5 on 512 x 40: eight blocks one above the other; eight words side by side are one of 512 x 40.
    bench = only((512, 40), enables=((40, 5),))
    folded = foldings(Demand(4096, 5), bench, device(bench))
    assert [(one.ways, one.depth, one.width, one.blocks) for one in folded] == [
        (2, 2048, 10, 4), (4, 1024, 20, 2), (8, 512, 40, 1),
    ]  # fmt: skip
    assert [one.registers for one in folded] == [0, 0, 1]  # 8:1 from 4:1 multiplexers needs one
    assert [one.saved for one in folded] == [4, 6, 7]


def test_folding_needs_write_lanes():
    bench = only((512, 40))
    assert foldings(Demand(4096, 5), bench, device(bench)) == ()
    rom = only((512, 40), name="rom")
    assert foldings(Demand(4096, 5, writes=0), rom, device(rom))[-1].blocks == 1


def test_folding_takes_check_bits_along():
    bench = only((512, 40), name="rom")
    folded = foldings(Demand(1024, 14, writes=0, ecc="added"), bench, device(bench))
    assert (folded[0].width, folded[0].blocks) == (2 * (14 + 6), 1)  # 6 check bits for 14


def test_side_by_side_in_one_word():
    both = (Demand(512, 20), Demand(512, 20))
    bench = only((512, 40), enables=((40, 10),))
    beside = side_by_side(both, bench, device(bench))
    assert (beside.width, beside.blocks, beside.apart) == (40, 1, 2)
    plain = only((512, 40))
    assert side_by_side(both, plain, device(plain)) is None  # each would need enables of its own
    assert side_by_side((Demand(512, 20), Demand(256, 20)), bench, device(bench)) is None
    assert side_by_side((Demand(512, 20),), bench, device(bench)) is None


@settings(max_examples=300, deadline=None)
@given(
    st.integers(1, 3000), st.integers(1, 80), st.integers(1, 3), st.integers(0, 2), st.integers(0, 3),
    st.integers(0, 2), st.sampled_from(["none", "added"]), st.sampled_from([FABRIC, BLOCK, BULK]),
)  # fmt: skip
def test_the_bare_count_is_the_placements(depth, width, banks, w, r, rw, ecc, where):
    demand = Demand(depth, width, banks=banks, writes=w, reads=r, readwrites=rw, ecc=ecc)
    assert count_blocks(demand, where, SORTER) == place(demand, where, SORTER).blocks


@pytest.mark.parametrize("role", ["registers", "external"])
def test_the_bare_count_off_the_blocks(role):
    outside = Tier("outside", "external")
    where = SORTER.tier("registers") if role == "registers" else outside
    assert count_blocks(Demand(8, 8), where, SORTER) == (64 if role == "registers" else None)


def test_a_multiplexer_behind_an_asynchronous_read_has_no_register():
    # 512 x 2 on 64 x 6: eight blocks; two words side by side take four of 256 x 4; eight words of 2 bits are one of 64 x 16, three blocks.
    cells = tier("cells", mode("rom", (64, 6)), read="asynchronous", read_latency=0)
    folded = foldings(Demand(512, 2, writes=0, asynchronous=True), cells, device(cells))
    assert [(one.ways, one.depth, one.width, one.blocks, one.registers) for one in folded] == [
        (2, 256, 4, 4, 0),
        (8, 64, 16, 3, 0),
    ]
