"""Rules on clocks, ports, read style and reset."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import (
    BLOCK,
    BULK,
    CLK,
    FABRIC,
    PIXEL,
    at,
    bound,
    inside,
    memory,
    only,
    placement,
    read_port,
    refused,
    texts,
    view,
    write_port,
)

from memlint.design.memory import Access, Clock, MemoryPort
from memlint.device.facts import BlockShape, Mode
from memlint.reading.intent.clauses import Clocks, SameAddress
from memlint.rules.base import Severity
from memlint.rules.clock_words import declare_same
from memlint.rules.clocks.asynchronous_read import RULE as ASYNCHRONOUS_READ
from memlint.rules.clocks.reset_clears_array import RULE as RESET_CLEARS_ARRAY
from memlint.rules.clocks.same_address_unsafe import RULE as SAME_ADDRESS_UNSAFE
from memlint.rules.clocks.too_many_ports import RULE as TOO_MANY_PORTS
from memlint.rules.clocks.two_clocks_on_one_clock_tier import RULE as TWO_CLOCKS
from memlint.rules.intent.clock_drift import RULE as CLOCK_DRIFT

TWO = memory(ports=(write_port(PIXEL), read_port(CLK)), clocks=(PIXEL, CLK))
REFUSED = refused("bulk", "clocks", "2 clocks")
IN_BLOCK = placement("block", 15, Fraction(91, 100))


def test_two_clocks_names_both_processes_and_the_tiers_that_take_it() -> None:
    found = only(TWO_CLOCKS.check(view(TWO, here=REFUSED, others=(IN_BLOCK,), intent=bound(inside("bulk")))))
    assert found.severity == Severity.ERROR
    assert found.message == (
        "`line` has 2 clocks, `pixel_clk` and `clk`, but all ports of a `bulk` block share one"
    )
    assert "written on `pixel_clk`, which comes from `sorter.camera.pixel_clk`" in texts(found)
    assert "read on `clk`, which comes from `sorter.clk`" in texts(found)
    assert found.help[0] == "in block: 15 blocks, 91 % full"


def test_two_clocks_is_known_without_a_shape() -> None:
    assert only(TWO_CLOCKS.check(view(replace(TWO, depth=None, unresolved="WORDS is unknown"))))


def test_clocks_that_differ_only_by_gating_are_a_note() -> None:
    gated = Clock("sorter.gate.clk_out", root="sorter.clk")
    subject = memory(ports=(write_port(gated), read_port()), clocks=(gated, CLK))
    found = only(TWO_CLOCKS.check(view(subject, here=REFUSED)))
    assert found.severity == Severity.NOTE
    assert found.help[0] == "make the gate an enable, so that every port runs on `sorter.clk`"
    other_edge = replace(gated, edge="falling")
    subject = replace(subject, clocks=(other_edge, CLK))
    assert only(TWO_CLOCKS.check(view(subject, here=REFUSED))).severity == Severity.ERROR


@pytest.mark.parametrize(
    ("tier", "here"),
    [(BLOCK, IN_BLOCK), (FABRIC, placement("fabric", 600)), (replace(BULK, clocks=None), None)],
)
def test_two_clocks_is_silent_where_ports_have_their_own_or_nothing_is_known(tier, here) -> None:  # type: ignore[no-untyped-def]
    assert not list(TWO_CLOCKS.check(view(TWO, tier, here=here)))


def test_a_mode_may_narrow_the_clocks_of_its_tier() -> None:
    found = only(
        TWO_CLOCKS.check(view(TWO, BLOCK, here=refused("block", "clocks", "true_dual has one clock")))
    )
    assert "a `block` block with 1w 1r share one" in found.message


def test_two_clocks_is_silent_about_a_tier_nobody_chose() -> None:
    assert not list(TWO_CLOCKS.check(view(TWO, tier_from="assumed", here=placement())))
    assert not list(TWO_CLOCKS.check(view(memory(), here=placement())))


READ = Access(
    "read",
    at(300),
    "ra",
    asynchronous=True,
    reason="goes through `+`",
    reason_span=at(310),
)
ASYNCHRONOUS = memory(ports=(write_port(), MemoryPort(False, True, None, (READ,))), read="asynchronous")


def test_asynchronous_read_names_the_access_and_the_logic() -> None:
    found = only(ASYNCHRONOUS_READ.check(view(ASYNCHRONOUS, others=(placement("fabric", 512, Fraction(1)),))))
    assert found.message == (
        "`line` is read without a clock at address `ra`, but `bulk` reads only on one: "
        "the word goes through `+`"
    )
    assert found.span == READ.span
    assert found.related[0].span == READ.reason_span
    assert found.help[-1] == "in fabric: 512 blocks, 100 % full"


def test_asynchronous_read_is_silent_where_it_is_no_fault() -> None:
    assert not list(ASYNCHRONOUS_READ.check(view(ASYNCHRONOUS, FABRIC)))
    assert not list(ASYNCHRONOUS_READ.check(view(memory())))
    assert not list(ASYNCHRONOUS_READ.check(view(replace(ASYNCHRONOUS, read=None))))
    assert not list(ASYNCHRONOUS_READ.check(view(ASYNCHRONOUS, replace(BULK, read=None))))
    assert not list(ASYNCHRONOUS_READ.check(view(ASYNCHRONOUS, None, tier_from=None)))
    assert not list(ASYNCHRONOUS_READ.check(view(ASYNCHRONOUS, tier_from="assumed")))


def test_too_many_ports_says_what_there_are_and_what_the_tier_takes() -> None:
    subject = memory(ports=(write_port(), write_port(address="wb"), write_port(address="wc"), read_port()))
    here = refused("bulk", "ports", "no mode has 3 writes")
    found = only(TOO_MANY_PORTS.check(view(subject, here=here, others=(placement("registers", 40_960),))))
    assert found.message == (
        "`line` has 3w 1r after sharing, but `bulk` takes 2rw or 1w with any number of reads in copies"
    )
    assert found.help[0] == "in registers: 40,960 flip-flops"
    assert sum("a write port" in text for text in texts(found)) == 3
    assert not list(TOO_MANY_PORTS.check(view(subject, here=placement())))


def test_reset_clears_array_outside_registers() -> None:
    subject = memory(1024, 40, reset=at(400))
    found = only(RESET_CLEARS_ARRAY.check(view(subject, BLOCK, here=refused("block", "reset", "a reset"))))
    assert found.message == "a reset clears all 1,024 words of `line`, which `block` cannot do"
    assert found.span == at(400)
    assert found.help[-1] == "or say `in registers`: 40,960 flip-flops"
    registers = view().device.tier("registers")
    assert not list(RESET_CLEARS_ARRAY.check(view(subject, registers, here=placement("registers"))))
    assert not list(RESET_CLEARS_ARRAY.check(view(memory(), BLOCK, here=IN_BLOCK)))


@pytest.mark.parametrize(
    ("style", "asked", "speaks"),
    [
        ("before", None, False),  # bulk's simple_dual promises the word from before
        ("after", None, True),
        ("never", None, False),
        (None, None, False),
        ("before", "after", True),
        ("after", "any", False),
        ("after", "never", False),
        ("never", "after", False),  # the code compares the addresses itself
    ],
)
def test_same_address_unsafe(style: str | None, asked: str | None, speaks: bool) -> None:
    intent = bound(SameAddress(asked, span=at(60))) if asked else None
    subject = view(memory(same_address=style), here=placement(), intent=intent)
    assert bool(list(SAME_ADDRESS_UNSAFE.check(subject))) == speaks


def test_same_address_unsafe_is_silent_where_the_addresses_are_compared() -> None:
    subject = memory(same_address="after", compared=at(70))
    assert not list(SAME_ADDRESS_UNSAFE.check(view(subject, here=placement())))


def test_same_address_unsafe_offers_a_tier_that_promises_it() -> None:
    subject = view(memory(same_address="after"), here=placement(), others=(IN_BLOCK,))
    found = only(SAME_ADDRESS_UNSAFE.check(subject))
    assert found.message.endswith(
        "the code gives the word being written, but `bulk` gives the word from before the write"
    )
    assert "in block: 15 blocks, 91 % full" in found.help


def test_same_address_in_a_mode_that_promises_nothing() -> None:
    subject = view(memory(same_address="before"), here=placement())
    assert subject.demand is not None
    # Two writes leave true_dual as the only mode.
    subject = replace(subject, demand=replace(subject.demand, writes=2, reads=0))
    assert "gives an undefined word" in only(SAME_ADDRESS_UNSAFE.check(subject)).message


def test_same_address_unsafe_needs_one_known_clock() -> None:
    subject = memory(same_address="after")
    assert not list(SAME_ADDRESS_UNSAFE.check(view(replace(subject, clocks=(PIXEL, CLK)), here=placement())))
    assert not list(SAME_ADDRESS_UNSAFE.check(view(replace(subject, clocks_known=False), here=placement())))
    silent = replace(BULK, modes=tuple(replace(mode, same_address=()) for mode in BULK.modes))
    assert not list(SAME_ADDRESS_UNSAFE.check(view(subject, silent, here=placement())))


@pytest.mark.parametrize(
    ("name", "takes"),
    [
        ("single", "1rw"),
        ("rom", "reads alone"),
        ("simple_dual", "1w with any number of reads in copies"),
        ("true_dual", "2rw or 1w with any number of reads in copies"),
    ],
)
def test_too_many_ports_says_what_the_modes_take(name: str, takes: str) -> None:
    tier = replace(BULK, modes=(Mode(name, (BlockShape(8192, 40),)),))
    found = only(TOO_MANY_PORTS.check(view(tier=tier, here=refused("bulk", "ports", "too many"))))
    assert found.message == f"`line` has 1w 1r after sharing, but `bulk` takes {takes}"


def test_two_edges_of_one_net_cannot_be_declared_the_same() -> None:
    falling = Clock("sorter.clk", "falling")
    assert declare_same([CLK, falling]) == []
    (said,) = declare_same([CLK, falling, PIXEL])
    assert '`same = [["sorter.clk", "sorter.camera.pixel_clk"]]`' in said


def test_clocks_are_counted_against_one_stated_clock() -> None:
    stated = bound(Clocks((), one=True, span=at(60)))
    found = only(CLOCK_DRIFT.check(view(TWO, intent=stated)))
    assert dict(found.numbers) == {"clocks": 2, "stated_clocks": 1}
