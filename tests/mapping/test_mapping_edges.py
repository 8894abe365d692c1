"""Limits that are met exactly, and numbers that nothing else would show to be one off. Worked out by hand."""

from dataclasses import replace
from fractions import Fraction
from importlib.util import find_spec

import pytest
from mapping_devices import BULK, SORTER, device, mode, on, only, shapes, tier
from plan_problems import choice, problem
from test_mapping_columns import fits_by_hand

from memlint.device.facts import REGISTERS, Chain, Column, HardEcc
from memlint.mapping.alternatives import near_misses, on_every_tier, smaller
from memlint.mapping.assume import assumed_tier
from memlint.mapping.columns import arrange
from memlint.mapping.columns_bounds import beyond_any_arrangement
from memlint.mapping.columns_pieces import pieces_of
from memlint.mapping.columns_search import Packed, pack
from memlint.mapping.columns_solver import is_installed
from memlint.mapping.demand import Demand
from memlint.mapping.plan_numbers import in_numbers
from memlint.mapping.plan_repair import improved, within_limits


def test_chains_of_every_bank_and_copy_stand_in_columns():
    # Three blocks one above the other, for two readers and in two banks.
    placed = on(BULK, 3 * 8192, 40, banks=2, reads=2)
    assert pieces_of(placed, BULK, 2).chains == (3, 3, 3, 3)


def test_two_words_may_be_one_too_many():
    words = only((1, 8))
    (miss,) = near_misses(Demand(2, 8), words, device(words))
    assert (miss.of, miss.less, miss.size, miss.blocks, miss.saved) == ("depth", 1, 1, 1, 1)
    bits = only((64, 1))
    (miss,) = near_misses(Demand(64, 2), bits, device(bits))
    assert (miss.of, miss.less, miss.size) == ("width", 1, 1)


@pytest.mark.parametrize(("depth", "multiplexer"), [(1, False), (2, True)])
def test_registers_of_one_word_need_no_multiplexer(depth, multiplexer):
    placed = on(REGISTERS, depth, 8)
    assert any(f"multiplexer of {depth}:1" in reason for reason in placed.because) is multiplexer
    assert (placed.ways, placed.chain, placed.chains, placed.split) == (depth, 1, 0, 1)
    assert (placed.uniform_blocks, placed.lower_bound, placed.fill) == (8 * depth, 8 * depth, 1)
    assert placed.read_latency == 0
    assert [(one.first_word, one.words, one.first_bit, one.bits, one.shape) for one in placed.cuts] == [
        (0, depth, 0, 8, (1, 1))
    ]
    assert (placed.uniform_shape, placed.cuts[0].blocks, placed.copies) == ((1, 1), 8 * depth, 1)


def test_check_bits_in_registers_are_flip_flops_too():
    # 32 bits take 7 check bits (common practice: 39-bit words).
    placed = on(REGISTERS, 4, 32, ecc="added", banks=2)
    assert (placed.check_bits, placed.word, placed.blocks) == (7, 39, 2 * 4 * 39)


def test_a_code_word_may_end_in_a_smaller_block():
    # 1,500 words of 32 + 7 bits: a block of 1,024 and half a block of 480 below it.
    listed = (*shapes((1024, 39)), replace(shapes((480, 39))[0], cost=Fraction(1, 2)))
    ecc = HardEcc("simple_dual", listed, 32, 7, extra_latency=1)
    bench = tier(
        "bench",
        mode("simple_dual", (1024, 39), halves=((480, 39),)),
        splits=2,
        block_bits=1024 * 39,
        blocks=9,
        ecc=(ecc,),
    )
    placed = on(bench, 1500, 64, on_device=device(bench), ecc="added")
    assert placed.hard_ecc
    assert placed.blocks == 3
    # Two code words side by side, each of two runs.
    assert [(cut.first_word, cut.words, cut.first_bit, cut.bits, cut.blocks) for cut in placed.cuts] == [
        (0, 1024, 0, 39, 1),
        (1024, 476, 0, 39, Fraction(1, 2)),
        (0, 1024, 39, 39, 1),
        (1024, 476, 39, 39, Fraction(1, 2)),
    ]


