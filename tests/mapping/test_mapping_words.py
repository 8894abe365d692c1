"""Widths: write lanes, check bits, unequal ports; expectations worked out by hand from the design page."""

from dataclasses import replace
from fractions import Fraction

import pytest
from mapping_devices import BLOCK, BULK, device, mode, on, only, shapes, tier

from memlint.device.facts import HardEcc
from memlint.mapping.totals import blocks_taken

LANED = only((1024, 40), enables=((40, 10),))


@pytest.mark.parametrize(
    ("lanes", "blocks"),
    [
        ((10, 10, 10, 10), 1),  # four enables of ten bits
        ((20, 20), 1),
        ((40,), 1),  # one lane is no lanes
        ((8,) * 5, 2),  # each lane takes a whole enable: five of four
        ((11, 29), 2),  # 20 + 30 bits of enables
        ((1, 20, 11), 2),  # 10 + 20 + 20
        ((30, 10), 1),
    ],
)
def test_lanes_take_whole_granules(lanes, blocks):
    assert on(LANED, 1024, sum(lanes), on_device=device(LANED), lanes=lanes).blocks == blocks


def test_without_enables_a_block_holds_one_lane():
    plain = only((1024, 40))
    assert on(plain, 1024, 40, on_device=device(plain), lanes=(8,) * 5).blocks == 5
    assert on(plain, 1024, 90, on_device=device(plain), lanes=(50, 40)).blocks == 3


def test_a_lane_may_be_split_over_blocks():
    nine = only((1024, 18), enables=((18, 9),))
    # 36 bits in four enables of nine, lanes 27 and 9: 3 + 1 enables are two blocks.
    assert on(nine, 1024, 36, on_device=device(nine), lanes=(27, 9)).blocks == 2


def test_bits_no_lane_covers_are_one_more_lane():
    plain = only((1024, 40))
    assert on(plain, 1024, 40, on_device=device(plain), lanes=(8, 8)).blocks == 3


def test_lanes_of_a_memory_nobody_writes_cost_nothing():
    rom = only((1024, 40), name="rom")
    assert on(rom, 1024, 40, on_device=device(rom), writes=0, lanes=(20, 20)).blocks == 1


def test_undocumented_enables_leave_the_count_open_only_where_it_matters():
    vague = tier("vague", mode("simple_dual", (1024, 40)), unknown=("enables",))
    open_count = on(vague, 1024, 40, on_device=device(vague), lanes=(20, 20))
    assert open_count.blocks is None
    assert "between 1 and 2 blocks" in open_count.because[0]
    assert on(vague, 1024, 80, on_device=device(vague), lanes=(40, 40)).blocks == 2


def test_hard_ecc_in_whole_code_words():
    placed = on(BULK, 8192, 66, ecc="added")  # two words of 33
    assert (placed.hard_ecc, placed.check_bits, placed.word, placed.blocks) == (True, 14, 80, 2)
    assert placed.read_latency == 2  # the block's 1 and the ECC's 1
    assert placed.fill == 1
    one_mode = replace(BULK, modes=BULK.modes[:2])
    assert (
        on(one_mode, 8192, 67, ecc="added").blocks == 3
    )  # three words of 33, though 75 bits fill two blocks


def test_the_least_over_the_modes_also_with_ecc():
    placed = on(BULK, 8192, 67, ecc="added")  # 67 + 8 bits in mode true_dual
    assert (placed.blocks, placed.mode, placed.hard_ecc) == (2, "true_dual", False)
    assert any("hardened ECC in mode simple_dual takes 3 blocks" in reason for reason in placed.because)


def test_soft_ecc_where_the_mode_has_none():
    placed = on(BULK, 8192, 33, ecc="added", writes=0, reads=0, readwrites=2)
    assert (placed.hard_ecc, placed.check_bits, placed.word, placed.blocks) == (False, 7, 40, 1)
    assert any("soft ECC" in reason and "simple_dual only" in reason for reason in placed.because)


def test_lanes_turn_hard_ecc_into_soft():
    placed = on(BULK, 8192, 20, ecc="added", lanes=(10, 10))
    assert not placed.hard_ecc
    assert (placed.word, placed.blocks) == (26, 3)  # two lanes and the check bits, no enables in this mode
    assert any("written whole" in reason for reason in placed.because)


