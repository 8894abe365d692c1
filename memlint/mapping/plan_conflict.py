"""Why memories cannot be kept: the fewest of them, and the limits that stand in the way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from memlint.mapping.plan import Conflict, Problem
from memlint.mapping.plan_bound import Bound, at_prices, best_bound, bound
from memlint.mapping.plan_columns import ColumnQuestions
from memlint.mapping.plan_numbers import Numbers, Option, in_numbers
from memlint.mapping.plan_search import search

MOST_LEFT_OUT = 60
"""Memories up to which each is left out in turn to see whether the others can be kept."""

STEPS = 20_000


def conflict_of(problem: Problem, numbers: Numbers, complete: bool) -> Conflict | None:
    """The conflict of a problem without a plan; None when that is not proven. `complete`: a search through
    everything found none."""
    for row in range(len(numbers.caps)):
        found = _of_one_limit(problem, numbers, row)
        if found is not None:
            return found
    together = _of_limits_together(numbers)
    if together is not None:
        return together
    if not complete:
        return None
    items = _irreducible(problem)
    tiers = {choice.tier for at in items for choice in problem.items[at].choices}
    rows = tuple(row for row, limit in enumerate(problem.limits) if limit.tier in tiers)
    return Conflict(items, rows, tiers=tuple(tier for tier in problem.columns if tier in tiers))


def _of_one_limit(problem: Problem, numbers: Numbers, row: int) -> Conflict | None:
    """Memories that must take of a limit, whatever they choose, more than there is."""
    needs = [min(dict(one.loads).get(row, 0) for one in options) for options in numbers.options]
    if sum(needs) <= numbers.caps[row]:
        return None
    items = _fewest(needs, numbers.caps[row])
    limit = problem.limits[row]
    needed = sum((min(choice.blocks for choice in problem.items[at].choices) for at in items), Fraction(0))
    return Conflict(items, (row,), needed, limit.blocks)


def _of_limits_together(numbers: Numbers) -> Conflict | None:
    """Memories that overdraw several limits together, however they are shared out; shown by prices at
    which even their cheapest choices take more than all the limits are worth."""
    known: Bound = best_bound(numbers, None, free=True)
    if known.cost <= 0:
        return None
    worth = sum(price * cap for price, cap in zip(known.prices, numbers.caps, strict=True))
    needs = [min(at_prices(one, known.prices) - one.cost for one in options) for options in numbers.options]
    return Conflict(_fewest(needs, worth), tuple(row for row, price in enumerate(known.prices) if price))


def _fewest(needs: Sequence[int], there: int) -> tuple[int, ...]:
    """The fewest items that need more than there is: those that need most."""
    taken, items = 0, []
    for at in sorted(range(len(needs)), key=lambda one: (-needs[one], one)):
        items.append(at)
        taken += needs[at]
        if taken > there:
            break
    return tuple(sorted(items))


def _irreducible(problem: Problem) -> tuple[int, ...]:
    """Items that cannot be kept together, none of which can be left out of the conflict."""
    left_out: set[int] = set()
    if len(problem.items) > MOST_LEFT_OUT:
        return tuple(range(len(problem.items)))
    for at in range(len(problem.items)):
        if _has_no_plan(without(problem, frozenset({*left_out, at}))):
            left_out.add(at)
    return tuple(at for at in range(len(problem.items)) if at not in left_out)


def _has_no_plan(problem: Problem) -> bool:
    numbers, questions = in_numbers(problem), ColumnQuestions(problem.columns)
    free = Numbers(
        tuple(tuple(_costless(one) for one in options) for options in numbers.options),
        numbers.caps,
        numbers.kinds,
        1,
        1,
    )
    searched = search(free, bound(free, [0] * len(free.caps)), None, questions, STEPS)
    return searched.picked is None and searched.complete


def _costless(option: Option) -> Option:
    return replace(option, cost=0)


def without(problem: Problem, left_out: frozenset[int]) -> Problem:
    """The problem without some of its items."""
    kept = [at for at in range(len(problem.items)) if at not in left_out]
    new = {at: index for index, at in enumerate(kept)}
    limits = tuple(
        replace(limit, members=None if limit.members is None else frozenset(
            new[at] for at in limit.members if at in new
        ))
        for limit in problem.limits
    )  # fmt: skip
    return Problem(tuple(problem.items[at] for at in kept), limits, problem.columns)
