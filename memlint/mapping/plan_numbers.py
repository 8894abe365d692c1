"""A planning problem in whole numbers: exact, and quick to add up."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor, lcm

from memlint.mapping.plan import Choice, Problem, share_of

MICRO = 1000
"""Power counts in nanowatts."""


@dataclass(frozen=True, slots=True)
class Option:
    """A choice: its cost and its loads as (limit, amount); `index` is its place among the item's choices."""

    cost: int
    loads: tuple[tuple[int, int], ...]
    tier: str
    chains: tuple[int, ...]
    index: int


@dataclass(frozen=True, slots=True)
class Numbers:
    """`options` of each item, dominated ones left out, cheapest first; `caps` of each limit in its own
    unit. Items of equal options share a number in `kinds`. The share 1 costs `per_share`, the smallest
    difference of shares `per_step`; less than that is about cuts, cycles and power."""

    options: tuple[tuple[Option, ...], ...]
    caps: tuple[int, ...]
    kinds: tuple[int, ...]
    per_share: int
    per_step: int

    def cost(self, picked: list[Option]) -> int:
        """What the options cost together."""
        return sum(one.cost for one in picked)

    def loads(self, picked: list[Option]) -> list[int]:
        """What the options take of each limit together."""
        taken = [0] * len(self.caps)
        for one in picked:
            for row, amount in one.loads:
                taken[row] += amount
        return taken


def in_numbers(problem: Problem) -> Numbers:
    """The problem with every cost as one whole number that orders plans as `Cost` does."""
    choices = [choice for item in problem.items for choice in item.choices]
    unit = lcm(1, *(share_of(one).denominator for one in choices))
    cuts = 1 + sum(max((one.cuts for one in item.choices), default=0) for item in problem.items)
    cycles = 1 + sum(max((one.latency or 0 for one in item.choices), default=0) for item in problem.items)
    power = 1 + sum(max((_power(one) for one in item.choices), default=0) for item in problem.items)

    def cost(one: Choice) -> int:
        share = int(share_of(one) * unit)
        return ((share * cuts + one.cuts) * cycles + (one.latency or 0)) * power + _power(one)

    steps = [_steps(problem, row) for row in range(len(problem.limits))]
    caps = tuple(floor(limit.blocks * step) for limit, step in zip(problem.limits, steps, strict=True))
    listed = []
    for at, item in enumerate(problem.items):
        rows = [(row, limit) for row, limit in enumerate(problem.limits) if limit.holds(at)]
        options = [
            Option(
                cost(one),
                tuple((row, int(one.blocks * steps[row])) for row, limit in rows if limit.tier == one.tier),
                one.tier,
                one.chains if one.tier in problem.columns else (),
                index,
            )
            for index, one in enumerate(item.choices)
        ]
        listed.append(_undominated(options))
    seen: dict[object, int] = {}
    kinds = tuple(
        seen.setdefault(tuple((one.cost, one.loads, one.tier, one.chains) for one in options), len(seen))
        for options in listed
    )
    return Numbers(tuple(listed), caps, kinds, unit * cuts * cycles * power, cuts * cycles * power)


def _power(choice: Choice) -> int:
    return 0 if choice.power is None else round(choice.power * MICRO)


def _steps(problem: Problem, row: int) -> int:
    """Parts of a block that everything on this limit is a whole number of."""
    tier = problem.limits[row].tier
    return lcm(
        1, *(one.blocks.denominator for item in problem.items for one in item.choices if one.tier == tier)
    )


def _undominated(options: list[Option]) -> tuple[Option, ...]:
    """Without options that another one of the item replaces at no higher cost whatever the others do."""
    kept: list[Option] = []
    for one in sorted(options, key=lambda option: (option.cost, option.index)):
        if not any(_replaces(other, one) for other in kept):
            kept.append(one)
    return tuple(kept)


def _replaces(better: Option, worse: Option) -> bool:
    """`better` costs no more; it also takes no more of anything."""
    taken = dict(worse.loads)
    if any(amount > taken.get(row, 0) for row, amount in better.loads):
        return False
    return not better.chains or (better.tier == worse.tier and better.chains == worse.chains)


def least_share(cost: int, numbers: Numbers) -> Fraction:
    """The share that a plan has at least which costs at least this."""
    return Fraction(cost // numbers.per_step * numbers.per_step, numbers.per_share)