def test_what_a_rom_would_take_if_nobody_wrote_to_it():
    rom = tier("rom", mode("rom", (1024, 8), reads=2))
    # A write is one port too many; without it five readers take three copies of two reads each.
    placed = on(rom, 1024, 8, on_device=device(rom), writes=1, reads=5)
    assert ([one.kind for one in placed.obstacles], placed.blocks) == (["ports"], 3)
    both = on(rom, 1024, 8, on_device=device(rom), writes=0, reads=4, readwrites=1)
    assert ([one.kind for one in both.obstacles], both.blocks) == (["ports"], 2)


def test_readers_and_writers_alike_may_have_clocks_of_their_own():
    shared = device(tier("shared", mode("true_dual", (1024, 8)), clocks="one"))
    mixed = Demand(4096, 8, writes=1, reads=0, readwrites=1, clocks=None)
    assert assumed_tier(mixed, False, shared, {}) is None
    assert assumed_tier(replace(mixed, clocks=1), False, shared, {}).name == "shared"


def test_an_uneven_array_width_is_served_by_no_part_of_a_block():
    # Written 48 wide and read 12: in words of 36 bits a block of 512 x 48 would be 682 2/3 deep.
    uneven = tier(
        "uneven", mode("simple_dual", (512, 48), width_groups=((12, 48),)), unequal_port_widths=True
    )
    placed = on(uneven, 600, 36, on_device=device(uneven), write_width=48, read_width=12)
    assert [one.kind for one in placed.obstacles] == ["widths"]


def test_the_solver_is_used_where_it_is_installed():
    assert is_installed() is (find_spec("highspy") is not None)


@pytest.mark.parametrize(
    ("chains", "height", "count"),
    [
        ([12, 10, 9, 6, 2], 14, 3),  # long chains as whole columns, short ones as nothing
        ([20, 14, 14, 10], 20, 3),
        ([16, 12, 9, 8, 5, 2, 2], 18, 3),  # lengths in steps of the column
        ([10, 8, 7, 5, 5, 4, 3], 14, 3),
        ([8, 7, 7, 5, 5, 4, 3], 13, 3),  # lengths in wholes of one of them
        ([11, 6, 6, 3, 3, 3], 11, 3),
    ],
)
def test_proofs_that_need_no_search(chains, height, count, monkeypatch):
    monkeypatch.setattr("memlint.mapping.columns_solver.is_installed", lambda: False)
    assert not fits_by_hand(chains, [height] * count)
    assert arrange(chains, 0, [Column(height, count)], most_tries=1).fits is False


def test_chains_and_no_column_at_all():
    assert beyond_any_arrangement([2], [])
    assert not beyond_any_arrangement([], [])
    assert not beyond_any_arrangement([], [4])


def test_what_is_taken_of_each_limit():
    put = problem([choice("bulk", 3)], [choice("bulk", 4)], [choice("block", Fraction(5, 2))])
    numbers = in_numbers(put)
    picked = [options[0] for options in numbers.options]
    # Block counts in halves: 5 of 16.
    assert numbers.loads(picked) == [7, 5, 0]
    assert numbers.caps == (10, 16, 30)


def test_a_better_choice_may_take_the_last_block():
    # A tenth of a share in bulk, all ten blocks of it; four fifths in block.
    put = problem([choice("bulk", 10, supply=100), choice("block", 8, supply=10)])
    numbers = in_numbers(put)
    (cheap, dear) = numbers.options[0]
    assert improved(numbers, [dear]) == [cheap]
    assert within_limits(numbers, [cheap], [0, 0, 0]) == [cheap]


def test_two_memories_change_places_where_that_is_cheaper():
    # Only one of them has room in bulk; the first saves 5/8 there, the second 2/8.
    big = [choice("bulk", 6, supply=60), choice("block", Fraction(29, 5), supply=8)]
    small = [choice("bulk", 6, supply=60), choice("block", Fraction(14, 5), supply=8)]
    put = problem(big, small)
    numbers = in_numbers(put)
    wrong = [numbers.options[0][1], numbers.options[1][0]]
    assert [one.tier for one in improved(numbers, wrong)] == ["bulk", "block"]


def test_what_no_change_can_mend_is_given_up():
    put = problem([choice("bulk", 11)])
    numbers = in_numbers(put)
    assert within_limits(numbers, [numbers.options[0][0]], [0, 0, 0]) is None


