"""Planning problems for tests, and their best plans found the long way."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import product

from hypothesis import strategies as st
from test_mapping_columns import fits_by_hand

from memlint.device.facts import Column
from memlint.mapping.plan import Choice, Item, Limit, Problem

SUPPLY = {"bulk": 10, "block": 8, "fabric": 30}


def choice(tier: str, blocks: Fraction | int, supply: Fraction | int | None = None, **more) -> Choice:
    """A choice whose share is that of the tier's supply."""
    there = SUPPLY[tier] if supply is None else supply
    return Choice(tier, Fraction(blocks), Fraction(blocks) / there, **more)


def problem(
    *items: Sequence[Choice], limits: Sequence[Limit] = (), columns: Sequence[int] = (5, 5)
) -> Problem:
    """Items on the three tiers of `SUPPLY`; `columns` are those of bulk."""
    whole = [Limit(name, name, Fraction(blocks)) for name, blocks in SUPPLY.items()]
    return Problem(
        tuple(Item(f"m{at}", tuple(choices)) for at, choices in enumerate(items)),
        (*whole, *limits),
        {"bulk": tuple(Column(blocks, 1) for blocks in columns)},
    )


def keeps(put: Problem, chosen: Sequence[int]) -> bool:
    """Whether choices keep every limit and the columns, each assignment of chains tried."""
    taken = [item.choices[at] for item, at in zip(put.items, chosen, strict=True)]
    for limit in put.limits:
        inside = [
            one.blocks
            for at, one in enumerate(taken)
            if one.tier == limit.tier and (limit.members is None or at in limit.members)
        ]
        if sum(inside) > limit.blocks:
            return False
    return all(
        fits_by_hand(
            [length for one in taken if one.tier == tier for length in one.chains],
            [column.blocks for column in columns for _ in range(column.count)],
        )
        for tier, columns in put.columns.items()
    )


def least(put: Problem) -> tuple[Fraction, int, int, Fraction] | None:
    """The least cost over every combination of choices, in the order share, cuts, cycles, power."""
    best = None
    for chosen in product(*(range(len(item.choices)) for item in put.items)):
        if not keeps(put, chosen):
            continue
        taken = [item.choices[at] for item, at in zip(put.items, chosen, strict=True)]
        cost = (
            sum((one.share + one.last_resort for one in taken), Fraction(0)),
            sum(one.cuts for one in taken),
            sum(one.latency or 0 for one in taken),
            sum((one.power or Fraction(0) for one in taken), Fraction(0)),
        )
        best = cost if best is None else min(best, cost)
    return best


@st.composite
def memories(draw) -> tuple[Choice, ...]:
    """The choices of one memory: some of the tiers, on bulk perhaps with its chain cut."""
    found = []
    if draw(st.booleans()):
        blocks = draw(st.integers(1, 5))
        whole = (blocks,) if blocks > 1 else ()
        found.append(choice("bulk", blocks, latency=draw(st.sampled_from([None, 1, 2])), chains=whole))
        if blocks > 2 and draw(st.booleans()):
            pieces = tuple(one for one in ((blocks + 1) // 2, blocks // 2) if one > 1)
            found.append(choice("bulk", blocks, cuts=1, latency=2, chains=pieces))
    if draw(st.booleans()):
        found.append(
            choice("block", Fraction(draw(st.integers(1, 9)), 2), power=Fraction(draw(st.integers(0, 3))))
        )
    if not found or draw(st.booleans()):
        found.append(choice("fabric", draw(st.integers(1, 12)), latency=0, last_resort=draw(st.booleans())))
    return tuple(found)


@st.composite
def problems(draw) -> Problem:
    """Few memories on a small device that is often too small, with a budget now and then."""
    items = draw(st.lists(memories(), min_size=1, max_size=5))
    limits = []
    if draw(st.booleans()):
        members = frozenset(draw(st.sets(st.integers(0, len(items) - 1))))
        limits.append(Limit("budget", "bulk", Fraction(draw(st.integers(0, 12)), 2), members))
    height = draw(st.integers(1, 9))
    return problem(*items, limits=limits, columns=(height, 10 - height))
