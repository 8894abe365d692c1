"""Rules on contents, FIFO logic, port widths and ECC."""

from dataclasses import replace

import pytest
from factory import BLOCK, BULK, at, bound, memory, only, placement, refused, texts, view

from memlint.device.facts import Tier
from memlint.reading.intent.clauses import Ecc, Fifo, InitialContents, Ports, WriteLanes
from memlint.rules.base import Severity
from memlint.rules.features.ecc_does_not_fit import RULE as ECC_DOES_NOT_FIT
from memlint.rules.features.fifo_not_hardened import RULE as FIFO_NOT_HARDENED
from memlint.rules.features.lane_mismatch import RULE as LANE_MISMATCH
from memlint.rules.features.no_initial_contents import RULE as NO_INITIAL_CONTENTS
from memlint.rules.features.unequal_port_widths import RULE as UNEQUAL_PORT_WIDTHS
from memlint.rules.view import MemoryView


@pytest.mark.parametrize(
    ("contents", "starts", "severity"),
    [
        ("given", "none", Severity.ERROR),
        ("zero", "none", Severity.NOTE),
        ("none", "none", None),
        ("given", "zero", Severity.ERROR),
        ("zero", "zero", None),
        ("given", "any", None),
        ("given", None, None),
    ],
)
def test_no_initial_contents(contents: str, starts: str | None, severity: Severity | None) -> None:
    tier = replace(BULK, initial_contents=starts)
    subject = view(memory(contents=contents, contents_span=at(80)), tier, here=placement())
    found = list(NO_INITIAL_CONTENTS.check(subject))
    assert [one.severity for one in found] == ([severity] if severity else [])


def test_no_initial_contents_from_the_intent_alone() -> None:
    clause = InitialContents(span=at(60))
    found = only(NO_INITIAL_CONTENTS.check(view(here=placement(), intent=bound(clause))))
    assert found.message == "`line` needs given data at power-up, but `bulk` starts undefined"
    assert "initial contents are asked for here" in texts(found)
    assert not list(
        NO_INITIAL_CONTENTS.check(view(memory(contents="given"), tier_from="assumed", here=placement()))
    )


def test_fifo_not_hardened_only_if_another_tier_has_it() -> None:
    intent = bound(Fifo(span=at(60)))
    found = only(
        FIFO_NOT_HARDENED.check(view(here=placement(), others=(placement("block", 16),), intent=intent))
    )
    assert found.severity == Severity.NOTE
    assert found.help == ("hardened FIFO logic in block: 16 blocks",)
    assert not list(
        FIFO_NOT_HARDENED.check(view(here=placement(), others=(placement("fabric", 16),), intent=intent))
    )
    assert not list(FIFO_NOT_HARDENED.check(view(here=placement(), others=(placement("block", 16),))))
    unknown = replace(BULK, hard_fifo=None)
    assert not list(
        FIFO_NOT_HARDENED.check(view(None, unknown, others=(placement("block", 16),), intent=intent))
    )


@pytest.mark.parametrize(
    ("widths", "possible", "speaks"),
    [
        ((40, 10), False, True),
        ((40, 40), False, False),
        ((None, None), False, False),
        ((40, 10), None, False),
    ],
)
def test_unequal_port_widths(
    widths: tuple[int | None, int | None], possible: bool | None, speaks: bool
) -> None:
    clause = Ports(1, 1, 0, write_width=widths[0], read_width=widths[1], span=at(60))
    tier = replace(BULK, unequal_port_widths=possible)
    assert (
        bool(list(UNEQUAL_PORT_WIDTHS.check(view(None, tier, here=placement(), intent=bound(clause)))))
        == speaks
    )


def test_unequal_port_widths_beyond_a_ratio() -> None:
    clause = Ports(1, 1, 0, write_width=128, read_width=1, span=at(60))
    here = refused("block", "widths", "128 : 1 is over the ratio of 16")
    found = only(UNEQUAL_PORT_WIDTHS.check(view(memory(64, 128), BLOCK, here=here, intent=bound(clause))))
    assert found.message == "`line` is written 128 and read 1 bit wide: 128 : 1 is over the ratio of 16"


def test_ecc_does_not_fit_names_the_mode_that_would() -> None:
    intent = bound(Ecc(False, span=at(60)))
    soft = placement(mode="true_dual", check_bits=7)
    found = only(ECC_DOES_NOT_FIT.check(view(memory(8192, 33), here=soft, intent=intent)))
    assert found.message == (
        "hardened ECC of `bulk` does not cover `line` in mode true_dual; it is soft here, 7 check bits a word"
    )
    assert found.help[0] == (
        "hardened ECC of `bulk` works in mode simple_dual as 8,192 x 40: "
        "33 data and 7 check bits, words written whole"
    )
    assert not list(ECC_DOES_NOT_FIT.check(view(here=placement(hard_ecc=True), intent=intent)))
    assert not list(ECC_DOES_NOT_FIT.check(view(None, BLOCK, here=placement("block"), intent=intent)))
    assert not list(ECC_DOES_NOT_FIT.check(view(here=soft)))
    assert not list(ECC_DOES_NOT_FIT.check(view(here=refused("bulk", "clocks", "2 clocks"), intent=intent)))


def test_ecc_does_not_fit_passes_an_obstacle_on() -> None:
    here = refused("bulk", "ecc", "the word has 39 bits, a code word 40")
    found = only(ECC_DOES_NOT_FIT.check(view(here=here, intent=bound(Ecc(True, span=at(60))))))
    assert found.message.endswith("the word has 39 bits, a code word 40")


def laned(here: int, lanes: tuple[int, ...], tier: Tier = BULK) -> MemoryView:
    """8,192 x 40 with write lanes, in bulk: one shape of 8,192 x 40, so without lanes it is one block."""
    subject = view(None, tier, here=placement("bulk", here), intent=bound(WriteLanes(lanes, 10, span=at(60))))
    assert subject.demand is not None
    return replace(subject, demand=replace(subject.demand, lanes=lanes))


def test_lane_mismatch_says_the_extra_blocks() -> None:
    found = only(LANE_MISMATCH.check(laned(4, (10, 10, 10, 10))))
    assert found.severity == Severity.WARNING
    assert found.message == (
        "the write lanes of `line` (4 lanes of 10 bits) cost 3 blocks of `bulk`: 4 instead of 1"
    )
    assert "`bulk` in mode single: no write enables" in found.help
    uneven = only(LANE_MISMATCH.check(laned(3, (1, 20, 19))))
    assert "(1 + 20 + 19 bits)" in uneven.message


def test_lane_mismatch_is_silent_when_lanes_cost_nothing() -> None:
    assert not list(LANE_MISMATCH.check(laned(1, (10, 10, 10, 10))))
    assert not list(LANE_MISMATCH.check(laned(4, ())))


def test_write_enables_are_listed_by_mode() -> None:
    modes = (replace(BULK.modes[0], enables=((40, 10), (20, 10))), *BULK.modes[1:])
    found = only(LANE_MISMATCH.check(laned(4, (10, 10, 10, 10), replace(BULK, modes=modes))))
    assert "`bulk` in mode single: an enable for each 10 of 40 bits and each 10 of 20 bits" in found.help
