"""What everyone in the trade knows by heart. Common practice, no source."""

from mapping_devices import on, only, tier

from memlint.device.facts import Device
from memlint.mapping.demand import Demand
from memlint.mapping.place import place

BIG = only((4096, 72))
SMALL_BITS = 36 * 1024


def test_a_big_block_holds_eight_small_ones():
    assert BIG.block_bits == 8 * SMALL_BITS == 294_912
    assert on(BIG, 4096, 72).blocks == 1


def test_64_data_and_8_check_bits_fill_a_72_bit_word():
    placed = on(BIG, 4096, 64, ecc="added")
    assert (placed.word, placed.blocks, placed.fill) == (72, 1, 1)


def test_a_wide_shallow_memory_leaves_big_blocks_98_per_cent_empty():
    placed = on(BIG, 64, 512)
    assert placed.blocks == 8
    assert 98 <= 100 * (1 - placed.fill) < 99


def test_360_mibit_are_1280_big_blocks():
    big = tier("big", *BIG.modes, block_bits=BIG.block_bits, blocks=1280)
    device = Device("hall", "", (big,))
    placed = place(Demand(1280 * 4096, 72), big, device)
    assert placed.blocks == 1280
    assert placed.blocks * big.block_bits == 360 * 2**20
    assert placed.share == 1
