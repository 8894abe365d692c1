"""Words, sums and drafts that rules share. Expected texts follow from the design page and the numbers given."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import (
    CLK,
    DEVICE,
    PIXEL,
    at,
    bound,
    inside,
    memory,
    placement,
    view,
)

from memlint.design.memory import Access
from memlint.device.facts import REGISTERS
from memlint.mapping.demand import Demand
from memlint.mapping.place import place
from memlint.reading.intent.clauses import Ports
from memlint.rules.base import Rule, Severity
from memlint.rules.docs import documentation
from memlint.rules.drafts import draft
from memlint.rules.placed import why_no_tier
from memlint.rules.read_words import places_of_reads, without_a_clock
from memlint.rules.stated_ports import as_stated, counted, misfit
from memlint.rules.totals import added, by_root, total
from memlint.rules.wording import homes, placed_on


def test_a_rule_that_opens_with_a_paragraph_is_refused_by_name() -> None:
    class Wordy(Rule):
        """Finds nothing,
        in two lines.

        Why it costs:
            Nothing.

        Example:
            module a; endmodule

        Mended:
            module a; endmodule
        """

        name = "wordy"

    with pytest.raises(ValueError, match="wordy: its docstring must open with one line of summary"):
        documentation(Wordy())


def test_a_part_without_text_is_missing() -> None:
    class Hollow(Rule):
        """Finds nothing.

        Why it costs:

        Example:
            module a; endmodule

        Mended:
            module a; endmodule
        """

        name = "hollow"

    with pytest.raises(ValueError, match="hollow: its docstring has no `Why it costs:` part"):
        documentation(Hollow())


def test_why_a_memory_has_no_tier() -> None:
    assert why_no_tier(view()) == ""
    named = view(tier=None, tier_from=None, intent=bound(inside("blok", "heap")))
    assert why_no_tier(named) == "its intent names `blok` or `heap`, which device `tiny` does not have"
    shapeless = view(memory(None, 40), None, tier_from=None)
    assert why_no_tier(shapeless) == "the shape is unknown and no intent names a tier of device `tiny`"
    # Deep and wide: fabric if it is read without a clock, else block (two clocks are more than bulk takes).
    unread = view(memory(2048, 10, read=None), None, tier_from=None)
    demand = Demand(2048, 10, asynchronous=None, clocks=None)
    words = why_no_tier(replace(unread, demand=demand))
    assert words.endswith(
        ", as no intent names one and it is unknown whether it is read without a clock and how many clocks "
        "its ports use"
    )
    assert "`block` or `registers`" in words or "`fabric` or `block`" in words


def test_paths_go_to_the_root_they_lie_below() -> None:
    paths = ["sorter.a", "bench.sorter.b", "sorter2.c", "sorter", "sorter.sub.d", "spare.x"]
    assert by_root(paths, ["sorter", "bench", "other"]) == {"sorter": [0, 4], "bench": [1]}


def test_parts_of_blocks_add_up_exactly() -> None:
    assert added([Fraction(1, 2), Fraction(3), Fraction(1, 3), Fraction(1, 2)]) == Fraction(13, 3)
    assert added([]) == 0


def test_a_memory_beyond_every_block_stays_in_registers() -> None:
    # 16 x 8 bits are 128 flip-flops, one a bit.
    here = place(Demand(16, 8), REGISTERS, DEVICE)
    assert (here.blocks, here.fits) == (128, True)


def test_severities_are_three_and_in_order() -> None:
    assert [str(one) for one in sorted(Severity)] == ["note", "warning", "error"]
    assert Severity.NOTE < Severity.WARNING < Severity.ERROR


def async_read(place: int, address: str, reason: str = "") -> Access:
    return Access("read", at(place), address, CLK, asynchronous=True, reason=reason)


def test_of_several_reads_without_a_clock_the_first_is_named() -> None:
    reads = [async_read(10, "ra", "goes through `+`"), async_read(20, "rb"), async_read(30, "rc")]
    assert without_a_clock(reads) == " at address `ra` and 2 others: the word goes through `+`"
    assert without_a_clock(reads[:1]) == " at address `ra`: the word goes through `+`"
    assert without_a_clock(reads[1:]) == " at address `rb` and 1 other"


def test_a_draft_states_no_clock_that_was_not_traced() -> None:
    assert draft([view()]) == "in bulk; shape 8K x 40; ports 1w 1r; one clock"
    assert draft([view(memory(clocks_known=False))]) == "in bulk; shape 8K x 40; ports 1w 1r"
    two = memory(clocks=(CLK, PIXEL))
    assert draft([view(two)]) == "in bulk; shape 8K x 40; ports 1w 1r"
    assert draft([view(), view(two), view(memory(width=41))]) == "in bulk; ports 1w 1r"
    assert draft([view(memory(None, 40, ports=()), None)]) == "one clock"


@pytest.mark.parametrize(
    ("found", "agrees"), [((1, 4, 0), True), ((1, 1, 0), True), ((1, 2, 0), False), ((4, 1, 0), False)]
)
def test_a_wide_read_may_be_written_out_word_by_word(found: tuple[int, int, int], agrees: bool) -> None:
    # A read of 32 bits is four words of 8.
    assert as_stated(found, Ports(1, 1, 0, write_width=8, read_width=32, span=at(60)), 8) is agrees


def test_widths_that_go_with_no_whole_number_of_words() -> None:
    assert misfit(Ports(1, 1, 0, write_width=30, read_width=10, span=at(60)), 48) == 30
    assert misfit(Ports(1, 1, 0, write_width=96, read_width=12, span=at(60)), 48) is None
    assert misfit(Ports(1, 1, 0, write_width=48, read_width=36, span=at(60)), 48) == 36


@pytest.mark.parametrize(("flip_flops", "offered"), [(1024, True), (1025, False)])
def test_registers_beside_another_home(flip_flops: int, offered: bool) -> None:
    others = (placement("block", 1), placement("registers", flip_flops))
    assert len(homes(view(others=others))) == 1 + offered


@pytest.mark.parametrize(
    ("flip_flops", "said"),
    [(65_536, "in registers: 65,536 flip-flops"), (65_537, "no other tier of `tiny` takes it")],
)
def test_registers_as_the_only_home(flip_flops: int, said: str) -> None:
    assert homes(view(others=(placement("registers", flip_flops),))) == [said]


def test_homes_that_take_much_of_their_tier_are_offered_last() -> None:
    much = placement("block", 60, share=Fraction(26, 100))
    little = placement("fabric", 250, share=Fraction(1, 4))
    assert homes(view(others=(much, little))) == ["in fabric: 250 blocks"]
    assert homes(view(others=(much,))) == ["in block: 60 blocks"]


def test_a_home_is_told_with_what_is_known_of_it() -> None:
    assert (
        placed_on(placement("block", 3, Fraction(1, 2), copies=3))
        == "in block: 3 blocks, 50 % full, in 3 copies"
    )
    assert placed_on(placement("block", 1, copies=1)) == "in block: 1 block"
    assert placed_on(placement("block", 2, copies=None)) == "in block: 2 blocks"


def test_each_place_of_a_read_without_a_clock_is_told_once() -> None:
    one, two, three = (async_read(place, "ra") for place in (10, 20, 30))
    told = [
        (related.span, related.message) for related in places_of_reads([one, two, three, two], first=False)
    ]
    # The finding stands at the first already.
    assert told == [(at(20), "also read without a clock here"), (at(30), "also read without a clock here")]
    told = [(related.span, related.message) for related in places_of_reads([one, two], first=True)]
    assert told == [(at(10), "read without a clock here"), (at(20), "also read without a clock here")]


def test_the_largest_of_a_total_stands_first_also_among_parts_of_blocks() -> None:
    taken = {"a": Fraction(7, 2), "b": Fraction(5), "c": Fraction(9, 2), "d": None}
    views = [
        view(memory(path=f"sorter.{name}"), here=placement("bulk", blocks)) for name, blocks in taken.items()
    ]
    sums = total(views, "bulk")
    assert [one.memory.path for one in sums.memories] == ["sorter.b", "sorter.c", "sorter.a"]
    assert (sums.blocks, sums.uniform_blocks, sums.unknown) == (13, 13, 1)
    assert total(views, "block").blocks == 0


@pytest.mark.parametrize(
    ("stated", "counts"),
    [
        (Ports(1, 1, 0, write_width=48, read_width=24, span=at(60)), ((1, 1, 0), 48, 24)),
        (Ports(1, 1, 0, read_width=24, span=at(60)), ((1, 1, 0), 48, 24)),
        (
            Ports(1, 1, 0, write_width=48, read_width=48, span=at(60)),
            ((1, 1, 0), None, None),
        ),  # the word's own
        (
            Ports(1, 1, 0, write_width=48, read_width=10, span=at(60)),
            ((1, 1, 0), None, None),
        ),  # no part of it
        (
            Ports(1, 2, 0, write_width=48, read_width=24, span=at(60)),
            ((1, 1, 0), None, None),
        ),  # not the HDL's
        (Ports(1, 1, 0, span=at(60)), ((1, 1, 0), None, None)),
        (None, ((1, 1, 0), None, None)),
    ],
)
def test_stated_widths_count_where_they_go_with_the_hdl(stated: Ports | None, counts: object) -> None:
    assert counted(memory(512, 48), stated) == counts
