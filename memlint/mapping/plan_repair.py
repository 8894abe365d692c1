"""Plans by hand, as it were: start from everyone's best choice, move what is too much, then improve."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.mapping.columns import smallest_conflict
from memlint.mapping.plan_bound import at_prices
from memlint.mapping.plan_columns import TRIES, ColumnQuestions, chains_on
from memlint.mapping.plan_numbers import Numbers, Option

SWAPPED = 60
"""Memories on each side of the swaps that are tried."""


def from_prices(numbers: Numbers, prices: Sequence[int]) -> list[Option]:
    """The cheapest option of each item at these prices."""
    return [min(options, key=lambda one: at_prices(one, prices)) for options in numbers.options]


def within_limits(numbers: Numbers, picked: list[Option], prices: Sequence[int]) -> list[Option] | None:
    """The picks changed, one at a time, until no limit is overdrawn; None where no change helps any more.

    Each change takes the most off what is overdrawn for what it costs at the prices.
    """
    picked = list(picked)
    loads = numbers.loads(picked)
    for _ in range(4 * len(picked) + 8):
        over = [max(0, load - cap) / max(1, cap) for load, cap in zip(loads, numbers.caps, strict=True)]
        if not any(over):
            return picked
        best: tuple[float, int, Option] | None = None
        for at, options in enumerate(numbers.options):
            now = picked[at]
            if not any(over[row] for row, _ in now.loads):
                continue
            for one in options:
                if one is now:
                    continue
                gain = _relief(numbers, loads, now, one)
                if gain <= 0:
                    continue
                rate = (at_prices(one, prices) - at_prices(now, prices)) / numbers.per_share / gain
                if best is None or rate < best[0]:
                    best = rate, at, one
        if best is None:
            return None
        _, at, one = best
        _change(loads, picked, at, one)
    return None


def _relief(numbers: Numbers, loads: Sequence[int], now: Option, one: Option) -> float:
    """By how much a change lessens what is overdrawn, in parts of the limits."""
    change: dict[int, int] = {row: -amount for row, amount in now.loads}
    for row, amount in one.loads:
        change[row] = change.get(row, 0) + amount
    gain = 0.0
    for row, amount in change.items():
        cap = numbers.caps[row]
        gain += (max(0, loads[row] - cap) - max(0, loads[row] + amount - cap)) / max(1, cap)
    return gain


def _change(loads: list[int], picked: list[Option], at: int, one: Option) -> None:
    for row, amount in picked[at].loads:
        loads[row] -= amount
    for row, amount in one.loads:
        loads[row] += amount
    picked[at] = one


def _has_room(numbers: Numbers, loads: Sequence[int], now: Sequence[Option], then: Sequence[Option]) -> bool:
    change: dict[int, int] = {}
    for one in now:
        for row, amount in one.loads:
            change[row] = change.get(row, 0) - amount
    for one in then:
        for row, amount in one.loads:
            change[row] = change.get(row, 0) + amount
    return all(amount <= 0 or loads[row] + amount <= numbers.caps[row] for row, amount in change.items())


def improved(numbers: Numbers, picked: list[Option]) -> list[Option]:
    """The picks made cheaper within the limits: single changes, then swaps of two, until nothing gains."""
    picked = list(picked)
    loads = numbers.loads(picked)
    while _cheaper_alone(numbers, picked, loads) or _cheaper_by_swap(numbers, picked, loads):
        pass
    return picked


def _cheaper_alone(numbers: Numbers, picked: list[Option], loads: list[int]) -> bool:
    changed = False
    for at in sorted(range(len(picked)), key=lambda one: numbers.options[one][0].cost - picked[one].cost):
        for one in numbers.options[at]:
            if one.cost >= picked[at].cost:
                break
            if _has_room(numbers, loads, [picked[at]], [one]):
                _change(loads, picked, at, one)
                changed = True
                break
    return changed


def _cheaper_by_swap(numbers: Numbers, picked: list[Option], loads: list[int]) -> bool:
    """One memory gets its better choice because another one gives way at less cost."""
    wanting = [
        (one.cost - picked[at].cost, at, one)
        for at, options in enumerate(numbers.options)
        for one in options
        if one.cost < picked[at].cost
    ]
    wanting.sort(key=lambda one: (one[0], one[1]))
    leaving = [
        (one.cost - picked[at].cost, at, one)
        for at, options in enumerate(numbers.options)
        for one in options
        if one.cost >= picked[at].cost and one is not picked[at]
    ]
    leaving.sort(key=lambda one: (one[0], one[1]))
    for gain, at, one in wanting[:SWAPPED]:
        for loss, other, instead in leaving[: SWAPPED * 4]:
            if gain + loss >= 0:
                break
            if other != at and _has_room(numbers, loads, [picked[at], picked[other]], [one, instead]):
                _change(loads, picked, at, one)
                _change(loads, picked, other, instead)
                return True
    return False


def within_columns(numbers: Numbers, picked: list[Option], questions: ColumnQuestions) -> list[Option] | None:
    """The picks with chains cut, and memories moved, until the chains fit the columns; None if they never do.

    Of the chains that cannot share the columns, the change that costs least is made first; in the end
    changes that turn out not to be needed are taken back.
    """
    start, picked = list(picked), list(picked)
    loads = numbers.loads(picked)
    for tier in questions.tiers:
        for _ in range(4 * len(picked) + 8):
            lengths = chains_on(picked, tier)
            if questions.ask(tier, lengths).fits is True:
                break
            conflict = smallest_conflict(lengths, questions.columns(tier), TRIES) or tuple(lengths)
            change = _least_change(numbers, picked, loads, tier, min(conflict))
            if change is None:
                return None
            _change(loads, picked, *change)
        else:
            return None
    if not questions.all_fit(picked):
        return None
    for at, before in enumerate(start):
        now = picked[at]
        if now is not before and before.cost < now.cost and _has_room(numbers, loads, [now], [before]):
            _change(loads, picked, at, before)
            if not questions.all_fit(picked):
                _change(loads, picked, at, now)
    return picked


def _least_change(
    numbers: Numbers, picked: Sequence[Option], loads: Sequence[int], tier: str, shortest: int
) -> tuple[int, Option] | None:
    """The cheapest change to shorter chains of a memory with one of at least `shortest` on the tier."""
    best: tuple[int, int, Option] | None = None
    for at, now in enumerate(picked):
        if now.tier != tier or not now.chains or now.chains[0] < shortest:
            continue
        for one in numbers.options[at]:
            relieves = one.tier != tier or max(one.chains, default=1) < now.chains[0]
            if not relieves or one is now or not _has_room(numbers, loads, [now], [one]):
                continue
            if best is None or one.cost - now.cost < best[0]:
                best = one.cost - now.cost, at, one
    return None if best is None else (best[1], best[2])