def test_check_bits_in_the_word_are_not_added_again():
    placed = on(BULK, 8192, 40, ecc="in word")
    assert (placed.word, placed.blocks, placed.check_bits, placed.hard_ecc) == (40, 1, 0, False)


def test_hard_ecc_without_documented_words_is_reckoned_soft_and_said():
    vague = tier(
        "vague",
        mode("simple_dual", (1024, 40)),
        ecc=(HardEcc("simple_dual", shapes((1024, 40)), None, None),),
    )
    placed = on(vague, 1024, 33, on_device=device(vague), ecc="added")
    assert (placed.hard_ecc, placed.blocks) == (False, 1)
    assert any("does not document the hardened ECC" in reason for reason in placed.because)
    silent = tier("silent", mode("simple_dual", (1024, 40)), unknown=("ecc",))
    asked = on(silent, 1024, 33, on_device=device(silent), ecc="added")
    assert any("whether silent has hardened ECC" in reason for reason in asked.because)


def test_unequal_ports_keep_to_one_group_of_widths():
    # 512 x 48 written 48 wide and read 12 wide: one block, 512 x 48 on one side, 2048 x 12 on the other.
    assert on(BLOCK, 512, 48, write_width=48, read_width=12).blocks == 1
    # As an array of 12-bit words it is the same block.
    narrow = on(BLOCK, 2048, 12, write_width=48, read_width=12)
    assert (narrow.blocks, narrow.cuts[0].shape) == (1, (2048, 12))
    # 40 and 10 bits: four times, so the same shapes serve; the block's word is 48 and 12.
    assert on(BLOCK, 512, 40, write_width=40, read_width=10).blocks == 1


def test_unequal_ports_keep_the_write_enables():
    # Four lanes of twelve, written 48 wide with an enable for each 12 bits, read 24 wide.
    assert on(BLOCK, 512, 48, write_width=48, read_width=24, lanes=(12,) * 4).blocks == 1


@pytest.mark.parametrize(
    ("write", "read", "said"),
    [(48, 20, "whole multiple"), (96, 3, "a ratio of 32"), (48, 16, "one group in the ratio 3:1")],
)
def test_unequal_ports_that_no_shape_serves(write, read, said):
    placed = on(BLOCK, 512, write, write_width=write, read_width=read)
    assert [one.kind for one in placed.obstacles] == ["widths"]
    assert said in placed.obstacles[0].text
    assert placed.blocks is not None


def test_a_tier_of_equal_widths_only():
    placed = on(BULK, 512, 40, write_width=40, read_width=10)
    assert (placed.fits, placed.blocks) == (False, 1)
    assert "40 bits wide, the other 10" in placed.obstacles[0].text


def test_unknown_width_groups_stay_unknown():
    vague = tier("vague", mode("simple_dual", (512, 32)), unequal_port_widths=True)
    placed = on(vague, 512, 32, on_device=device(vague), write_width=32, read_width=8)
    assert (placed.fits, placed.blocks) == (True, None)
    assert "unequal port widths" in placed.because[0]


def test_halves_count_a_half():
    assert on(BLOCK, 1024, 12).blocks == Fraction(1, 2)
    assert on(BLOCK, 1024, 60).blocks == Fraction(5, 2)
    assert on(BLOCK, 1024, 12, writes=0, reads=0, readwrites=2).blocks == 1  # no halves with two ports


@pytest.mark.parametrize(
    ("pair", "taken", "said"),
    [
        ("any", Fraction(1, 2), ""),
        ("same memory", 1, "lost to other memories"),
        (None, Fraction(1, 2), "whose parts"),
    ],
)
def test_what_half_a_block_leaves_to_others(pair, taken, said):
    halved = tier("halved", mode("simple_dual", (1024, 24), halves=((512, 24),), pair=pair), splits=2)
    placed = on(halved, 512, 24, on_device=device(halved))
    assert placed.blocks == Fraction(1, 2)
    assert blocks_taken(placed, halved) == taken
    assert said in " ".join(placed.because)


def test_shapes_may_cost_more_than_a_block():
    paired = only((512, 36, 2), (512, 18))
    assert on(paired, 512, 36, on_device=device(paired)).blocks == 2
    assert on(paired, 512, 19, on_device=device(paired)).blocks == 2


def test_a_word_wider_than_any_memory_is_said_to_be():
    placed = on(BULK, 16, 2**40)
    assert placed.blocks is None
    assert "65,536 bits" in placed.because[0]
    assert on(BULK, 2**50, 40).blocks == 2**37
