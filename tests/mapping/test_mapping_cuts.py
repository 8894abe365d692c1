"""Cuts, chains and latency of single memories, worked out by hand."""

from fractions import Fraction

import pytest
from mapping_devices import BLOCK, BULK, FABRIC, device, mode, on, only, tier

from memlint.device.facts import Chain, Column
from memlint.mapping.chains import ChainLimits
from memlint.mapping.layout import Run, layout
from memlint.mapping.narrate import cut_sentences
from memlint.mapping.runs import Piece


def of(placed):
    return [
        (cut.first_word, cut.words, cut.first_bit, cut.bits, cut.shape, cut.blocks) for cut in placed.cuts
    ]


def test_eight_bulk_blocks_one_above_the_other():
    placed = on(BULK, 65536, 40)
    assert of(placed) == [(0, 65536, 0, 40, (8192, 40), 8)]
    assert (placed.chain, placed.chains, placed.split, placed.ways) == (8, 1, 1, 1)
    assert placed.read_latency == 2  # its own 1, and one register for eight blocks with one every four
    assert "8 of 8192 x 40 one above the other hold 65,536 x 40, 100 % full" in placed.because


def test_a_layer_for_the_last_few_words():
    # 8,200 x 3 on 8192 x 3 and 512 x 48: one block and one for the last 8 words, where one shape takes two;
    # 8,200 x 48: 16 of 8192 x 3 and one of 512 x 48, where one shape takes 17 of 512 x 48.
    bench = only((8192, 3), (512, 48))
    wide = on(bench, 8200, 48, on_device=device(bench))
    assert (wide.blocks, wide.uniform_blocks) == (17, 17)
    narrow = on(bench, 8200, 12, on_device=device(bench))
    assert (narrow.blocks, narrow.uniform_blocks) == (5, 8)
    assert of(narrow)[-1] == (8192, 8, 0, 12, (512, 48), 1)
    assert narrow.ways == 2
    assert "1 of 512 x 48 holds 8 x 12 from word 8,192, bit 0, under 1 % full" in narrow.because
    assert narrow.uniform_shape == (8192, 3)


def test_a_strip_of_another_shape():
    bench = only((1024, 18), (4096, 4))
    placed = on(bench, 4096, 22, on_device=device(bench))
    # 18 bits in four of 1024 x 18 and 4 bits in one of 4096 x 4; six of 4096 x 4 with one shape.
    assert (placed.blocks, placed.uniform_blocks) == (5, 6)
    assert sorted((bits, shape, blocks) for _, _, _, bits, shape, blocks in of(placed)) == [
        (4, (4096, 4), 1),
        (18, (1024, 18), 4),
    ]


def test_a_strip_may_end_in_half_a_block():
    bench = tier("bench", mode("simple_dual", (1024, 24), halves=((512, 24),)), splits=2, block_bits=24576)
    placed = on(bench, 1500, 24, on_device=device(bench))
    assert placed.blocks == Fraction(3, 2)
    assert placed.fill == Fraction(1500 * 24) / (Fraction(3, 2) * 24576)


def test_equal_blocks_go_to_the_smaller_multiplexer():
    # 2048 x 24: two of 1024 x 24 one above the other or two of 2048 x 12 side by side; no depth wires.
    placed = on(BLOCK, 2048, 24)
    assert (placed.blocks, placed.ways) == (2, 1)
    assert {cut.shape for cut in placed.cuts} == {(2048, 12)}


def test_a_chain_joins_without_a_multiplexer():
    chained = tier(
        "chained", mode("simple_dual", (1024, 24), (2048, 12)), chain=Chain(8, 4), columns=(Column(8, 2),)
    )
    loose = tier("loose", mode("simple_dual", (1024, 24)))
    assert on(chained, 4096, 24, on_device=device(chained)).ways == 1
    assert on(loose, 4096, 24, on_device=device(loose)).ways == 4
    assert (on(loose, 4096, 24, on_device=device(loose)).chain, on(loose, 4096, 24).chains) == (1, 0)


@pytest.mark.parametrize(
    ("blocks", "longest", "column", "split"),
    [(16, 16, 16, 1), (17, 16, 16, 2), (16, 16, 8, 2), (16, 4, 16, 4), (33, 16, 16, 3)],
)
def test_split_at_the_longest_chain_and_the_tallest_column(blocks, longest, column, split):
    bench = tier(
        "bench",
        mode("simple_dual", (64, 8)),
        chain=Chain(longest, 4),
        columns=(Column(column, 1), Column(2, 9)),
    )
    placed = on(bench, 64 * blocks, 8, on_device=device(bench))
    assert (placed.chain, placed.split, placed.ways) == (blocks, split, split)


@pytest.mark.parametrize(
    ("blocks", "cycles"),
    [
        (4, 1),  # one piece of 4: no register
        (5, 2),  # one piece of 5: one register
        (16, 4),  # one piece of 16: three
        (17, 3),  # two pieces of 9: two registers, 2:1 needs none
        (80, 5),  # five pieces of 16: three registers, 5:1 from 4:1 needs one
    ],
)
def test_latency_of_chains(blocks, cycles):
    bench = tier("bench", mode("simple_dual", (64, 8)), chain=Chain(16, 4), columns=(Column(16, 9),))
    assert on(bench, 64 * blocks, 8, on_device=device(bench)).read_latency == cycles


@pytest.mark.parametrize(("blocks", "cycles"), [(1, 1), (4, 1), (5, 2), (16, 2), (17, 3), (64, 3), (65, 4)])
def test_latency_of_multiplexers(blocks, cycles):
    loose = only((64, 8))
    assert on(loose, 64 * blocks, 8, on_device=device(loose)).read_latency == cycles