def test_a_chain_of_one_block_is_none():
    # On depth wires: two of 2048 x 12 side by side are no chain; two of 1024 x 24 one above the other are.
    wired = tier(
        "wired", mode("simple_dual", (1024, 24), (2048, 12)), chain=Chain(8, 4), columns=(Column(8, 2),)
    )
    placed = on(wired, 2048, 24, on_device=device(wired))
    assert (placed.blocks, placed.chains, placed.chain) == (2, 0, 1)
    assert {cut.shape for cut in placed.cuts} == {(2048, 12)}


def test_supply_is_met_to_the_last_block():
    assert on(BULK, 96 * 8192, 40).fits
    assert SORTER.tier("bulk") is BULK


def test_the_share_of_the_device_decides_and_not_the_blocks():
    # 2 of 220 blocks are 0.9 %, 1 of 96 bulk blocks 1.04 %, 128 of 2,400 in fabric 5.3 %.
    placed = on_every_tier(Demand(4096, 12), SORTER)
    assert [(one.tier, one.blocks) for one in placed] == [
        ("block", 2),
        ("bulk", 1),
        ("fabric", 128),
        ("registers", 4096 * 12),
    ]


def test_speed_mixes_shapes_of_one_height():
    # One above the other: 16 blocks for 17 bits behind 16:1, one register. Side by side: two of 8 bits at 16
    # blocks each and one of 1 bit at 4.
    bench = only((16384, 8, 16), (16384, 1, 4), (1024, 20))
    slow, fast = (on(bench, 16384, 17, prefer, device(bench)) for prefer in ("blocks", "speed"))
    assert (slow.blocks, slow.ways, slow.read_latency) == (16, 16, 2)
    assert (fast.blocks, fast.ways, fast.read_latency) == (36, 1, 1)


def test_the_mode_with_depth_wires_is_taken_among_equals():
    # Two blocks either way; joined by wires in one mode, by a 2:1 multiplexer in the other.
    wired = tier(
        "wired",
        mode("simple_dual", (1024, 8)),
        mode("true_dual", (1024, 8)),
        chain=Chain(8, 4, ("true_dual",)),
        columns=(Column(8, 1),),
    )
    placed = on(wired, 2048, 8, on_device=device(wired))
    assert (placed.mode, placed.blocks, placed.ways, placed.chain) == ("true_dual", 2, 1, 2)


def test_a_layer_of_shapes_whose_depths_have_little_in_common():
    # Three of 97 x 5 side by side and one of 4 x 60 below for the last word; six with one shape. 97 and 4
    # come out even at 388 words only, 89 and 97 and 4 at 34,532.
    pair, three = only((97, 5), (4, 60)), only((97, 5), (89, 5), (4, 60))
    for bench in (pair, three):
        placed = on(bench, 98, 15, on_device=device(bench))
        assert (placed.blocks, placed.uniform_blocks, placed.ways) == (4, 6, 2)
        assert placed.cuts[-1].shape == (4, 60)
    # 8 layers of 97 words and one of 4: 3 blocks each, and 1.
    assert on(three, 8 * 97 + 4, 15, on_device=device(three)).blocks == 25


def test_a_narrower_word_keeps_what_is_left_of_its_last_lane():
    demand = Demand(64, 12, lanes=(8, 4))
    assert smaller(demand, "width", 3).lanes == (8, 1)
    assert smaller(demand, "width", 4).lanes == (8,)
    assert smaller(demand, "depth", 3) == replace(demand, depth=61)


def test_more_columns_than_a_search_goes_down_to_are_left_open():
    # A column a call: 400 are tried, 401 are not, whatever stands in them.
    assert pack([3], [4] * 400).columns is not None
    assert pack([3], [4] * 401) == Packed(None, False)


def test_one_shape_for_all_counts_lanes_too():
    # Five lanes of 8 bits without enables: a block each; with four enables of 10 bits: two blocks.
    plain, laned = only((1024, 40)), only((1024, 40), enables=((40, 10),))
    assert on(plain, 1024, 40, on_device=device(plain), lanes=(8,) * 5).uniform_blocks == 5
    assert on(laned, 1024, 40, on_device=device(laned), lanes=(8,) * 5).uniform_blocks == 2
    # 30 bits in three enables beside 10 in one; two words deep of blocks.
    assert on(laned, 1025, 40, on_device=device(laned), lanes=(30, 10)).uniform_blocks == 2
