"""Chains that do not fit the columns together."""

from dataclasses import replace
from fractions import Fraction

from factory import BLOCK, BULK, at, bound, cut, design, memory, only, placement, texts, view

from memlint.device.facts import Chain, Column, Device
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place
from memlint.reading.intent.clauses import ReadWithin
from memlint.rules.chains.columns_do_not_fit import RULE
from memlint.rules.view import MemoryView

SMALL = replace(BULK, blocks=32, columns=(Column(16, 2),))
DEVICE = Device("tiny", "", (BLOCK, SMALL), target_mhz=200, mux_ways=4)


def chained(path: str, blocks: int, *others: Placement, within: int | None = None) -> MemoryView:
    """A memory of one chain of so many blocks of 8,192 x 40."""
    here = place(Demand(8192 * blocks, 40), SMALL, DEVICE)
    assert here.cuts == (cut(blocks),)
    said = bound(ReadWithin(within, span=at(60))) if within is not None else None
    subject = memory(8192 * blocks, 40, path=f"sorter.{path}", name=path, span=at(100 + 10 * ord(path)))
    return view(subject, SMALL, here=here, others=others, intent=said, device=DEVICE)


def findings(*memories: MemoryView, **more: object) -> list[object]:
    return list(RULE.check_design(design(*memories, device=DEVICE, **more)))


def test_chains_that_fill_the_columns_to_the_last_block_fit() -> None:
    assert not findings(chained("a", 10), chained("b", 6), chained("c", 9), chained("d", 7))


def test_the_fewest_chains_that_conflict_are_named() -> None:
    # 9 + 9 + 9 in two columns of 16; the 3 is not part of it.
    found = only(findings(chained("a", 9), chained("b", 9), chained("c", 9), chained("d", 3)))
    assert found.message == (
        "3 chains of `bulk` (9, 9, 9 blocks) cannot share its columns (2 of 16 blocks): "
        "3 chains are 9 blocks or longer, the columns have room for 2"
    )
    assert found.paths == ("sorter.a", "sorter.b", "sorter.c")
    assert texts(found) == [f"`{name}` has 1 chain of 9 blocks" for name in "abc"]


def test_what_would_mend_it() -> None:
    home = placement("block", 160, Fraction(9, 10), share=Fraction(4, 5))
    found = only(findings(chained("a", 9, home), chained("b", 9), chained("c", 9)))
    # One of three cut in 5 + 4: 9 + 5 and 9 + 4. Read: 1, one register after 4 blocks.
    assert found.help[0] == (
        "split `sorter.a` into chains of at most 5 blocks: a 2:1 multiplexer in fabric, read in 2 cycles"
    )
    assert found.help[-1] == "or move `sorter.a`: in block: 160 blocks, 90 % full"


def test_no_split_that_is_too_slow_and_no_move_to_a_full_tier() -> None:
    # A block alone takes a cycle; 160 blocks are not left of 200 when 41 are taken.
    home = placement("block", 160, Fraction(9, 10), share=Fraction(4, 5))
    held = view(memory(path="sorter.x"), BLOCK, here=placement("block", 41), device=DEVICE)
    slow = [chained(name, 9, home, within=0) for name in "abc"]
    found = only(findings(*slow, held))
    assert found.help[0].startswith("no single change mends it")


def test_too_few_blocks_is_another_finding() -> None:
    assert not findings(chained("a", 16), chained("b", 16), chained("c", 2))


def test_one_root_is_needed() -> None:
    assert not findings(chained("a", 9), chained("b", 9), chained("c", 9), roots=("sorter", "bench"))


def test_a_chain_is_split_until_the_pieces_fit() -> None:
    # 12 + 12 + 8 in two columns of 16: two pieces of 6 leave no room for 8, three of 4 do.
    found = only(findings(chained("a", 12), chained("b", 12), chained("c", 8)))
    assert found.help[0] == (
        "split `sorter.a` into chains of at most 4 blocks: a 3:1 multiplexer in fabric, read in 1 cycle"
    )


def columns_of(count: int, *memories: object) -> object:
    bulk = replace(BULK, blocks=16 * count, columns=(Column(16, count),))
    device = Device("tiny", "", (BLOCK, bulk), target_mhz=200, mux_ways=4)
    return only(RULE.check_design(design(*memories, device=device)))


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
    found = only(RULE.check_design(design(*views, device=unknown)))
    assert len(found.help) == 1
    assert "`memlint plan`" in found.help[0]


def test_chains_nobody_documented_are_not_held_against_columns() -> None:
    vague = replace(BULK, chain=Chain(16, 4), modes=BULK.modes, columns=(Column(16, 2),), blocks=32)
    unknown = view(memory(), vague, here=placement("bulk", None))
    assert not list(RULE.check_design(design(unknown, device=Device("tiny", "", (vague,)))))


def test_the_longest_of_the_conflicting_chains() -> None:
    found = only(findings(chained("a", 12), chained("b", 12), chained("c", 8)))
    assert dict(found.numbers)["longest"] == 12
    assert found.message.startswith("3 chains of `bulk` (12, 12, 8 blocks) cannot share its columns")


def test_single_blocks_count_where_a_memory_moves_away() -> None:
    # Three chains of 10 and 13 blocks alone in 32: without one of them there are 33 still.
    home = placement("block", 100, share=Fraction(1, 2))
    crowded = [chained(name, 10, home, within=0) for name in "abc"]
    device = crowded[0].device
    alone = view(
        memory(8192, 520, path="sorter.z"),
        device.tier("bulk"),
        here=place(Demand(8192, 520), device.tier("bulk"), device),
        device=device,
    )
    found = only(findings(*crowded, alone))
    assert len(found.help) == 1
    assert "`memlint plan`" in found.help[0]
