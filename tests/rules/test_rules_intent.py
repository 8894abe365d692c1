"""Rules on intents: what they say on known memories, and where they stay silent."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import (
    BLOCK,
    CLK,
    PIXEL,
    at,
    both_port,
    bound,
    design,
    inside,
    memory,
    only,
    read_port,
    texts,
    view,
    write_port,
)

from memlint.design.memory import Clock, Memory, Note, NotMemory
from memlint.reading.intent.clauses import Accept, Budget, Clocks, Intent, Ports, Shape
from memlint.rules.base import Edit, Severity, rule_named
from memlint.rules.intent.acceptance_unused import RULE as ACCEPTANCE_UNUSED
from memlint.rules.intent.attribute_disagrees import RULE as ATTRIBUTE_DISAGREES
from memlint.rules.intent.clock_drift import RULE as CLOCK_DRIFT
from memlint.rules.intent.intent_missing import RULE as INTENT_MISSING
from memlint.rules.intent.intent_unattached import RULE as INTENT_UNATTACHED
from memlint.rules.intent.port_drift import RULE as PORT_DRIFT
from memlint.rules.intent.shape_drift import RULE as SHAPE_DRIFT
from memlint.rules.intent.unknown_tier import RULE as UNKNOWN_TIER
from memlint.rules.view import MemoryView, UnitIntent

STATED = at(60, 14)


def shaped(one: Memory, depth: int, width: int, **more: object) -> MemoryView:
    return view(one, intent=bound(Shape(depth, width, span=STATED)), **more)  # type: ignore[arg-type]


def test_shape_drift_names_both_shapes_and_rewrites_the_clause() -> None:
    subject = memory(65_536, 40, sources=(Note("WORDS is 65536 here", at(7)),))
    found = only(SHAPE_DRIFT.check(shaped(subject, 32_768, 40)))
    assert found.message == "`line` is 65,536 x 40, its intent says 32,768 x 40"
    assert found.severity == Severity.WARNING
    assert found.span == subject.span
    assert texts(found) == ["the shape is stated here", "WORDS is 65536 here"]
    assert dict(found.numbers)["stated_depth"] == 32_768
    fix = found.fixes[0]
    assert fix.safe
    assert fix.edits == (Edit(STATED, "shape 64K x 40"),)


@pytest.mark.parametrize(("depth", "width"), [(8192, 40), (None, 40), (8192, None)])
def test_shape_drift_is_silent_when_equal_or_unknown(depth: int | None, width: int | None) -> None:
    assert not list(SHAPE_DRIFT.check(shaped(memory(depth, width), 8192, 40)))


@pytest.mark.parametrize(("depth", "width"), [(8193, 40), (8191, 40), (8192, 41), (8192, 39)])
def test_shape_drift_speaks_from_one_word_or_bit(depth: int, width: int) -> None:
    assert only(SHAPE_DRIFT.check(shaped(memory(depth, width), 8192, 40)))


def test_shape_drift_does_not_rewrite_a_clause_over_several_shapes() -> None:
    shapes = frozenset({(8192, 40), (4096, 40)})
    found = only(SHAPE_DRIFT.check(shaped(memory(4096, 40), 8192, 40, shapes_under_clause=shapes)))
    assert not found.fixes
    assert "several shapes" in found.help[0]


def test_shape_drift_is_about_a_bank() -> None:
    found = only(SHAPE_DRIFT.check(shaped(memory(512, 8, banks=4), 2048, 8)))
    assert "512 x 8 in each bank" in found.message


def ported(one: Memory, w: int, r: int, rw: int, **more: object) -> MemoryView:
    return view(one, intent=bound(Ports(w, r, rw, span=STATED, **more)))  # type: ignore[arg-type]


def test_port_drift_counts_after_sharing() -> None:
    subject = memory(ports=(write_port(), read_port(), read_port(address="probe")))
    found = only(PORT_DRIFT.check(ported(subject, 1, 1, 0)))
    assert found.message == "`line` has 1w 2r after sharing, its intent says 1w 1r"
    assert "read port at address `probe`" in texts(found)
    assert found.fixes[0].edits == (Edit(STATED, "ports 1w 2r"),)
    assert not found.fixes[0].safe


@pytest.mark.parametrize(
    ("stated", "drifts"),
    [((1, 1, 0), False), ((1, 2, 0), True), ((1, 0, 0), True), ((0, 0, 1), True), ((0, 1, 1), True)],
)
def test_port_drift_more_or_fewer_is_drift(stated: tuple[int, int, int], drifts: bool) -> None:
    assert bool(list(PORT_DRIFT.check(ported(memory(), *stated)))) == drifts


def test_a_rom_has_any_number_of_reads_and_no_write() -> None:
    reads = memory(ports=(read_port(), read_port(address="b")))
    assert not list(PORT_DRIFT.check(ported(reads, 0, 1, 0, rom=True)))
    found = only(PORT_DRIFT.check(ported(memory(), 0, 1, 0, rom=True)))
    assert "its intent says rom" in found.message
    found = only(PORT_DRIFT.check(ported(reads, 1, 2, 0)))
    assert "rom with 2 read ports" in found.message
    assert found.fixes[0].edits[0].text == "ports rom"


def test_a_side_stated_wider_may_take_several_words_at_a_time() -> None:
    four = tuple(write_port(address=f"{{wa, 2'd{i}}}") for i in range(4))
    subject = memory(4096, 8, ports=(*four, read_port()))
    assert not list(PORT_DRIFT.check(ported(subject, 1, 1, 0, write_width=32, read_width=8)))
    three = replace(subject, ports=(*four[:3], read_port()))
    found = only(PORT_DRIFT.check(ported(three, 1, 1, 0, write_width=32, read_width=8)))
    assert "its intent says 1w(32) 1r(8)" in found.message
    assert not found.fixes


def test_port_drift_says_what_could_be_shared_and_waits_for_clocks() -> None:
    subject = memory(notes=(Note("could be 1rw: the read and the write exclude each other"),))
    found = only(PORT_DRIFT.check(ported(subject, 0, 0, 1)))
    assert "could be 1rw: the read and the write exclude each other" in found.help
    assert not list(PORT_DRIFT.check(ported(replace(subject, clocks_known=False), 0, 0, 1)))


def clocked(one: Memory, *names: str, one_clock: bool = False, **nets: Clock | None) -> MemoryView:
    return view(one, intent=bound(Clocks(names, one=one_clock, span=STATED), clocks=nets))


TWO = memory(ports=(write_port(PIXEL), read_port(CLK)), clocks=(PIXEL, CLK))


def test_clock_drift_against_one_clock() -> None:
    found = only(CLOCK_DRIFT.check(clocked(TWO, one_clock=True)))
    assert found.message == "`line` runs on `pixel_clk` and `clk`, its intent says one clock"
    assert "written on `pixel_clk`, which comes from `sorter.camera.pixel_clk`" in texts(found)
    assert not list(CLOCK_DRIFT.check(clocked(memory(), one_clock=True)))
    found = only(CLOCK_DRIFT.check(clocked(memory(clocks=(), ports=()), one_clock=True)))
    assert "runs on no clock" in found.message


def test_clock_drift_compares_nets_and_not_names() -> None:
    assert not list(CLOCK_DRIFT.check(clocked(TWO, "a", "b", a=PIXEL, b=CLK)))
    assert not list(CLOCK_DRIFT.check(clocked(memory(), "a", "b", a=CLK, b=CLK)))
    found = only(CLOCK_DRIFT.check(clocked(TWO, "a", "b", a=CLK, b=CLK)))
    assert dict(found.numbers) == {"clocks": 2, "stated_clocks": 1}
    assert only(CLOCK_DRIFT.check(clocked(memory(), "a", "b", a=CLK, b=PIXEL)))


def test_opposite_edges_are_two_clocks() -> None:
    falling = Clock("sorter.clk", "falling")
    subject = memory(ports=(write_port(), read_port(falling)), clocks=(CLK, falling))
    found = only(CLOCK_DRIFT.check(clocked(subject, one_clock=True)))
    assert "rising `clk` and falling `clk`" in found.message


def test_a_clock_that_is_no_net_is_named_with_its_likely_meaning() -> None:
    found = only(CLOCK_DRIFT.check(clocked(TWO, "pixel_clock", "clk", pixel_clock=None, clk=CLK)))
    assert "names the clock net `pixel_clock`, which `sorter.belt` does not have" in found.message
    assert found.span == STATED
    assert "`pixel_clock` may be meant to be `pixel_clk`" in found.help


def test_clock_drift_is_silent_on_untraced_clocks() -> None:
    assert not list(CLOCK_DRIFT.check(clocked(replace(TWO, clocks_known=False), one_clock=True)))


def test_unknown_tier_lists_the_tiers_nearest_first() -> None:
    intent = bound(inside("block", "bulks"))
    found = only(UNKNOWN_TIER.check_design(design(view(intent=intent))))
    assert found.message == "device `tiny` has no tier `bulks`"
    assert found.severity == Severity.ERROR
    assert found.help[0].startswith("its tiers are `bulk`, ")
    assert "`registers`" in found.help[0]
    assert found.span == at(63, 5)
    assert found.fixes[0].edits == (Edit(at(63, 5), "bulk"),)
    assert not found.fixes[0].safe


def test_unknown_tier_knows_registers_and_offers_no_far_guess() -> None:
    assert not list(UNKNOWN_TIER.check_design(design(view(intent=bound(inside("registers"))))))
    found = only(UNKNOWN_TIER.check_design(design(view(intent=bound(inside("xyz"))))))
    assert not found.fixes


def test_one_clause_over_several_memories_is_one_finding() -> None:
    intent = bound(inside("bulks"))
    views = [view(memory(path=f"sorter.belt[{i}].line"), intent=intent) for i in range(2)]
    found = only(UNKNOWN_TIER.check_design(design(*views)))
    assert found.paths == ("sorter.belt[0].line", "sorter.belt[1].line")


def test_unknown_tier_in_a_budget() -> None:
    budget = Budget((("blocks", Fraction(4)),), tier_spans=(at(70, 6),), span=at(65, 20))
    unit = UnitIntent("sorter.camera", "camera", Intent((budget,), span=at(60, 30)))
    found = only(UNKNOWN_TIER.check_design(design(unit_intents=(unit,))))
    assert found.paths == ("sorter.camera",)
    assert found.fixes[0].title == "write `block`"


def test_an_intent_on_an_array_that_is_no_memory() -> None:
    intent = Intent((inside("bulk"),), span=at(50, 20))
    array = NotMemory(
        "sorter.taps", "sorter", "taps", "verilog", at(80), "only constants index it", intents=(intent,)
    )
    plain = NotMemory("sorter.wires", "sorter", "wires", "verilog", at(95), "it is combinational")
    found = only(INTENT_UNATTACHED.check_design(design(not_memories=(array, plain))))
    assert found.message == "this intent speaks for `taps`, which is no memory: only constants index it"
    assert found.span == intent.span
    assert texts(found) == ["`taps` is declared here"]


ACCEPTED = Accept("shallow-wide", "agreed", rule_span=at(70, 12), span=at(62, 40))


def test_an_acceptance_is_used_as_soon_as_one_memory_needs_it() -> None:
    intent = bound(ACCEPTED)
    views = design(*(view(memory(path=f"sorter.b{i}.line"), intent=intent) for i in range(2)))
    used = {"sorter.b1.line": frozenset({"shallow-wide"})}
    assert not list(ACCEPTANCE_UNUSED.check_acceptances(views, used))
    other = {"sorter.b1.line": frozenset({"shape-drift"})}
    found = only(ACCEPTANCE_UNUSED.check_acceptances(views, other))
    assert found.message == (
        "`shallow-wide` is accepted here, but found nothing on `sorter.b0.line` and `sorter.b1.line`"
    )
    assert found.span == ACCEPTED.span


def test_an_acceptance_of_no_rule_names_the_nearest() -> None:
    wrong = replace(ACCEPTED, rule="shalow-wide")
    found = only(ACCEPTANCE_UNUSED.check_acceptances(design(view(intent=bound(wrong))), {}))
    assert found.message == "there is no rule `shalow-wide` to accept"
    assert found.fixes[0].edits == (Edit(at(70, 12), "shallow-wide"),)
    assert not found.fixes[0].safe


# IEEE Std 1364.1-2002 and 1076.6-2004: ram_block and rom_block ask for memory blocks, logic_block for logic.
@pytest.mark.parametrize(
    ("attribute", "agrees"),
    [("block", True), ("rom", True), ("bulk", True), ("logic", False), ("block ram", False)],
)
def test_attributes_that_agree_with_bulk(attribute: str, agrees: bool) -> None:
    subject = memory(attribute=attribute, attribute_span=at(95))
    found = list(ATTRIBUTE_DISAGREES.check(view(subject, intent=bound(inside("bulk")))))
    assert bool(found) != agrees


def test_attribute_disagrees_says_what_each_asks_for() -> None:
    subject = memory(attribute="logic", attribute_span=at(95))
    found = only(ATTRIBUTE_DISAGREES.check(view(subject, BLOCK, intent=bound(inside("block")))))
    assert found.message == "the attribute of `line` asks for discrete logic, its intent for `block`"
    assert found.span == at(95)
    assert not list(ATTRIBUTE_DISAGREES.check(view(subject, BLOCK, tier_from="attribute")))


def test_intent_missing_offers_the_comment_to_write() -> None:
    assert not INTENT_MISSING.on_by_default
    found = only(INTENT_MISSING.check(view(memory(8192, 40))))
    assert found.help == ("write above it: `// @mem in bulk; shape 8K x 40; ports 1w 1r; one clock`",)
    found = only(INTENT_MISSING.check(view(memory(8192, 40, language="vhdl"))))
    assert "`-- @mem" in found.help[0]
    assert not list(INTENT_MISSING.check(view(intent=bound(inside("bulk")))))


@pytest.mark.parametrize(("depth", "speaks"), [(15, False), (16, True)])
def test_intent_missing_from_256_bits(depth: int, speaks: bool) -> None:
    assert bool(list(INTENT_MISSING.check(view(memory(depth, 16))))) == speaks
    assert not list(INTENT_MISSING.check(view(memory(depth, 16), thresholds={"intent_from_bits": 1000})))


def test_rules_made_while_reading_are_documented() -> None:
    for name in ("intent-syntax", "intent-repeats-clause", "source-not-read"):
        rule = rule_named(name)
        assert rule is not None
        assert not list(rule.check(view()))
        assert not list(rule.check_design(design(view())))


def test_a_port_that_reads_and_writes_is_1rw() -> None:
    assert not list(PORT_DRIFT.check(ported(memory(ports=(both_port(),)), 0, 0, 1)))
