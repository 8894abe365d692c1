"""Plans: against every combination of choices where those are few, against a solver where they are not."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings
from plan_problems import SUPPLY, choice, keeps, least, problem, problems

from memlint.device.facts import Column
from memlint.mapping.plan import Conflict, Item, Limit, Plan, Problem, cost_of, is_within
from memlint.mapping.plan_bound import best_bound, bound
from memlint.mapping.plan_columns import ColumnQuestions
from memlint.mapping.plan_conflict import without
from memlint.mapping.plan_numbers import Numbers, Option, in_numbers, least_share
from memlint.mapping.plan_repair import from_prices, improved, within_limits
from memlint.mapping.plan_search import search
from memlint.mapping.plan_solve import solve


@settings(max_examples=250)
@given(problems())
def test_a_small_device_is_planned_as_well_as_can_be_or_its_conflict_named(put):
    best, found = least(put), solve(put)
    if best is None:
        assert isinstance(found, Conflict)
        assert found.proven
        # The named memories alone cannot be kept either.
        assert least(without(put, frozenset(range(len(put.items))) - frozenset(found.items))) is None
        return
    assert isinstance(found, Plan)
    assert keeps(put, found.chosen)
    assert (found.cost.share, found.cost.cuts, found.cost.latency, found.cost.power) == best
    assert found.optimal
    assert found.gap == 0


def options_at(numbers: Numbers, item: int, index: int) -> Option:
    return next(one for one in numbers.options[item] if one.index == index)


@settings(max_examples=150)
@given(problems())
def test_no_prices_give_a_bound_above_the_best_plan(put):
    best = least(put)
    if best is None:
        return
    numbers = in_numbers(put)
    known = best_bound(numbers, None)
    plan = solve(put)
    assert known.cost <= numbers.cost(
        [options_at(numbers, at, index) for at, index in enumerate(plan.chosen)]
    )
    assert least_share(known.cost, numbers) <= best[0]
    # Nothing is free for a bound that only asks whether there is a plan.
    assert best_bound(numbers, None, free=True).cost <= 0


@settings(max_examples=150)
@given(problems())
def test_the_search_alone_finds_the_best_plan(put):
    best, numbers = least(put), in_numbers(put)
    # From no prices at all, so that nothing but the search can find it.
    unpriced = bound(numbers, [0] * len(numbers.caps))
    found = search(numbers, unpriced, None, ColumnQuestions(put.columns))
    assert found.complete
    if best is None:
        assert found.picked is None
        return
    assert found.picked is not None
    cost = cost_of(put, tuple(one.index for one in found.picked))
    assert (cost.share, cost.cuts, cost.latency, cost.power) == best
    # Nothing is better than the best: told its cost, the search finds no other.
    again = search(numbers, unpriced, numbers.cost(found.picked), ColumnQuestions(put.columns))
    assert again.picked is None and again.complete


@settings(max_examples=100)
@given(problems())
def test_the_repaired_plan_is_one_and_improving_never_makes_it_dearer(put):
    numbers = in_numbers(put)
    if not all(numbers.options):
        return
    prices = [0] * len(numbers.caps)
    kept = within_limits(numbers, from_prices(numbers, prices), prices)
    if kept is None:
        return
    better = improved(numbers, kept)
    assert numbers.cost(better) <= numbers.cost(kept)
    for picked in (kept, better):
        assert is_within(put, tuple(one.index for one in picked))


def chosen_tiers(put: Problem, found: Plan) -> list[str]:
    return [item.choices[at].tier for item, at in zip(put.items, found.chosen, strict=True)]


def test_the_least_share_wins_then_cuts_then_cycles_then_power():
    # A tenth of bulk or an eighth of block each.
    put = problem([choice("bulk", 1), choice("block", 1)])
    assert chosen_tiers(put, solve(put)) == ["bulk"]
    same = problem([choice("bulk", 5, latency=3, chains=(5,)), choice("bulk", 5, cuts=1, latency=1)])
    assert solve(same).chosen == (0,)
    cycles = problem([choice("block", 4, latency=2), choice("bulk", 5, latency=1)])
    assert chosen_tiers(cycles, solve(cycles)) == ["bulk"]
    power = problem([choice("block", 4, power=Fraction(9)), choice("bulk", 5, power=Fraction(8))])
    assert chosen_tiers(power, solve(power)) == ["bulk"]
    unknown = problem([choice("fabric", 1, 10**6, last_resort=True), choice("bulk", 9)])
    assert chosen_tiers(unknown, solve(unknown)) == ["bulk"]


def test_a_chain_is_cut_only_so_that_the_device_fits():
    both = [choice("bulk", 4, latency=1, chains=(4,)), choice("bulk", 4, cuts=1, latency=2, chains=(2, 2))]
    alone = solve(problem(both, both))
    assert alone.cost.cuts == 0
    # Columns of 4, 2, 2 and 2: one chain of four stands, the other is cut in two.
    third = [choice("bulk", 2, chains=(2,))]
    tight = solve(problem(both, both, third, columns=(4, 2, 2, 2)))
    assert tight.cost.cuts == 1
    assert tight.columns["bulk"] == ((4,), (2,), (2,), (2,))
    assert tight.optimal


def test_what_cannot_be_kept_is_named_with_the_numbers():
    bulk_only = [choice("bulk", 4)]
    found = solve(problem(bulk_only, [choice("block", 1)], bulk_only, bulk_only))
    assert found == Conflict((0, 2, 3), (0,), Fraction(12), Fraction(10))
    # 6 each of 8 of block, or 9 of 10 of bulk: any two can be kept, three cannot.
    either = [choice("bulk", 9), choice("block", 6)]
    together = solve(problem(either, either, either))
    assert isinstance(together, Conflict)
    assert together.items == (0, 1, 2)
    assert together.proven
    nowhere = solve(problem([choice("bulk", 1)], []))
    assert nowhere == Conflict((1,))


def test_a_budget_is_a_limit_for_its_members_only():
    item = [choice("bulk", 3), choice("block", 6)]
    put = problem(item, item, limits=[Limit("budget of camera", "bulk", Fraction(2), frozenset({0}))])
    assert chosen_tiers(put, solve(put)) == ["block", "bulk"]
    short = problem([choice("bulk", 3)], limits=[Limit("budget", "bulk", Fraction(2), frozenset({0}))])
    assert solve(short) == Conflict((0,), (3,), Fraction(3), Fraction(2))


def test_chains_that_no_cut_helps_are_a_conflict_of_columns():
    stiff = [choice("bulk", 3, chains=(3,))]
    found = solve(problem(stiff, stiff, stiff, [choice("fabric", 1)]))
    assert found == Conflict((0, 1, 2), (0,), tiers=("bulk",))


def test_giving_up_proves_nothing():
    items = [[choice("bulk", 2), choice("block", 2)] for _ in range(6)]
    numbers = in_numbers(problem(*items))
    found = search(numbers, best_bound(numbers, None), None, ColumnQuestions({}), most_steps=2)
    assert found.picked is None
    assert not found.complete


def medium(seed: int) -> Problem:
    """70 memories on a device that can hold about them."""
    draw = Random(seed)
    items = []
    for at in range(70):
        big = draw.randint(1, 6)
        choices = [choice("bulk", big, 120, chains=(big,) if big > 1 else ())]
        if big > 2:
            pieces = tuple(one for one in ((big + 1) // 2, big // 2) if one > 1)
            choices.append(choice("bulk", big, 120, cuts=1, chains=pieces))
        choices.append(choice("block", Fraction(draw.randint(2, 20), 2), 250))
        if draw.random() < 0.3:
            choices.append(choice("fabric", draw.randint(1, 30), 400))
        items.append(Item(f"m{at}", tuple(choices[draw.randint(0, 1) if draw.random() < 0.2 else 0 :])))
    limits = (
        Limit("bulk", "bulk", Fraction(120)),
        Limit("block", "block", Fraction(250)),
        Limit("fabric", "fabric", Fraction(400)),
        Limit("unit", "bulk", Fraction(30), frozenset(range(20))),
    )
    return Problem(tuple(items), limits, {"bulk": (Column(12, 10),)})


def least_share_of_a_solver(put: Problem) -> Fraction:
    """The least share by integer programming: a variable a choice, a variable a chain piece and column."""
    highspy = pytest.importorskip("highspy", reason="highspy is not installed: pip install '.[test]'")
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("mip_rel_gap", 0.0)
    taken = {(i, c): highs.addBinary() for i, item in enumerate(put.items) for c in range(len(item.choices))}
    for i, item in enumerate(put.items):
        highs.addConstr(sum(taken[i, c] for c in range(len(item.choices))) == 1)
    for limit in put.limits:
        loads = [
            float(put.items[i].choices[c].blocks) * use
            for (i, c), use in taken.items()
            if put.items[i].choices[c].tier == limit.tier and limit.holds(i)
        ]
        highs.addConstr(sum(loads) <= float(limit.blocks))
    for tier, columns in put.columns.items():
        heights = [column.blocks for column in columns for _ in range(column.count)]
        held = [0 for _ in heights]
        for (i, c), use in taken.items():
            one = put.items[i].choices[c]
            for length in one.chains if one.tier == tier else ():
                here = [highs.addBinary() for _ in heights]
                highs.addConstr(sum(here) == use)
                held = [load + length * x for load, x in zip(held, here, strict=True)]
        for load, height in zip(held, heights, strict=True):
            highs.addConstr(load <= height)
    shares = [float(put.items[i].choices[c].share) * use for (i, c), use in taken.items()]
    highs.setOptionValue("mip_feasibility_tolerance", 1e-9)
    assert highs.minimize(sum(shares)) == highspy.HighsStatus.kOk
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return Fraction(highs.getObjectiveValue())


@pytest.mark.parametrize("seed", range(4))
def test_a_medium_device_against_an_integer_programme(seed):
    put = medium(seed)
    found = solve(put)
    assert isinstance(found, Plan)
    assert is_within(put, found.chosen)
    assert cost_of(put, found.chosen) == found.cost
    best = least_share_of_a_solver(put)
    tolerance = Fraction(1, 10**7)
    assert found.least_share <= best + tolerance
    assert best <= found.cost.share + tolerance
    assert found.cost.share - best <= found.gap * found.cost.share + tolerance
    assert found.gap <= Fraction(1, 100)
    if found.optimal:
        assert abs(found.cost.share - best) <= tolerance


def test_supplies_are_those_of_the_tests():
    assert SUPPLY == {"bulk": 10, "block": 8, "fabric": 30}
