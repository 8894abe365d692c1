"""An assignment of memories to tiers that fits the device at the least cost: what is asked and answered.

The cost of a plan, in this order: the shares of the tiers' blocks that its memories take, added up; cuts of
chains that fit as they are; cycles of read latency; power. Whatever is not known counts nothing in its
place and is left to the caller to name. A choice of last resort counts as a whole device's share.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from memlint.device.facts import Column


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to keep one memory.

    `blocks` are taken of the tier's supply (bits of an external tier), `share` what that is of all the
    device has. `cuts` are pieces its chains are cut in beyond those they must. `chains` are the pieces of
    two blocks and more, each in one column. `latency` in cycles and `power` in microwatts None: unknown.
    """

    tier: str
    blocks: Fraction
    share: Fraction
    cuts: int = 0
    latency: int | None = None
    power: Fraction | None = None
    chains: tuple[int, ...] = ()
    last_resort: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """A memory and the ways to keep it."""

    name: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Limit:
    """Blocks that the `members` (indices of items; None: all) may take of a tier together."""

    name: str
    tier: str
    blocks: Fraction
    members: frozenset[int] | None = None

    def holds(self, item: int) -> bool:
        """Whether the item counts."""
        return self.members is None or item in self.members


@dataclass(frozen=True, slots=True)
class Problem:
    """The memories, the limits on them, and the columns of the tiers whose chains stand in columns."""

    items: tuple[Item, ...]
    limits: tuple[Limit, ...]
    columns: Mapping[str, tuple[Column, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Cost:
    """What a plan costs, most important first; plans compare by it."""

    share: Fraction
    cuts: int
    latency: int
    power: Fraction


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why there is no plan: the fewest memories found that cannot be kept within the named limits.

    `proven` is False when no plan was found and none can be excluded. `needed` and `there` are blocks of
    the one limit in `limits`, where one is enough to show it; `tiers` are those whose columns matter.
    """

    items: tuple[int, ...]
    limits: tuple[int, ...] = ()
    needed: Fraction | None = None
    there: Fraction | None = None
    tiers: tuple[str, ...] = ()
    proven: bool = True


@dataclass(frozen=True, slots=True)
class Plan:
    """The index of each item's choice, its cost, and the least share that any plan can have.

    `optimal` is True when no plan costs less. `columns` hold the chains of each column by tier.
    """

    chosen: tuple[int, ...]
    cost: Cost
    least_share: Fraction
    optimal: bool
    columns: Mapping[str, tuple[tuple[int, ...], ...]]

    @property
    def gap(self) -> Fraction:
        """By how much of its own share a better plan could at most be better."""
        if self.optimal or not self.cost.share:
            return Fraction(0)
        return max(Fraction(0), self.cost.share - self.least_share) / self.cost.share


def cost_of(problem: Problem, chosen: tuple[int, ...]) -> Cost:
    """What these choices cost together."""
    taken = [item.choices[at] for item, at in zip(problem.items, chosen, strict=True)]
    return Cost(
        sum((share_of(one) for one in taken), Fraction(0)),
        sum(one.cuts for one in taken),
        sum(one.latency or 0 for one in taken),
        sum((one.power or Fraction(0) for one in taken), Fraction(0)),
    )


def share_of(choice: Choice) -> Fraction:
    """The share a choice counts for in the cost."""
    return choice.share + 1 if choice.last_resort else choice.share


def is_within(problem: Problem, chosen: tuple[int, ...]) -> bool:
    """Whether the choices keep every limit; columns apart."""
    for limit in problem.limits:
        taken = Fraction(0)
        for at, (item, index) in enumerate(zip(problem.items, chosen, strict=True)):
            choice = item.choices[index]
            if choice.tier == limit.tier and limit.holds(at):
                taken += choice.blocks
        if taken > limit.blocks:
            return False
    return True
