"""Rules on how much there is."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import BULK, DEVICE, OUTSIDE, at, bound, design, memory, only, placement, texts, view

from memlint.device.facts import Device, External
from memlint.mapping.demand import Placement
from memlint.reading.intent.clauses import Budget, Holds, Intent
from memlint.rules.base import Severity
from memlint.rules.capacity.device_over_budget import RULE as DEVICE_OVER_BUDGET
from memlint.rules.capacity.fits_on_chip import RULE as FITS_ON_CHIP
from memlint.rules.capacity.holds_too_little import RULE as HOLDS_TOO_LITTLE
from memlint.rules.capacity.unit_over_budget import RULE as UNIT_OVER_BUDGET
from memlint.rules.totals import below
from memlint.rules.view import MemoryView, MissingUnit, UnitIntent


@pytest.mark.parametrize(("needed", "speaks"), [(327_680, False), (327_681, True)])
def test_holds_too_little_to_the_bit(needed: int, speaks: bool) -> None:
    clause = Holds(needed, "so much", span=at(60))
    assert bool(list(HOLDS_TOO_LITTLE.check(view(intent=bound(clause))))) == speaks


def test_holds_too_little_says_the_depth_it_takes() -> None:
    # 3 lines x 3,840 x 30 bit = 345,600 bits; at 40 bits a word 8,640 words.
    clause = Holds(345_600, "3 lines x 3840 x 30 bit", span=at(60))
    found = only(HOLDS_TOO_LITTLE.check(view(intent=bound(clause))))
    assert found.help[0] == "make it 8,640 words deep at this width"
    assert dict(found.numbers)["missing"] == 17_920
    assert "it must hold 3 lines x 3840 x 30 bit" in texts(found)
    banks = view(memory(8192, 40, banks=2), intent=bound(clause))
    assert not list(HOLDS_TOO_LITTLE.check(banks))
    assert not list(HOLDS_TOO_LITTLE.check(view(memory(None, 40), intent=bound(clause))))


@pytest.mark.parametrize(
    ("share", "speaks"), [(Fraction(1, 10), True), (Fraction(11, 100), False), (None, False)]
)
def test_fits_on_chip(share: Fraction | None, speaks: bool) -> None:
    subject = view(memory(), DEVICE.tier("chip"), others=(placement("bulk", 1, Fraction(1), share=share),))
    found = list(FITS_ON_CHIP.check_design(design(subject)))
    assert bool(found) == speaks
    if found:
        assert found[0].severity == Severity.NOTE
        assert "in bulk: 1 block, 100 % full, 10 % of the device's" in found[0].message


@pytest.mark.parametrize(("taken", "reserved", "speaks"), [(86, 0, True), (86, 1, False), (87, 0, False)])
def test_fits_on_chip_asks_what_the_design_leaves_free(taken: int, reserved: int, speaks: bool) -> None:
    # The device has 96 blocks of bulk; the memory would take 10.
    home = placement("bulk", 10, Fraction(1), share=Fraction(1, 10))
    subject = view(memory(path="sorter.far"), DEVICE.tier("chip"), others=(home,))
    whole = design(subject, taking("sorter.a", taken), reserve={"bulk": Fraction(reserved)})
    found = list(FITS_ON_CHIP.check_design(whole))
    assert bool(found) == speaks
    if found:
        assert found[0].help == ("in bulk: 10 blocks, 100 % full; 10 blocks of it are free",)


def outside(path: str, depth: int | None, device: Device) -> MemoryView:
    chip = device.tier("chip")
    here = None if depth is None else Placement("chip", True, word=32)
    return view(memory(depth, 32, path=path), chip, here=here, device=device)


def test_more_bits_than_the_chip_beside_the_device_holds() -> None:
    chip = replace(OUTSIDE, external=External(capacity_bits=64_000))
    small = Device("tiny", "", (BULK, chip))
    fits = (outside("sorter.a", 1500, small), outside("sorter.b", 500, small))
    assert not list(DEVICE_OVER_BUDGET.check_design(design(*fits, device=small)))
    over = (*fits, outside("sorter.c", 1, small), outside("sorter.d", None, small))
    found = only(DEVICE_OVER_BUDGET.check_design(design(*over, device=small)))
    assert found.message == (
        "`sorter` keeps at least 64,032 bits (about 62.53 Kibit) in `chip`, "
        "which holds 64,000 bits (62.5 Kibit)"
    )
    assert found.help[0].startswith("free 32 bits")
    assert texts(found)[0] == "`line` takes 48,000 bits (about 46.88 Kibit)"


def test_planned_memories_count_and_are_named() -> None:
    planned = taking("sorter.b", 7)
    planned = replace(planned, memory=replace(planned.memory, planned=True, name="training"))
    found = only(DEVICE_OVER_BUDGET.check_design(design(taking("sorter.a", 90), planned)))
    assert found.help[1] == "7 blocks of these are planned, without RTL yet: `training`"


def test_reserving_more_than_there_is_leaves_nothing_and_says_so_only_of_what_is_used() -> None:
    reserve = {"bulk": Fraction(200)}
    assert not list(DEVICE_OVER_BUDGET.check_design(design(reserve=reserve)))
    found = only(DEVICE_OVER_BUDGET.check_design(design(taking("sorter.a", 1), reserve=reserve)))
    assert "has 0 of 96, 200 being reserved" in found.message


def taking(path: str, blocks: Fraction | int | None, uniform: int | None = None) -> MemoryView:
    one = placement("bulk", blocks)
    here = one if uniform is None else replace(one, uniform_blocks=Fraction(uniform))
    return view(memory(path=path), here=here)


def test_device_over_budget_adds_up_exactly() -> None:
    fits = design(taking("sorter.a", Fraction(191, 2)), taking("sorter.b", Fraction(1, 2)))
    assert not list(DEVICE_OVER_BUDGET.check_design(fits))
    over = design(taking("sorter.a", Fraction(191, 2)), taking("sorter.b", 1))
    found = only(DEVICE_OVER_BUDGET.check_design(over))
    assert found.severity == Severity.ERROR
    assert found.message == "`sorter` takes 96.5 blocks of `bulk`, device `tiny` has 96"
    assert texts(found) == ["`line` takes 96.5 blocks in 2 instances"]
    assert found.help[0].startswith("free 0.5 blocks")


def test_only_uniform_over_the_device_is_a_note() -> None:
    found = only(DEVICE_OVER_BUDGET.check_design(design(taking("sorter.a", 96, uniform=97))))
    assert found.severity == Severity.NOTE
    assert "97 blocks of `bulk` with one shape for each memory" in found.message


def test_reserved_blocks_are_no_supply() -> None:
    full = taking("sorter.a", 93)
    assert not list(DEVICE_OVER_BUDGET.check_design(design(full, reserve={"bulk": Fraction(3)})))
    found = only(DEVICE_OVER_BUDGET.check_design(design(full, reserve={"bulk": Fraction(4)})))
    assert found.message.endswith("device `tiny` has 92 of 96, 4 being reserved")


def test_totals_name_what_they_leave_out() -> None:
    missing = MissingUnit("serdes", ("sorter.link.phy",), at(10))
    over = design(taking("sorter.a", 97), taking("sorter.b", None), missing=(missing,))
    found = only(DEVICE_OVER_BUDGET.check_design(over))
    assert "takes at least 97 blocks" in found.message
    assert found.help[-1] == (
        "not counted: 1 memory whose blocks are unknown and unit `serdes`, which has no source here"
    )


def test_the_device_holds_one_root() -> None:
    full = taking("sorter.a", 97)
    assert not list(DEVICE_OVER_BUDGET.check_design(design(full, roots=("sorter", "bench"))))
    assert not list(DEVICE_OVER_BUDGET.check_design(design(full, roots=())))
    unknown = Device("tiny", "", (replace(BULK, blocks=None),))
    assert not list(DEVICE_OVER_BUDGET.check_design(design(full, device=unknown)))


def budgeted(limit: Fraction, path: str = "sorter.camera") -> UnitIntent:
    clause = Budget((("bulk", limit),), tier_spans=(at(70),), span=at(62, 20))
    return UnitIntent(path, "camera_channel", Intent((clause,), span=at(60, 25)))


@pytest.mark.parametrize(("limit", "speaks"), [(Fraction(15, 2), False), (Fraction(7), True)])
def test_unit_over_budget_counts_everything_below(limit: Fraction, speaks: bool) -> None:
    memories = (
        taking("sorter.camera.a", 7),
        taking("sorter.camera.sub.b", Fraction(1, 2)),
        taking("sorter.camera2.c", 9),
    )
    found = list(UNIT_OVER_BUDGET.check_design(design(*memories, unit_intents=(budgeted(limit),))))
    assert bool(found) == speaks
    if found:
        assert found[0].message == (
            "an instance of `camera_channel` takes 7.5 blocks of `bulk`, its budget is 7"
        )
        assert found[0].span == at(70)
        assert found[0].paths == ("sorter.camera",)


def test_only_uniform_over_a_budget_is_a_note() -> None:
    one = design(taking("sorter.camera.a", 7, uniform=8), unit_intents=(budgeted(Fraction(7)),))
    assert only(UNIT_OVER_BUDGET.check_design(one)).severity == Severity.NOTE


def test_below_is_about_whole_names() -> None:
    assert below("sorter.a.b", "sorter.a")
    assert below("sorter.a", "sorter.a")
    assert not below("sorter.ab", "sorter.a")
