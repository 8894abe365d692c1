"""The README's way from published sizes to blocks, and facts of the trade, reckoned by hand.

Rec. ITU-R BT.2020-2, table 1: 3,840 x 2,160 pixels. IEEE Std 802.3-2022, 3.2.7 and 4A.4.2: frames of 64 to
1,518 octets, 1,522 with a tag.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from test_readme import rows

from memlint.device.facts import BlockShape, Device, Mode, Tier
from memlint.device.profile import load_profile
from memlint.mapping.demand import Demand
from memlint.mapping.place import place
from memlint.mapping.plan import Conflict, Item, Limit, Plan, Problem
from memlint.mapping.plan_choices import ways_among
from memlint.mapping.plan_solve import solve
from memlint.reading.intent.reader import parse_holds

LINE, LINES, PIXEL = 3840, 2160, 3 * 10
SHORTEST, LONGEST, TAGGED = 64, 1518, 1522

BY_HAND = {
    # 4,096 x 6 five times side by side; the bits alone fill 4.7 blocks.
    "a line": (LINE, PIXEL, "5", "1"),
    # 12 x 115,200 / 24,576 = 56.25, 56.5 in halves; of bulk ⌈46,080 / 8,192⌉ one above the other.
    "12 lines": (12 * LINE, PIXEL, "56.5", "6"),
    # 248,832,000 / 24,576 = 10,125 of 220, and ⌈8,294,400 / 8,192⌉ = 1,013 of 96.
    "a picture": (LINE * LINES, PIXEL, "does not fit", "does not fit"),
    # A half of a block takes it in any of its shapes of 24 or 12 bits a word.
    "the shortest frame": (SHORTEST, 8, "0.5", "1"),
    # 2,048 x 12 holds it; a half is 1,024 words of 12, or 2,048 of 6.
    "the longest frame": (LONGEST, 8, "1", "1"),
    # 64 x 1,522 octets in words of four: 8,192 x 3 three times deep and eleven wide; of bulk three.
    "64 tagged frames": (64 * TAGGED // 4, 32, "33", "3"),
}


@pytest.mark.parametrize("row", rows("worked"), ids=lambda row: row[0])
def test_the_table_is_right(row: list[str]) -> None:
    depth, width, block, bulk = BY_HAND[row[0]]
    assert row[1:] == [f"{depth:,} x {width}", f"{depth * width:,}", block, bulk]
    sorter = load_profile("sorter-m")
    for name, said in (("block", block), ("bulk", bulk)):
        tier = sorter.tier(name)
        assert tier is not None
        placed = place(Demand(depth, width), tier, sorter)
        assert placed.fits == (said != "does not fit")
        assert not placed.fits or placed.blocks == Fraction(said)


def test_the_table_is_whole_and_what_is_said_of_it_holds() -> None:
    assert [row[0] for row in rows("worked")] == list(BY_HAND)
    assert 56.5 / 220 > 0.25
    assert 6 / 96 == 1 / 16
    assert 327_680 // (SHORTEST * 8) == 640
    sorter = load_profile("sorter-m")
    fabric, outside = sorter.tier("fabric"), sorter.tier("external")
    assert fabric is not None
    assert outside is not None
    assert place(Demand(SHORTEST, 8), fabric, sorter).blocks == 2
    assert place(Demand(LINE * LINES, PIXEL), outside, sorter).fits
    assert parse_holds("12 lines x 3840 x 30 bit").bits == 1_382_400
    assert parse_holds("64 x 1522 byte").bits == 779_264


def test_a_line_against_two_usual_block_sizes() -> None:
    # Common practice, no source: a 10-bit UHD line is more than one 36 Kibit block, about an eighth of a
    # block of 4,096 x 72.
    small = Tier("small", "block", block_bits=36 * 1024, blocks=100, clocks="any", read="synchronous",
                 modes=(Mode("simple_dual", (BlockShape(2048, 18), BlockShape(4096, 9))),))  # fmt: skip
    large = Tier("large", "bulk", block_bits=4096 * 72, blocks=100, clocks="one", read="synchronous",
                 modes=(Mode("simple_dual", (BlockShape(4096, 72),)),))  # fmt: skip
    device = Device("usual", "", (small, large))
    line = Demand(LINE, 10)
    taken = place(line, small, device).blocks
    fill = place(line, large, device).fill
    assert taken is not None
    assert taken > 1
    assert fill is not None
    assert abs(fill - Fraction(1, 8)) < Fraction(1, 100)


def test_ten_milliseconds_of_a_link() -> None:
    # Common practice, no source: 10 ms of 10 Gbit/s is 100 Mbit.
    assert parse_holds("10 ms at 10 Gbit/s").bits == parse_holds("100 Mbit").bits == 100_000_000


def test_all_memory_of_a_large_device_is_far_from_a_gigabit() -> None:
    # Common practice, no source: 360 Mibit of big blocks, 95 of block RAM and 50 of lookup-table memory are
    # 505 together, and still far from a gigabit part off chip. Shapes and block sizes are invented.
    mebi = 1024 * 1024
    tiers = tuple(
        Tier(name, role, block_bits=depth * 64, blocks=size * mebi // (depth * 64), clocks="any",
             read="synchronous", read_latency=1, modes=(Mode("simple_dual", (BlockShape(depth, 64),)),))
        for name, role, depth, size in (("cells", "fabric", 64, 50), ("block", "block", 512, 95),
                                        ("big", "bulk", 4096, 360))
    )  # fmt: skip
    device = Device("large", "", tiers, 200, 4)
    assert sum((tier.block_bits or 0) * (tier.blocks or 0) for tier in tiers) == 505 * mebi

    def planned(pieces: int) -> Plan | Conflict:
        """So many memories of 5 Mibit."""
        ways, _ = ways_among(Demand(5 * mebi // 64, 64), tiers, device)
        items = tuple(Item(str(at), tuple(way.choice for way in ways)) for at in range(pieces))
        limits = tuple(Limit(tier.name, tier.name, Fraction(tier.blocks or 0)) for tier in tiers)
        return solve(Problem(items, limits))

    assert isinstance(planned(101), Plan)
    conflict = planned(102)
    assert isinstance(conflict, Conflict)
    assert conflict.proven
    assert isinstance(planned(10**9 // (5 * mebi)), Conflict)