def test_asynchronous_tiers_take_no_cycle():
    assert on(FABRIC, 4096, 6, asynchronous=True).read_latency == 0


def test_what_the_profile_leaves_out_stays_unknown():
    loose = only((64, 8))
    no_ways = on(loose, 256, 8, on_device=device(loose, mux_ways=None))
    assert no_ways.read_latency is None
    assert any("4:1" in reason for reason in no_ways.because)
    slow = tier("slow", mode("simple_dual", (64, 8)), read_latency=None)
    assert on(slow, 64, 8, on_device=device(slow)).read_latency is None
    bare = tier("bare", mode("simple_dual", (64, 8)), chain=Chain(None, None))
    asked = on(bare, 256, 8, on_device=device(bare))
    assert (asked.chain, asked.split, asked.ways, asked.read_latency) == (4, None, None, None)
    assert on(bare, 64, 8, on_device=device(bare)).split == 1
    silent = tier("silent", mode("simple_dual", (64, 8)), unknown=("chain",))
    unsaid = on(silent, 256, 8, on_device=device(silent))
    assert (unsaid.chain, unsaid.chains, unsaid.split, unsaid.ways) == (None, None, None, None)
    assert any("depth wires" in reason for reason in unsaid.because)


def test_chains_of_every_bank_and_copy_are_counted():
    placed = on(BULK, 16384, 80, banks=2, reads=2)
    assert (placed.chain, placed.chains, placed.blocks) == (2, 8, 16)


def test_no_chain_in_a_mode_without_one():
    dual = on(BULK, 16384, 40, writes=0, reads=0, readwrites=2)
    assert (dual.chain, dual.chains, dual.ways) == (1, 0, 2)


def test_speed_takes_more_blocks_for_fewer_on_top_of_another():
    bench = tier("bench", mode("simple_dual", (4096, 4), (1024, 20)), block_bits=20480)
    fewest, fastest = (on(bench, 16384, 20, prefer, device(bench)) for prefer in ("blocks", "speed"))
    # 16 of 1024 x 20 behind 16:1, which has a register inside, or 5 strips of 4 of 4096 x 4 behind 4:1.
    assert (fewest.blocks, fewest.ways, fewest.read_latency) == (16, 16, 2)
    assert (fastest.blocks, fastest.ways, fastest.read_latency) == (20, 4, 1)


def test_power_keeps_fewest_blocks_awake():
    bench = tier(
        "bench", mode("simple_dual", (4096, 4), (1024, 16)), block_bits=16384,
        idle_uw=10.0, asleep_uw=1.0, active_uw_per_mhz=0.5,
    )  # fmt: skip
    plain, frugal = (on(bench, 4096, 16, prefer, device(bench)) for prefer in ("blocks", "power"))
    assert [dict(one.power)["awake"] for one in (plain, frugal)] == [4, 1]
    power = dict(frugal.power)
    # One block at 10 + 0.5 x 200 µW, three asleep at 1 µW; all four awake would be 440.
    assert (power["asleep"], power["microwatt"]) == (3, 113)
    assert power["relative"] == pytest.approx(113 / 440)


def test_power_without_figures_is_unknown():
    placed = on(BLOCK, 2048, 24, "power")
    assert "microwatt" not in dict(placed.power)
    assert any("power is unknown" in reason and "idle_uw" in reason for reason in placed.because)
    assert placed.blocks == on(BLOCK, 2048, 24).blocks


@pytest.mark.parametrize(
    ("depth", "width", "said"),
    [
        (8192, 40, "1 of 8192 x 40 holds 8,192 x 40, 100 % full"),
        (4096, 40, "1 of 8192 x 40 holds 4,096 x 40, 50 % full"),
        (8192, 80, "2 of 8192 x 40 side by side hold 8,192 x 80, 100 % full"),
        (16384, 40, "2 of 8192 x 40 one above the other hold 16,384 x 40, 100 % full"),
        (
            16384,
            80,
            "4 of 8192 x 40, 2 side by side of 2 one above the other, hold 16,384 x 80, 100 % full",
        ),
    ],
)
def test_a_cut_in_words(depth, width, said):
    assert said in on(BULK, depth, width).because


@pytest.mark.parametrize(
    ("depth", "width", "said"),
    [
        (512, 24, "1 half of 512 x 24 holds 512 x 24, 100 % full"),
        (512, 72, "3 halves of 512 x 24 side by side hold 512 x 72, 100 % full"),
    ],
)
def test_halves_in_words(depth, width, said):
    listed = ((512, 48),)
    bench = tier("bench", mode("simple_dual", *listed, halves=((512, 24),)), splits=2, block_bits=24576)
    assert said in on(bench, depth, width, on_device=device(bench)).because


def test_shapes_that_cost_more_than_a_block_say_so():
    paired = only((512, 36, 2))
    placed = on(paired, 512, 72, on_device=device(paired))
    assert any("2 of 512 x 36 (at 2 blocks each) side by side hold 512 x 72" in one for one in placed.because)


def test_of_many_cuts_six_are_told_and_the_others_counted():
    runs = [Run(64 * at, 64, 0, 8, Piece(64, 8, 1), 1) for at in range(9)]
    loose = only((64, 8))
    said = list(cut_sentences(layout(runs, ChainLimits(False)), loose, 1))
    assert len(said) == 7
    assert said[5] == "1 of 64 x 8 holds 64 x 8 from word 320, bit 0, 100 % full"
    assert said[6] == "and 3 cuts more"
    assert len(list(cut_sentences(layout(runs[:6], ChainLimits(False)), loose, 1))) == 6
