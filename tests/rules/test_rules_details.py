"""What findings say at the edges of what is known. Numbers are worked out by hand from `factory`'s device."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import (
    BLOCK,
    BULK,
    DEVICE,
    FABRIC,
    OUTSIDE,
    at,
    bound,
    design,
    inside,
    memory,
    only,
    placement,
    view,
)
from test_said_in_context import PLAIN, store

from memlint.design.memory import Memory
from memlint.device.facts import Device, External
from memlint.engine import check_text
from memlint.mapping.demand import Demand, Placement
from memlint.reading.intent.clauses import Accept, Budget, Clocks, Holds, Intent, ReadWithin, Shape
from memlint.rules.capacity.device_over_budget import RULE as DEVICE_OVER_BUDGET
from memlint.rules.capacity.holds_too_little import RULE as HOLDS_TOO_LITTLE
from memlint.rules.capacity.unit_over_budget import RULE as UNIT_OVER_BUDGET
from memlint.rules.chains.chain_misses_latency import RULE as CHAIN_MISSES_LATENCY
from memlint.rules.chains.chain_over_column import RULE as CHAIN_OVER_COLUMN
from memlint.rules.clocks.too_many_ports import RULE as TOO_MANY_PORTS
from memlint.rules.finding import Finding
from memlint.rules.intent.acceptance_unused import RULE as ACCEPTANCE_UNUSED
from memlint.rules.intent.attribute_disagrees import RULE as ATTRIBUTE_DISAGREES
from memlint.rules.intent.clock_drift import RULE as CLOCK_DRIFT
from memlint.rules.intent.intent_missing import RULE as INTENT_MISSING
from memlint.rules.intent.shape_drift import RULE as SHAPE_DRIFT
from memlint.rules.reading.unit_not_found import RULE as UNIT_NOT_FOUND
from memlint.rules.shape.shallow_wide import RULE as SHALLOW_WIDE
from memlint.rules.shape.tiny_on_large_blocks import RULE as TINY
from memlint.rules.view import MissingUnit, UnitIntent


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


@pytest.mark.parametrize(("shapes", "fixes"), [(1, 1), (2, 0)])
def test_a_clause_over_one_shape_is_rewritten(shapes: int, fixes: int) -> None:
    under = frozenset({(8192, 40), (4096, 40)} if shapes == 2 else {(4096, 40)})
    subject = view(memory(4096, 40), intent=bound(Shape(8192, 40, span=at(60))), shapes_under_clause=under)
    assert len(only(SHAPE_DRIFT.check(subject)).fixes) == fixes


def test_places_of_a_missing_unit_are_five_and_its_paths_all() -> None:
    instances = tuple(f"sorter.lane[{number}].driver" for number in range(9))
    spans = tuple(at(100 + 10 * number) for number in range(9))
    missing = MissingUnit("valve_driver", instances, spans[0], spans)
    found = only(UNIT_NOT_FOUND.check_design(design(missing=(missing,))))
    assert len(found.related) == 5
    assert len(found.paths) == 9


def test_bits_that_could_not_be_counted_are_told() -> None:
    chip = replace(OUTSIDE, external=External(capacity_bits=1000))
    small = Device("tiny", "", (BULK, chip))
    known = view(memory(100, 32, path="sorter.a"), chip, here=Placement("chip", True, word=32), device=small)
    unknown = view(memory(None, 32, path="sorter.b"), chip, here=None, device=small)
    found = only(DEVICE_OVER_BUDGET.check_design(design(known, unknown, device=small)))
    assert dict(found.numbers)["unknown"] == 1
    assert found.help == (
        "free 2,200 bits (about 2.15 Kibit): make the largest shallower, or bring one on chip",
        "not counted: 1 memory whose blocks are unknown",
    )


def test_blocks_of_unknown_size_are_not_called_smaller() -> None:
    vague = replace(BLOCK, block_bits=None)
    device = Device("tiny", "", (vague, BULK))
    low = placement("bulk", 1, Fraction(1, 100))
    subject = view(memory(64, 40), here=low, others=(placement("block", 1),), device=device)
    assert not list(TINY.check(subject))
    assert list(TINY.check(replace(subject, device=DEVICE)))


def test_words_in_turns_only_where_the_array_is_one_bank() -> None:
    here = placement("bulk", 24, Fraction(1, 100))
    assert not any("in 12 cycles" in one for one in shallow_help(memory(128, 480, banks=2), here))
    assert any(
        "in 12 cycles" in one for one in shallow_help(memory(128, 480), placement("bulk", 12, here.fill))
    )


def shallow_help(subject: Memory, here: Placement, **thresholds: float) -> tuple[str, ...]:
    return only(SHALLOW_WIDE.check(view(subject, here=here, thresholds=thresholds))).help


@pytest.mark.parametrize(("depth", "speaks"), [(255, False), (256, True)])
def test_memories_of_256_bits_want_an_intent(depth: int, speaks: bool) -> None:
    assert bool(list(INTENT_MISSING.check(view(memory(depth, 1))))) == speaks


def test_an_acceptance_of_no_rule_offers_three_names() -> None:
    wrong = Accept("shalow-wide", "agreed", rule_span=at(70, 11), span=at(62, 40))
    found = only(ACCEPTANCE_UNUSED.check_acceptances(design(view(intent=bound(wrong))), {}))
    assert found.help[0].startswith("name the rule as its finding does, such as `shallow-wide`, ")
    assert found.help[0].count("`") == 6


def test_many_memories_under_an_unused_acceptance_are_counted() -> None:
    clause = Accept("shallow-wide", "agreed", rule_span=at(70, 12), span=at(62, 40))
    views = [view(memory(path=f"sorter.b{i}.line"), intent=bound(clause)) for i in range(5)]
    found = only(ACCEPTANCE_UNUSED.check_acceptances(design(*views), {}))
    assert found.message.endswith("`sorter.b0.line`, `sorter.b1.line` and `sorter.b2.line` and 2 more")


def test_words_in_turns_may_fill_a_block_to_its_last_word() -> None:
    # 8 turns of 1,024 words are 8,192, as deep as a block; 1,025 would be more.
    here = placement("bulk", 8, Fraction(1, 8))
    assert "as 8,192 x 40, a word in 8 cycles: 1 block of `bulk`" in shallow_help(memory(1024, 320), here)
    assert not any("in 8 cycles" in one for one in shallow_help(memory(1025, 320), here))


def test_a_missing_intent_is_told_with_the_size() -> None:
    found = only(INTENT_MISSING.check(view(memory(256, 1))))
    assert found.message == "`line` (256 x 1, 256 bits) has no intent"
    assert only(INTENT_MISSING.check(view(memory(None, 1)))).message == "`line` has no intent"


def many_readers(**more: object) -> Finding:
    """A memory in ten copies for nine reads and a port that does both."""
    here = placement("bulk", 10, copies=10)
    demand = Demand(8192, 40, writes=0, reads=9, readwrites=1, **more)  # type: ignore[arg-type]
    return only(TOO_MANY_PORTS.check(replace(view(here=here), demand=demand)))


def test_ports_that_read_and_write_are_readers_too() -> None:
    assert "its 10 reads take 10 copies in `bulk`, 10 blocks instead of 1" in many_readers().message
    # One port of each block reads and writes, so the other is left for one reader: four copies.
    assert "let the readers take turns: 4 reads at once take 4 blocks" in many_readers().help


def test_taking_turns_is_no_advice_where_something_else_stands_in_the_way() -> None:
    # Bulk holds nothing at power-up.
    assert not any("take turns" in one for one in many_readers(contents="given").help)


@pytest.mark.parametrize(
    ("depth", "width", "turns"), [(4096, 80, 2), (512, 640, 16), (481, 680, 0), (8192, 40, 0)]
)
def test_a_word_comes_in_two_to_sixteen_turns(depth: int, width: int, turns: int) -> None:
    here = placement("bulk", 2 * max(1, width // 40), Fraction(1, 100))
    told = [
        one for one in shallow_help(memory(depth, width), here, shallow_depth=1.0) if " a word in " in one
    ]
    expected = f"as {turns * depth:,} x 40, a word in {turns} cycles: 1 block of `bulk`"
    assert told == ([expected] if turns else [])


def test_a_misspelt_clock_of_a_memory_on_one_clock() -> None:
    judged = check_text(store("// @mem in bulk; clocks klk", 8192, 40, PLAIN))
    (found,) = judged.findings
    assert found.rule == "clock-drift"
    assert found.help == ("`klk` may be meant to be `clk`", "the memory runs on `clk`")
    # `one clock` would say it; a list of one name is no clause to offer.
    assert not found.fixes


def test_banks_are_named_only_where_there_are_several() -> None:
    clause = Holds(1_000_000, "so much", span=at(60))
    one = only(HOLDS_TOO_LITTLE.check(view(intent=bound(clause)))).message
    two = only(HOLDS_TOO_LITTLE.check(view(memory(banks=2), intent=bound(clause)))).message
    assert one.startswith("`line` (8,192 x 40) has 327,680 bits")
    assert two.startswith("`line` (8,192 x 40 x 2 banks) has 655,360 bits")


@pytest.mark.parametrize(("ways", "joined"), [(None, ""), (2, ", joined by a 2:1 multiplexer in fabric")])
def test_the_multiplexer_behind_a_cut_chain_is_told_where_it_is_known(ways: int | None, joined: str) -> None:
    here = placement("bulk", 32, chain=32, chains=1, split=2, ways=ways)
    found = only(CHAIN_OVER_COLUMN.check(view(memory(262_144, 40), here=here)))
    assert found.message.endswith(f"each chain is cut in 2{joined}")
