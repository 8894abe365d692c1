"""Chains that do not fit the columns together."""

from dataclasses import replace
from fractions import Fraction

from factory import BLOCK, BULK, at, bound, cut, design, memory, only, placement, texts, view

from memlint.device.facts import Column, Device
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
