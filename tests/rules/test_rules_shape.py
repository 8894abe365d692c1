"""Rules on how a shape suits its blocks, at either side of each threshold."""

from dataclasses import replace
from fractions import Fraction

import pytest
from factory import BLOCK, FABRIC, bound, inside, memory, only, placement, refused, texts, view

from memlint.device.facts import REGISTERS, BlockShape, Mode
from memlint.rules.base import Severity
from memlint.rules.shape.another_tier_is_cheaper import RULE as ANOTHER_TIER
from memlint.rules.shape.just_over_boundary import RULE as JUST_OVER_BOUNDARY
from memlint.rules.shape.large_on_fabric import RULE as LARGE_ON_FABRIC
from memlint.rules.shape.shallow_wide import RULE as SHALLOW_WIDE
from memlint.rules.shape.tiny_on_large_blocks import RULE as TINY
from memlint.rules.view import MemoryView


def filled(
    depth: int, width: int, blocks: int, banks: int = 1, copies: int = 1, **more: object
) -> MemoryView:
    """In bulk: fill is bits used over bits taken, as the design of record defines it."""
    fill = Fraction(depth * width * banks * copies, blocks * 327_680)
    here = placement("bulk", blocks, fill, copies=copies)
    return view(memory(depth, width, banks=banks), here=here, **more)  # type: ignore[arg-type]


def test_shallow_wide_says_blocks_fill_and_cheaper_homes() -> None:
    block = placement("block", 12, Fraction(1, 4))
    found = only(SHALLOW_WIDE.check(filled(128, 480, 12, others=(block,), intent=bound(inside("bulk")))))
    assert found.message == (
        "`line` (128 x 480) takes 12 blocks of `bulk` and fills 2 % of them: "
        "it is 128 words deep, a block at least 8,192"
    )
    assert found.severity == Severity.WARNING
    # 12 turns of 128 words are 1,536 words, which one block of 8,192 x 40 holds.
    assert found.help == (
        "in block: 12 blocks, 25 % full",
        "as 1,536 x 40, a word in 12 cycles: 1 block of `bulk`",
    )
    assert texts(found) == ["the tier is chosen here"]


@pytest.mark.parametrize(
    ("depth", "width", "blocks", "speaks"),
    [
        (2047, 80, 2, True),  # 24.99 % full
        (2048, 80, 2, False),  # 25 % full
        (4096, 41, 2, False),  # half the depth, 25.6 % full
        (4096, 40, 1, False),  # one block holds the word
        (64, 41, 2, True),
    ],
)
def test_shallow_wide_boundaries(depth: int, width: int, blocks: int, speaks: bool) -> None:
    assert bool(list(SHALLOW_WIDE.check(filled(depth, width, blocks)))) == speaks


def test_shallow_wide_depth_threshold() -> None:
    lenient = {"shallow_fill": 0.9}
    assert list(SHALLOW_WIDE.check(filled(4096, 80, 2, thresholds=lenient)))
    assert not list(SHALLOW_WIDE.check(filled(4097, 80, 2, thresholds=lenient)))


def test_shallow_wide_is_about_a_bank_and_a_copy() -> None:
    assert not list(SHALLOW_WIDE.check(filled(64, 40, 8, banks=4, copies=2)))
    assert list(SHALLOW_WIDE.check(filled(64, 80, 16, banks=4, copies=2)))


def test_shape_rules_are_silent_beside_an_obstacle_an_assumption_or_an_unknown() -> None:
    subject = memory(64, 480)
    low = Fraction(1, 100)
    for rule in (SHALLOW_WIDE, TINY):
        for here in (
            refused("bulk", "clocks", "2 clocks", blocks=12, fill=low),
            placement("bulk", None, low),
            placement("bulk", 12, None),
            placement("bulk", 12, low, copies=None),
        ):
            assert not list(rule.check(view(subject, here=here)))
        assert not list(rule.check(view(subject, here=placement("bulk", 12, low), tier_from="assumed")))
    assert not list(SHALLOW_WIDE.check(view(subject, here=placement("bulk", 12, low, mode=None))))
    assert not list(SHALLOW_WIDE.check(view(subject, FABRIC, here=placement("fabric", 12, low))))


