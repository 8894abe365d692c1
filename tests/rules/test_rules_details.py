"""What findings say at the edges of what is known. Numbers are worked out by hand from `factory`'s device."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import (
    BLOCK,
    BULK,
    DEVICE,
    FABRIC,
    at,
    bound,
    design,
    inside,
    memory,
    only,
    placement,
    view,
)
from test_columns_do_not_fit import chained, findings

from memlint.device.facts import REGISTERS, Chain, Column, Device
from memlint.mapping.demand import Demand
from memlint.mapping.place import place
from memlint.reading.intent.clauses import Budget, Clocks, Intent, ReadWithin
from memlint.rules.base import Rule
from memlint.rules.capacity.unit_over_budget import RULE as UNIT_OVER_BUDGET
from memlint.rules.chains.chain_misses_latency import RULE as CHAIN_MISSES_LATENCY
from memlint.rules.chains.columns_do_not_fit import RULE as COLUMNS_DO_NOT_FIT
from memlint.rules.docs import documentation
from memlint.rules.intent.attribute_disagrees import RULE as ATTRIBUTE_DISAGREES
from memlint.rules.intent.clock_drift import RULE as CLOCK_DRIFT
from memlint.rules.placed import why_no_tier
from memlint.rules.totals import added, by_root
from memlint.rules.view import UnitIntent


def test_only_the_tier_over_its_limit_is_told() -> None:
    limits = (("block", Fraction(8)), ("bulk", Fraction(6)))
    clause = Budget(limits, tier_spans=(at(70), at(80)), span=at(62, 30))
    unit = UnitIntent("sorter.camera", "camera", Intent((clause,), span=at(60, 35)))
    memories = (
        view(memory(path="sorter.camera.a"), BLOCK, here=placement("block", 8)),
        view(memory(path="sorter.camera.b"), here=placement("bulk", 7)),
    )
    found = only(UNIT_OVER_BUDGET.check_design(design(*memories, unit_intents=(unit,))))
    assert found.span == at(80)
    assert found.message == "an instance of `camera` takes 7 blocks of `bulk`, its budget is 6"
    assert found.help[0] == "move 1 block elsewhere, largest memory first"


def slow(latency: int, allowed: int, **more: object) -> object:
    here = placement("bulk", 1, Fraction(1), read_latency=latency, **more)
    intent = bound(ReadWithin(allowed, span=at(60)))
    near = placement("block", 16, read_latency=1)
    far = placement("fabric", 500, read_latency=2)
    return only(CHAIN_MISSES_LATENCY.check(view(here=here, others=(near, far), intent=intent)))


def test_a_chain_without_registers_has_no_part_in_the_cycles() -> None:
    # Registers stand after every fourth block: a piece of four has none.
    found = slow(3, 1, chain=8, split=2, ways=17)
    assert found.message == (
        "a read of `line` takes 3 cycles in `bulk` (1 for the block and the rest for a 17:1 multiplexer), "
        "its intent allows 1"
    )
    assert found.help[1:] == ("in block: 16 blocks, read in 1 cycle",)


def test_a_piece_of_five_blocks_has_a_register() -> None:
    found = slow(3, 2, chain=10, split=2, ways=1)
    assert "(1 for the block and 1 for a chain of 5 blocks)" in found.message
    assert found.help[1:] == (
        "in block: 16 blocks, read in 1 cycle",
        "in fabric: 500 blocks, read in 2 cycles",
    )


def test_a_chain_is_split_until_the_pieces_fit() -> None:
    # 12 + 12 + 8 in two columns of 16: two pieces of 6 leave no room for 8, three of 4 do.
    found = only(findings(chained("a", 12), chained("b", 12), chained("c", 8)))
    assert found.help[0] == (
        "split `sorter.a` into chains of at most 4 blocks: a 3:1 multiplexer in fabric, read in 1 cycle"
    )


def columns_of(count: int, *memories: object) -> object:
    bulk = replace(BULK, blocks=16 * count, columns=(Column(16, count),))
    device = Device("tiny", "", (BLOCK, bulk), target_mhz=200, mux_ways=4)
    return only(COLUMNS_DO_NOT_FIT.check_design(design(*memories, device=device)))


def test_where_one_change_is_not_enough_the_planner_is_named() -> None:
    # Five chains of 9 in three columns of 16: moved or cut, one of them leaves four, one too many.
    found = columns_of(3, *(chained(name, 9) for name in "abcde"))
    assert dict(found.numbers) == {
        "tier": "bulk",
        "chains": 5,
        "conflicting": 4,
        "longest": 9,
        "columns": 3,
    }
    assert len(found.help) == 1
    assert "`memlint plan`" in found.help[0]


def test_no_move_to_a_tier_of_unknown_supply() -> None:
    home = placement("block", 160, share=None)
    slow_ones = [chained(name, 9, home, within=0) for name in "abc"]
    unknown = Device("tiny", "", (replace(BLOCK, blocks=None), *slow_ones[0].device.tiers[1:]), 200, 4)
    views = [replace(one, device=unknown) for one in slow_ones]
    found = only(COLUMNS_DO_NOT_FIT.check_design(design(*views, device=unknown)))
    assert len(found.help) == 1
    assert "`memlint plan`" in found.help[0]


def test_chains_nobody_documented_are_not_held_against_columns() -> None:
    vague = replace(BULK, chain=Chain(16, 4), modes=BULK.modes, columns=(Column(16, 2),), blocks=32)
    unknown = view(memory(), vague, here=placement("bulk", None))
    assert not list(COLUMNS_DO_NOT_FIT.check_design(design(unknown, device=Device("tiny", "", (vague,)))))


@pytest.mark.parametrize(
    ("attribute", "asked"),
    [("rom", "a ROM block"), ("block", "a RAM block"), ("far", "tier `far`")],
)
def test_what_an_attribute_asks_for(attribute: str, asked: str) -> None:
    # IEEE Std 1364.1-2002: rom_block and ram_block ask for memory blocks; `far` is a name of this test.
    subject = memory(attribute=attribute)
    found = only(ATTRIBUTE_DISAGREES.check(view(subject, FABRIC, intent=bound(inside("fabric")))))
    assert found.message == f"the attribute of `line` asks for {asked}, its intent for `fabric`"
    assert found.span == subject.span
    assert found.help[1] == f"else state a tier in the intent that is {asked}"


def test_a_planned_memory_has_the_clocks_its_plan_says() -> None:
    subject = memory(planned=True, clocks=(), ports=())
    stated = bound(Clocks(("a",), span=at(60)), clocks={"a": None})
    assert not list(CLOCK_DRIFT.check(view(subject, intent=stated)))


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
