"""The tier a memory is assumed to go to, and the choice among tiers that are named."""

from fractions import Fraction

import pytest
from mapping_devices import BLOCK, BULK, FABRIC, SORTER, device, mode, on, tier

from memlint.device.facts import REGISTERS
from memlint.mapping.assume import (
    ASSUMED,
    FABRIC_BITS,
    REGISTER_BITS,
    assumed_tier,
    choose_named,
    lane_cost,
    possible_tiers,
    why_assumed,
)
from memlint.mapping.demand import Demand


def assumed(depth, width, packed=False, on_device=SORTER, **needs):
    return assumed_tier(Demand(depth, width, **needs), packed, on_device, {}).name


@pytest.mark.parametrize(
    ("depth", "width", "needs", "name"),
    [
        (8, 8, {}, "registers"),  # 64 bits
        (13, 5, {}, "fabric"),  # 65 bits
        (1024, 8, {"packed": True}, "registers"),
        (1024, 8, {"latch": True}, "registers"),
        (1024, 8, {"resets_array": True}, "registers"),
        (1, 500, {}, "registers"),  # one word a bank
        (1024, 1, {}, "fabric"),  # 1,024 bits
        (1025, 1, {}, "block"),
        (32, 512, {}, "fabric"),  # 32 deep
        (33, 512, {}, "block"),
        (4096, 64, {"asynchronous": True}, "fabric"),
        (64, 16, {"banks": 2}, "block"),  # 2,048 bits over both banks
        (256, 36, {"writes": 2, "reads": 2}, "registers"),  # no tier has four such ports
        (20, 20, {"writes": 0, "reads": 0, "readwrites": 2}, "block"),  # fabric has no second write
        (65536, 40, {}, "block"),  # never bulk, though it is cheaper there
        # Unknown, and the same either way: 1,024 bits; packed.
        (1024, 1, {"asynchronous": None}, "fabric"),
        (4096, 64, {"asynchronous": None, "packed": True}, "registers"),
        (4096, 64, {"clocks": None}, "block"),  # a block takes any clocks
    ],
)
def test_assumed(depth, width, needs, name):
    assert assumed(depth, width, **needs) == name


def test_what_decides_and_is_unknown_leaves_the_tier_unknown():
    # Read without a clock it would be fabric, on a clock block (the design page, section "Tier").
    unsure = Demand(4096, 64, asynchronous=None)
    assert assumed_tier(unsure, False, SORTER, {}) is None
    assert [one.name for one in possible_tiers(unsure, False, SORTER, {})] == ["fabric", "block"]
    # With one clock the tier takes it, with two only registers are left.
    shared = device(tier("shared", mode("simple_dual", (1024, 8)), clocks="one"))
    assert assumed_tier(Demand(4096, 8, clocks=None), False, shared, {}) is None
    one_port = Demand(4096, 8, writes=0, reads=0, readwrites=1, clocks=None)
    assert assumed_tier(one_port, False, shared, {}).name == "shared"


@pytest.mark.parametrize(
    ("depth", "width", "needs", "said"),
    [
        (8, 8, {}, ["64 bits, at most 64 (assumed_tier.registers_bits) go to registers"]),
        (
            1024,
            1,
            {},
            [
                "1,024 bits, at most 1,024 (assumed_tier.fabric_bits) go to fabric",
                "fabric is the first of role fabric that takes it",
            ],
        ),
        (
            32,
            512,
            {},
            [
                "32 words deep, at most 32 (assumed_tier.fabric_depth) go to fabric",
                "fabric is the first of role fabric that takes it",
            ],
        ),
        (
            33,
            512,
            {},
            [
                "16,896 bits are more than the 1,024 (assumed_tier.fabric_bits) and 33 words more than the "
                "32 (assumed_tier.fabric_depth) that go to fabric",
                "block is the first of role block that takes it",
            ],
        ),
        (1024, 8, {"resets_array": True}, ["a reset clears all 1,024 words"]),
    ],
)
def test_an_assumption_says_what_decided_it(depth, width, needs, said):
    assert why_assumed(Demand(depth, width, **needs), False, SORTER, {}) == said


def test_an_assumption_of_registers_says_what_the_tiers_lack():
    *_, block, end = why_assumed(Demand(256, 36, writes=2, reads=2), False, SORTER, {})
    assert block.startswith("block does not take it: its ports are 2w 2r")
    assert end == "so no tier of role fabric or block is left for it"


def test_tiers_that_refuse_are_passed_over():
    no_contents = tier("empty", mode("simple_dual", (1024, 8)), initial_contents="none")
    bench = device(no_contents, BLOCK)
    assert assumed(2048, 8, on_device=bench, contents="given") == "block"
    assert assumed(2048, 8, on_device=bench) == "empty"
    assert assumed(2048, 8, on_device=device(BULK)) == "registers"


def test_thresholds_are_configuration():
    def with_limits(depth, width, **limits):
        return assumed_tier(Demand(depth, width), False, SORTER, limits).name

    assert with_limits(16, 16, **{REGISTER_BITS: 256}) == "registers"
    assert with_limits(2048, 1, **{FABRIC_BITS: 2048}) == "fabric"
    assert set(ASSUMED.values()) == {64, 1024, 32}  # the design page, section "Tier"


def test_the_first_named_tier_that_takes_it():
    two_clocks = Demand(8192, 40, clocks=2)
    assert choose_named(two_clocks, (BULK, BLOCK), SORTER) is BLOCK
    assert choose_named(Demand(8192, 40), (BULK, BLOCK), SORTER) is BULK
    assert choose_named(Demand(8192, 40, contents="given"), (BULK, FABRIC), SORTER) is FABRIC
    assert choose_named(two_clocks, (), SORTER) is None


def test_if_none_takes_it_the_first():
    assert choose_named(Demand(64, 8, writes=3), (BULK, BLOCK), SORTER) is BULK


def test_lanes_decide_between_named_tiers():
    # Bulk has no enables beside a second port, so four lanes would take four blocks for one.
    laned = Demand(8192, 48, lanes=(12,) * 4)
    enabled = tier("enabled", mode("simple_dual", (512, 48), enables=((48, 12),)))
    assert lane_cost(laned, BULK, SORTER) == 2  # 4 for 2
    assert choose_named(laned, (BULK, enabled), device(BULK, enabled)) is enabled
    assert lane_cost(Demand(8192, 40), BULK, SORTER) == Fraction(0)


def test_registers_may_be_named():
    assert choose_named(Demand(64, 8, writes=3), (BULK, REGISTERS), SORTER) is REGISTERS
    assert on(REGISTERS, 64, 8).blocks == 512
