"""What every plan must cost: limits turned into prices (Lagrangian relaxation; Fisher 1981).

Whatever price a block has, the memories' cheapest choices at those prices, less what all blocks would
bring, cost no more than any plan. The prices are sought in floating point and the bound is then reckoned
in whole numbers, so it holds exactly.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from memlint.mapping.plan_numbers import Numbers, Option

ROUNDS = 600
PATIENCE = 15
"""Rounds without a better bound before the steps get shorter."""

SHORTER = 0.6

Kinds: TypeAlias = "Sequence[tuple[int, list[tuple[float, list[tuple[int, float]]]]]]"
"""(how many items, their options as (cost, [(limit, amount)])), in parts of a share and of the limits."""


@dataclass(frozen=True, slots=True)
class Bound:
    """`prices` of one unit of each limit, and the cost that no plan can be below with them."""

    prices: tuple[int, ...]
    cost: int


def at_prices(option: Option, prices: Sequence[int]) -> int:
    """What an option costs with what it takes of each limit paid for."""
    return option.cost + sum(prices[row] * amount for row, amount in option.loads)


def bound(numbers: Numbers, prices: Sequence[int]) -> Bound:
    """The bound that some prices (none below 0) give."""
    paid: dict[int, int] = {}
    total = 0
    for kind, options in zip(numbers.kinds, numbers.options, strict=True):
        if kind not in paid:
            paid[kind] = min(at_prices(one, prices) for one in options)
        total += paid[kind]
    total -= sum(price * cap for price, cap in zip(prices, numbers.caps, strict=True))
    return Bound(tuple(prices), total)


def best_bound(numbers: Numbers, upper: int | None, free: bool = False) -> Bound:
    """Good prices by subgradient steps. `upper` is the cost of a known plan.

    With `free` nothing but the limits has a price: a bound above 0 then proves that there is no plan.
    """
    scale = 1.0 if free else float(numbers.per_share)
    whole = [float(max(1, cap)) for cap in numbers.caps]
    kinds: Kinds = [
        (count, [_scaled(one, whole, None if free else scale) for one in options])
        for options, count in _kinds(numbers)
    ]
    full = [cap / size for cap, size in zip(numbers.caps, whole, strict=True)]
    goal = None if upper is None or free else upper / scale
    best_prices = _ascend(kinds, full, 1.0 / max(1, len(whole)) if free else 0.0, goal)
    unit = float(10**9) if free else scale
    return _exact(
        numbers, [price / size * unit for price, size in zip(best_prices, whole, strict=True)], free
    )


def _scaled(
    option: Option, whole: Sequence[float], scale: float | None
) -> tuple[float, list[tuple[int, float]]]:
    """The option in parts of a share (nothing without `scale`) and of the limits."""
    cost = 0.0 if scale is None else option.cost / scale
    return cost, [(row, amount / whole[row]) for row, amount in option.loads]


def _ascend(kinds: Kinds, full: Sequence[float], start: float, goal: float | None) -> list[float]:
    """The best prices met. Each step goes along half the last direction and half what is overdrawn now, by
    as much as is missing to the goal (a known plan's cost, or a little more than the best bound so far)."""
    prices = [start for _ in full]
    best, best_prices, step, waited = float("-inf"), prices, 1.0, 0
    direction: list[float] | None = None
    for _ in range(ROUNDS):
        value, over = _relaxed(kinds, prices, full)
        waited = waited + 1 if value <= best + 1e-5 * abs(best) else 0
        if value > best:
            best, best_prices = value, prices
        if waited >= PATIENCE:
            step, waited, prices, direction = step * SHORTER, 0, best_prices, None
            continue
        if direction is None:
            direction = over
        direction = [(one + other) / 2 for one, other in zip(over, direction, strict=True)]
        # A price of nothing cannot fall.
        along = [0.0 if price <= 0 and one < 0 else one for price, one in zip(prices, direction, strict=True)]
        norm = sum(one * one for one in along)
        if norm < 1e-18:
            break
        aim = best * 1.1 + 0.05 if goal is None else goal
        length = step * max(aim - value, 1e-6) / norm
        prices = [max(0.0, price + length * one) for price, one in zip(prices, along, strict=True)]
    return best_prices


def _kinds(numbers: Numbers) -> list[tuple[tuple[Option, ...], int]]:
    counted = Counter(numbers.kinds)
    first = {kind: at for at, kind in reversed(list(enumerate(numbers.kinds)))}
    return [(numbers.options[first[kind]], count) for kind, count in sorted(counted.items())]


def _relaxed(
    kinds: Kinds,
    prices: Sequence[float],
    full: Sequence[float],
) -> tuple[float, list[float]]:
    """The value of some prices, and by how much each limit is overdrawn at them."""
    value = -sum(price * one for price, one in zip(prices, full, strict=True))
    over = [-one for one in full]
    for count, options in kinds:
        cheapest, taken = float("inf"), options[0][1]
        for cost, loads in options:
            for row, amount in loads:
                cost += prices[row] * amount
            if cost < cheapest:
                cheapest, taken = cost, loads
        value += count * cheapest
        for row, amount in taken:
            over[row] += count * amount
    return value, over


def _exact(numbers: Numbers, prices: Sequence[float], free: bool) -> Bound:
    whole = [max(0, round(price)) for price in prices]
    if not free:
        priced, unpriced = bound(numbers, whole), bound(numbers, [0] * len(whole))
        return max(priced, unpriced, key=lambda one: one.cost)
    zeroed = Numbers(
        tuple(tuple(Option(0, one.loads, one.tier, (), 0) for one in options) for options in numbers.options),
        numbers.caps,
        numbers.kinds,
        1,
        1,
    )
    return bound(zeroed, whole)