SMALLER = placement("block", 1, Fraction(1), share=Fraction(1, 200))


@pytest.mark.parametrize(
    ("depth", "speaks"),
    [(819, True), (820, False)],  # a tenth of 8,192 words is 819.2
)
def test_tiny_on_large_blocks_below_a_tenth(depth: int, speaks: bool) -> None:
    assert bool(list(TINY.check(filled(depth, 40, 1, others=(SMALLER,))))) == speaks


def test_tiny_on_large_blocks_needs_a_tier_of_smaller_blocks_that_takes_it() -> None:
    found = only(TINY.check(filled(512, 40, 1, others=(SMALLER,))))
    assert found.message == "`line` (512 x 40) takes 1 block of `bulk` and fills 6 %"
    assert found.help == ("in block: 1 block, 100 % full",)
    assert not list(TINY.check(filled(512, 40, 1)))
    assert not list(TINY.check(filled(512, 40, 1, others=(placement("fabric", 32),))))
    in_block = placement("block", Fraction(1, 2), Fraction(1, 100))
    other = placement("bulk", 1, Fraction(1, 1000))
    assert not list(TINY.check(view(memory(20, 4), BLOCK, here=in_block, others=(other,))))


def test_shallow_wide_and_tiny_never_speak_together() -> None:
    for depth in (16, 64, 512, 819):
        for width in (1, 40, 41, 80, 400):
            blocks = -(-width // 40)
            one = filled(depth, width, blocks, others=(SMALLER,))
            assert not (SHALLOW_WIDE.applies(one) and TINY.applies(one))


@pytest.mark.parametrize(
    ("depth", "width", "speaks"), [(1024, 8, True), (1023, 8, False), (64, 512, False), (65, 512, True)]
)
def test_large_on_fabric_boundaries(depth: int, width: int, speaks: bool) -> None:
    subject = view(memory(depth, width), FABRIC, here=placement("fabric", 13), others=(SMALLER,))
    assert bool(list(LARGE_ON_FABRIC.check(subject))) == speaks


def test_large_on_fabric_offers_blocks() -> None:
    subject = view(
        memory(2048, 40), FABRIC, here=placement("fabric", 128), others=(placement("block", 4, Fraction(1)),)
    )
    found = only(LARGE_ON_FABRIC.check(subject))
    assert found.message == "`line` (2,048 x 40, 81,920 bits (80 Kibit)) is in fabric, 128 blocks of it"
    assert found.severity == Severity.WARNING
    assert found.help == ("in block: 4 blocks, 100 % full",)
    assert not list(LARGE_ON_FABRIC.check(view(memory(2048, 40), FABRIC, here=placement("fabric", 128))))


def test_large_on_fabric_where_nothing_else_takes_it_says_why() -> None:
    three = "3 writes, and no mode has more than 2"
    subject = view(
        memory(2048, 40),
        REGISTERS,
        tier_from="assumed",
        here=placement("registers", 81_920),
        others=(refused("block", "ports", three), refused("bulk", "ports", three)),
    )
    found = only(LARGE_ON_FABRIC.check(subject))
    assert found.severity == Severity.NOTE
    assert found.message.endswith("is 81,920 flip-flops")
    assert found.help[0] == f"`block` does not take it: {three}"
    taken = view(
        memory(2048, 40), FABRIC, tier_from="assumed", here=placement("fabric", 128), others=(SMALLER,)
    )
    assert not list(LARGE_ON_FABRIC.check(taken))


def shared(own: Fraction, other: Fraction | None, **more: object) -> MemoryView:
    here = placement("block", 16, Fraction(1), share=own)
    return view(memory(), BLOCK, here=here, others=(placement("bulk", 1, Fraction(1), share=other),), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("own", "other", "speaks"),
    [
        (Fraction(8, 100), Fraction(1, 96), True),
        (Fraction(4, 100), Fraction(2, 100), True),
        (Fraction(4, 100), Fraction(201, 10_000), False),
        (Fraction(2, 100), Fraction(1, 1000), True),
        (Fraction(199, 10_000), Fraction(1, 1000), False),
        (Fraction(8, 100), None, False),
    ],
)
def test_another_tier_is_cheaper_boundaries(own: Fraction, other: Fraction | None, speaks: bool) -> None:
    assert bool(list(ANOTHER_TIER.check(shared(own, other)))) == speaks


def test_another_tier_is_cheaper_is_a_note_with_both_shares() -> None:
    found = only(ANOTHER_TIER.check(shared(Fraction(8, 100), Fraction(1, 96))))
    assert found.severity == Severity.NOTE
    assert found.message == (
        "`line` (8,192 x 40) takes 16 blocks of `block`, 8 % of the device's; "
        "in bulk: 1 block, 100 % full, 1 % of the device's"
    )


def test_another_tier_is_cheaper_leaves_shape_waste_to_the_rule_that_names_it() -> None:
    low = Fraction(1, 100)
    here = placement("bulk", 12, low, share=Fraction(12, 96))
    others = (placement("block", 4, low, share=Fraction(4, 200)),)
    subject = view(memory(64, 480), here=here, others=others)
    assert SHALLOW_WIDE.applies(subject)
    assert not list(ANOTHER_TIER.check(subject))
    fabric = (placement("fabric", 1, low, share=Fraction(1, 1000)),)
    assert not list(ANOTHER_TIER.check(view(memory(), here=here, others=fabric)))


def reckoned(depth: int, width: int, **more: object) -> MemoryView:
    """In bulk, with one shape of 8,192 x 40: rows times columns."""
    blocks = -(-depth // 8192) * -(-width // 40)
    return filled(depth, width, blocks, **more)  # type: ignore[arg-type]


def test_one_word_less_takes_half() -> None:
    found = only(JUST_OVER_BOUNDARY.check(reckoned(8193, 40)))
    assert found.severity == Severity.WARNING
    assert found.message == "`line` (8,193 x 40) takes 2 blocks of `bulk`, but 1 with 1 word less"
    assert found.help[0] == "do without 1 word, or keep the rest in registers: 1 block"
    assert dict(found.numbers)["fewer"] == 1


def test_both_sides_may_be_just_over() -> None:
    found = only(JUST_OVER_BOUNDARY.check(reckoned(8200, 41)))
    assert found.message == (
        "`line` (8,200 x 41) takes 4 blocks of `bulk`, but 2 with 8 words less and 2 with 1 bit less"
    )


@pytest.mark.parametrize(
    ("depth", "width", "speaks"),
    [
        (8192, 40, False),
        (8445, 40, True),  # 253 of 8,445 words over: 2.996 %
        (8446, 40, False),  # 254 of 8,446: 3.007 %
        (8192, 41, True),  # one bit is always looked at
        (8192, 42, False),  # 2 of 42 bits: 4.8 %
        (8192 * 3 + 1, 40, True),  # 4 blocks to 3: a quarter
        (8192 * 4 + 1, 40, False),  # 5 blocks to 4: a fifth
        (1, 1, False),
    ],
)
def test_just_over_boundary_thresholds(depth: int, width: int, speaks: bool) -> None:
    assert bool(list(JUST_OVER_BOUNDARY.check(reckoned(depth, width)))) == speaks


def test_just_over_boundary_wants_a_whole_block() -> None:
    # The block tier of the tests has no half shapes; with them, 513 x 20 is one block and 512 x 20 half.
    halves = Mode("simple_dual", (BlockShape(1024, 20),), half_shapes=(BlockShape(512, 20, Fraction(1, 2)),))
    tier = replace(BLOCK, modes=(halves,))
    here = placement("block", 1, Fraction(1, 2))
    assert not list(JUST_OVER_BOUNDARY.check(view(memory(513, 20), tier, here=here)))
    half = {"boundary_blocks": 0.5}
    assert list(JUST_OVER_BOUNDARY.check(view(memory(513, 20), tier, here=here, thresholds=half)))


def test_just_over_boundary_leaves_shallow_memories_to_shallow_wide() -> None:
    subject = reckoned(64, 41)
    assert SHALLOW_WIDE.applies(subject)
    assert not list(JUST_OVER_BOUNDARY.check(subject))
