"""What a profile leaves out stays unknown in the answer, and is said. Numbers are worked out by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest
from mapping_devices import BULK, SORTER, device, mode, on, only, shapes, tier

from memlint.device.facts import REGISTERS, Chain, HardEcc
from memlint.mapping.alternatives import near_misses
from memlint.mapping.columns_pieces import pieces_of
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import count_blocks
from memlint.mapping.totals import blocks_taken
from memlint.mapping.wording import amount, percent, plural


def deep(**facts):
    """A tier of 1,024 x 8 blocks on a chain, with facts changed."""
    return tier(
        "deep", mode("simple_dual", (1024, 8)), block_bits=8192, blocks=50, **{"chain": Chain(4, 2), **facts}
    )


def said(placed, text):
    return [reason for reason in placed.because if text in reason]


def test_a_chain_of_unknown_length():
    endless = deep(chain=Chain(None, 2))
    placed = on(endless, 4096, 8, on_device=device(endless))
    assert (placed.blocks, placed.chain, placed.chains) == (4, 4, 1)
    assert (placed.split, placed.ways, placed.read_latency) == (None, None, None)
    assert len(said(placed, "gives neither the longest chain of deep nor its columns")) == 1
    # One block needs no chain.
    single = on(endless, 1024, 8, on_device=device(endless))
    assert (single.split, single.ways, single.read_latency) == (1, 1, 1)
    assert not said(single, "longest chain")


def test_a_chain_of_which_only_the_length_is_known():
    placed = on(deep(), 4096, 8, on_device=device(deep()))
    # A register after two blocks of four: one cycle beside the block's.
    assert (placed.split, placed.read_latency) == (1, 2)
    assert len(said(placed, "gives no columns of deep; only its longest chain limits a chain")) == 1
    assert said(on(deep(), 1025, 8, on_device=device(deep())), "gives no columns of deep")
    assert not said(on(deep(), 1024, 8, on_device=device(deep())), "columns")


def test_no_word_on_depth_wires():
    silent = deep(chain=None, unknown=("chain",))
    placed = on(silent, 2048, 8, on_device=device(silent))
    assert (placed.blocks, placed.chain, placed.chains, placed.split, placed.ways) == (
        2,
        None,
        None,
        None,
        None,
    )
    assert placed.read_latency is None
    assert len(said(placed, "does not say whether deep has depth wires")) == 1
    assert pieces_of(placed, silent, 1) is None
    assert pieces_of(on(silent, 1024, 8, on_device=device(silent)), silent, 1) is None


def test_registers_of_a_chain_nobody_documented():
    vague = deep(chain=Chain(4, None))
    placed = on(vague, 4096, 8, on_device=device(vague))
    assert placed.read_latency is None
    assert said(placed, "does not say where a chain of deep needs registers")
    # A single block has no registers to know about.
    assert on(vague, 1024, 8, on_device=device(vague)).read_latency == 1


def test_a_multiplexer_of_unknown_reach():
    plain = deep(chain=None)
    bench = device(plain, mux_ways=None)
    placed = on(plain, 3 * 1024, 8, on_device=bench)
    assert (placed.ways, placed.read_latency) == (3, None)
    assert said(placed, "how wide a multiplexer is without registers (3:1)")
    # With two-input steps: 3:1 is two of them, one register between; 2:1 is one step and needs none.
    assert on(plain, 3 * 1024, 8, on_device=device(plain, mux_ways=2)).read_latency == 2
    assert on(plain, 2 * 1024, 8, on_device=device(plain, mux_ways=2)).read_latency == 1


def test_hardened_ecc_of_unknown_cycles():
    ecc = (HardEcc("simple_dual", shapes((1024, 39)), 32, 7),)
    slow = replace(only((1024, 39)), ecc=ecc, blocks=50)
    placed = on(slow, 1024, 32, on_device=device(slow), ecc="added")
    assert (placed.hard_ecc, placed.blocks, placed.read_latency) == (True, 1, None)
    assert said(placed, "does not say how many cycles the hardened ECC of block adds")
    assert on(slow, 1024, 32, on_device=device(slow)).read_latency == 1


def test_a_read_latency_nobody_documented():
    silent = deep(read_latency=None)
    placed = on(silent, 1024, 8, on_device=device(silent))
    assert placed.read_latency is None
    assert said(placed, "does not give the read latency of deep")


def test_hardened_ecc_written_in_lanes_unless_the_profile_says_so():
    ecc = HardEcc("simple_dual", shapes((1024, 39)), 32, 7, extra_latency=0)
    base = replace(only((1024, 39), enables=((39, 13),)), blocks=50)
    for lanes, words in ((None, "does not say whether hardened ECC words"), (False, "are written whole")):
        where = replace(base, ecc=(replace(ecc, lanes=lanes),))
        placed = on(where, 1024, 32, on_device=device(where), ecc="added", lanes=(16, 16))
        assert not placed.hard_ecc
        assert said(placed, words)


def test_hardened_ecc_is_not_reckoned_with_unequal_ports():
    wide = tier(
        "wide",
        mode("simple_dual", (512, 36), (1024, 18), width_groups=((18, 36),), max_ratio=2),
        unequal_port_widths=True,
        ecc=(HardEcc("simple_dual", shapes((512, 36)), 30, 6, extra_latency=1),),
    )
    placed = on(wide, 512, 30, on_device=device(wide), ecc="added", write_width=30, read_width=15)
    assert not placed.hard_ecc
    assert said(placed, "the hardened ECC of wide is not reckoned with unequal port widths")


def test_how_it_is_read_may_be_unknown_on_either_side():
    silent = deep(read=None)
    assert said(
        on(silent, 64, 8, on_device=device(silent)), "does not say whether deep is read on a clock edge"
    )
    placed = on(deep(), 64, 8, on_device=device(deep()), asynchronous=None)
    assert placed.fits
    assert said(placed, "whether it is read without a clock is unknown")


def test_too_many_ports_do_not_hide_too_many_clocks():
    placed = on(BULK, 8192, 40, writes=3, clocks=2)
    assert [one.kind for one in placed.obstacles] == ["ports", "clocks"]
    assert placed.obstacles[1].text == "its ports use 2 clocks; the ports of bulk share one"


def test_what_is_not_known_has_no_near_misses_and_no_blocks_to_add():
    bare = tier("bare", mode("simple_dual"))
    assert near_misses(Demand(1025, 8), bare, device(bare)) == ()
    assert blocks_taken(Placement("bare", True), bare) is None


def test_registers_are_counted_one_a_bit():
    assert count_blocks(Demand(16, 8, banks=2), REGISTERS, SORTER) == 256


@pytest.mark.parametrize(
    ("blocks", "text"),
    [
        (Fraction(1024), "1,024"),
        (Fraction(5, 2), "2.5"),
        (Fraction(2049, 2), "1,024.5"),
        (Fraction(1, 8), "0.125"),
        (Fraction(7, 3), "2 1/3"),
        (Fraction(1, 3), "1/3"),
        (Fraction(0), "0"),
    ],
)
def test_blocks_as_people_write_them(blocks, text):
    assert amount(blocks) == text


@pytest.mark.parametrize(
    ("part", "text"),
    [
        (Fraction(0), "0 %"),
        (Fraction(1, 1000), "under 1 %"),
        (Fraction(1, 100), "1 %"),
        (Fraction(5, 9), "56 %"),
        (Fraction(99, 100), "99 %"),
        (Fraction(999, 1000), "over 99 %"),
        (Fraction(1), "100 %"),
        (Fraction(1001, 1000), "100 %"),
        (Fraction(3, 2), "150 %"),
    ],
)
def test_a_share_never_says_all_or_nothing_when_it_is_neither(part, text):
    assert percent(part) == text


def test_nouns_follow_their_number():
    assert [plural(1, "copy"), plural(2, "copy"), plural(0, "block"), plural(2000, "block")] == [
        "1 copy",
        "2 copies",
        "0 blocks",
        "2,000 blocks",
    ]
