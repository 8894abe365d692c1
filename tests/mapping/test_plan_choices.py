"""The ways a plan may keep one memory. Cycles and pieces are worked out by hand from the profile's facts."""

from fractions import Fraction

from mapping_devices import BULK, FABRIC, SORTER, device, mode, tier
from plan_problems import choice, problem

from memlint.device.facts import External, Tier
from memlint.mapping.columns import Arrangement
from memlint.mapping.demand import Demand
from memlint.mapping.plan import Conflict, Cost, Limit, Plan, Problem, is_within
from memlint.mapping.plan_choices import Refusal, ways_among, ways_on, ways_regardless
from memlint.mapping.plan_solve import solve

NINE = Demand(9 * 8192, 40)
"""Nine blocks of bulk, one above the other."""


def test_chains_are_cut_ever_shorter():
    # Block 1 cycle, a chain register after every fourth block, a multiplexer register from 5:1 on.
    ways, refusal = ways_on(NINE, BULK, SORTER)
    assert refusal is None
    assert [(way.choice.chains, way.choice.cuts, way.choice.latency) for way in ways] == [
        ((9,), 0, 3),
        ((5, 4), 1, 2),
        ((3, 3, 3), 2, 1),
        ((2, 2, 2, 2), 4, 2),
        ((), 8, 2),
    ]
    assert {way.choice.blocks for way in ways} == {9}
    assert {way.choice.share for way in ways} == {Fraction(9, 96)}


def test_ways_that_take_too_many_cycles_are_left_out():
    ways, refusal = ways_on(NINE, BULK, SORTER, within=2)
    assert [way.choice.chains for way in ways] == [(5, 4), (3, 3, 3), (2, 2, 2, 2), ()]
    assert refusal is None
    assert ways_on(NINE, BULK, SORTER, within=0) == (
        (),
        Refusal("bulk", "a read takes 1 cycle at least, its intent allows 0"),
    )


def test_a_tier_that_does_not_take_it_says_why():
    tiny = Demand(32, 12, asynchronous=True)
    ways, refused = ways_among(tiny, (BULK, FABRIC), SORTER)
    assert [way.choice.tier for way in ways] == ["fabric"]
    assert refused == (Refusal("bulk", "it is read without a clock; bulk reads on a clock edge only"),)
    # As if its reads were mended: one block of bulk.
    assert [way.choice.blocks for way in ways_regardless(tiny, BULK, SORTER)] == [1]


def test_a_tier_without_shapes_is_refused_with_the_reason():
    bare = tier("bare", mode("simple_dual"))
    ways, refusal = ways_on(Demand(64, 8), bare, device(bare))
    assert ways == ()
    assert refusal is not None
    assert "no block shapes" in refusal.text
    assert ways_regardless(Demand(64, 8), bare, device(bare)) == ()


def test_off_the_chip_a_memory_takes_bits():
    chip = Tier("chip", "external", external=External(capacity_bits=1 << 20))
    (way,), _ = ways_on(Demand(8192, 40), chip, device(chip), within=1)
    assert (way.choice.blocks, way.choice.share) == (327_680, Fraction(327_680, 1 << 20))
    assert (way.choice.latency, way.choice.last_resort) == (None, False)
    # 64 bits take 7 SECDED check bits and one for all of them: 72, as is common practice.
    coded = ways_regardless(Demand(1024, 64, banks=2, ecc="added"), chip, device(chip))
    assert coded[0].choice.blocks == 2 * 1024 * 72


def test_what_has_no_known_supply_is_a_last_resort():
    chip = Tier("chip", "external")
    (way,) = ways_regardless(Demand(8192, 40), chip, device(chip))
    assert (way.choice.share, way.choice.last_resort) == (0, True)


def test_the_gap_is_a_part_of_the_plans_own_share():
    half = Cost(Fraction(1, 2), 0, 0, Fraction(0))
    assert Plan((0,), half, Fraction(2, 5), False, {}).gap == Fraction(1, 5)
    assert Plan((0,), half, Fraction(2, 5), True, {}).gap == 0
    free = Cost(Fraction(0), 0, 0, Fraction(0))
    assert Plan((0,), free, Fraction(0), False, {}).gap == 0


def test_limits_are_kept_to_the_last_block():
    put: Problem = problem([choice("bulk", 10)], [choice("block", 8)])
    assert is_within(put, (0, 0))
    over = problem([choice("bulk", 10)], [choice("bulk", Fraction(1, 2))])
    assert not is_within(over, (0, 0))
    budget = Limit("budget", "block", Fraction(7), frozenset({0}))
    assert is_within(problem([choice("bulk", 1)], [choice("block", 8)], limits=[budget]), (0, 0))
    assert not is_within(problem([choice("block", 8)], limits=[budget]), (0,))


def test_columns_that_nobody_could_settle_prove_nothing(monkeypatch):
    monkeypatch.setattr("memlint.mapping.plan_columns.arrange", lambda *_: Arrangement(None))
    found = solve(problem([choice("bulk", 3, chains=(3,))]))
    assert isinstance(found, Conflict)
    assert not found.proven
