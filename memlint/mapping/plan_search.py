"""Every plan that could be better than the one known: depth first, cut off by the bound, exact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.mapping.plan_bound import Bound, at_prices
from memlint.mapping.plan_columns import ColumnQuestions
from memlint.mapping.plan_numbers import Numbers, Option

MOST_STEPS = 200_000
MOST_DEEP = 400
"""Memories with a choice left up to which the search is made: it goes one call deeper for each."""


@dataclass(frozen=True, slots=True)
class Searched:
    """The best plan found, better than the one known, or None; `complete`: nothing was left out."""

    picked: list[Option] | None
    complete: bool


def search(
    numbers: Numbers,
    known: Bound,
    upper: int | None,
    questions: ColumnQuestions,
    most_steps: int = MOST_STEPS,
) -> Searched:
    """The cheapest plan below `upper` (None: any plan)."""
    looking = _Search(numbers, known, upper, questions, most_steps)
    if looking.free > MOST_DEEP:
        return Searched(None, False)
    if looking.take_decided():
        looking.step(looking.decided, 0, 0)
    complete = looking.left > 0 and not questions.open
    return Searched(looking.best, complete)


class _Search:
    """Options are ordered by what they cost more than the item's cheapest at the prices: `extra`."""

    __slots__ = (
        "at",
        "base",
        "best",
        "chains",
        "decided",
        "free",
        "kinds",
        "left",
        "loads",
        "needed",
        "numbers",
        "order",
        "picks",
        "questions",
        "upper",
    )

    def __init__(
        self, numbers: Numbers, known: Bound, upper: int | None, questions: ColumnQuestions, most_steps: int
    ) -> None:
        self.numbers, self.questions, self.upper, self.left = numbers, questions, upper, most_steps
        self.base = known.cost
        self.best: list[Option] | None = None
        ranked = [_ranked(options, known.prices) for options in numbers.options]
        if upper is not None:
            # An option that alone lifts the bound to the known plan's cost is in no better plan.
            ranked = [[one for one in options if known.cost + one[0] < upper] for options in ranked]
        self.free = sum(len(options) > 1 for options in ranked)
        self.decided = len(ranked) - self.free
        regret = {kind: _regret(ranked[at]) for at, kind in enumerate(numbers.kinds)}
        self.order = sorted(
            range(len(ranked)),
            key=lambda at: (len(ranked[at]) > 1, -regret[numbers.kinds[at]], numbers.kinds[at], at),
        )
        self.at = [ranked[at] for at in self.order]
        self.kinds = [numbers.kinds[at] for at in self.order]
        self.needed = _needed(self.at, len(numbers.caps))
        self.loads = [0] * len(numbers.caps)
        self.picks: list[Option] = []
        self.chains: dict[str, list[int]] = {tier: [] for tier in questions.tiers}

    def take_decided(self) -> bool:
        """Take the items with one option; False when that is no plan already."""
        return all(bool(options) and self._put(options[0][1]) for options in self.at[: self.decided])

    def step(self, depth: int, extra: int, first: int) -> None:
        """Decide the items from `depth` on; one of the same kind as the item before starts at its option
        `first`, since exchanging the two changes nothing."""
        if depth == len(self.at):
            self._take()
            return
        if not all(self._has_room(row, depth) for row in range(len(self.loads))):
            return
        options = self.at[depth]
        for index in range(first, len(options)):
            more, option = options[index]
            self.left -= 1
            if self.left <= 0:
                return
            if self.upper is not None and self.base + extra + more >= self.upper:
                return
            if not self._put(option):
                self._back(option)
                continue
            alike = depth + 1 < len(self.kinds) and self.kinds[depth + 1] == self.kinds[depth]
            self.step(depth + 1, extra + more, index if alike else 0)
            self._back(option)

    def _has_room(self, row: int, depth: int) -> bool:
        return self.loads[row] + self.needed[depth][row] <= self.numbers.caps[row]

    def _put(self, option: Option) -> bool:
        """Take an option; False when it cannot be part of a plan."""
        self.picks.append(option)
        for row, amount in option.loads:
            self.loads[row] += amount
        if option.chains:
            self.chains[option.tier].extend(option.chains)
        if any(self.loads[row] > self.numbers.caps[row] for row, _ in option.loads):
            return False
        return (
            not option.chains or self.questions.ask(option.tier, self.chains[option.tier]).fits is not False
        )

    def _back(self, option: Option) -> None:
        self.picks.pop()
        for row, amount in option.loads:
            self.loads[row] -= amount
        if option.chains:
            del self.chains[option.tier][-len(option.chains) :]

    def _take(self) -> None:
        cost = self.numbers.cost(self.picks)
        if (self.upper is not None and cost >= self.upper) or not self.questions.all_fit(self.picks):
            return
        self.upper = cost
        found = dict(zip(self.order, self.picks, strict=True))
        self.best = [found[at] for at in range(len(found))]


def _ranked(options: Sequence[Option], prices: Sequence[int]) -> list[tuple[int, Option]]:
    paid = sorted(((at_prices(one, prices), one) for one in options), key=lambda pair: pair[0])
    return [(price - paid[0][0], one) for price, one in paid]


def _regret(options: Sequence[tuple[int, Option]]) -> int:
    """What the second choice costs more; items that matter most are decided first."""
    return options[1][0] if len(options) > 1 else 0


def _needed(ranked: Sequence[Sequence[tuple[int, Option]]], rows: int) -> list[list[int]]:
    """For each depth, the least that the items from there on take of each limit."""
    needed = [[0] * rows]
    for options in reversed(ranked):
        least = [min((dict(one.loads).get(row, 0) for _, one in options), default=0) for row in range(rows)]
        needed.append([below + one for below, one in zip(needed[-1], least, strict=True)])
    return list(reversed(needed))
