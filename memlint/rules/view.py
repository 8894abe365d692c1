"""What a rule is given to look at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TypeVar

from memlint.design.memory import BoundClause, Memory, NotMemory
from memlint.device.facts import Device, Tier
from memlint.mapping.demand import Demand, Placement
from memlint.mapping.place import place
from memlint.reading.intent.clauses import Accept, Clause, Intent
from memlint.text.source import Span

ClauseType = TypeVar("ClauseType")


@dataclass(frozen=True)
class MemoryView:
    """A memory, the intent that won for it, where it is placed, and the device.

    `tier` is None only when nothing can be assumed (unresolved shape and no intent).
    `tier_from` is `intent`, `attribute`, `assumed` or None. `demand` is None while the shape is
    unresolved; then `placement` is None too. `place` reckons the memory on another tier of the device.
    `thresholds` are numbers a rule reads by its own setting's name, with the rule's default.
    `shapes_under_clause` are the depths and widths of all memories that the winning `shape` clause
    speaks for, this one's among them: a comment may stand over several instances. Empty: not known.
    """

    memory: Memory
    device: Device
    tier: Tier | None
    tier_from: str | None
    clauses: tuple[BoundClause, ...]
    accepts: tuple[BoundClause, ...]
    demand: Demand | None
    placement: Placement | None
    place: Callable[[Tier], Placement] = field(compare=False)
    thresholds: Mapping[str, float] = field(default_factory=dict)
    shapes_under_clause: frozenset[tuple[int | None, int | None]] = frozenset()

    def clause(self, kind: type[ClauseType]) -> ClauseType | None:
        """The winning clause of a kind (`In`, `Shape`, `Ports`, `Clocks`, …), or None."""
        for bound in self.clauses:
            if isinstance(bound.clause, kind):
                return bound.clause
        return None

    def bound(self, kind: type[Clause]) -> BoundClause | None:
        """The winning clause of a kind with the intent it came from."""
        return next((bound for bound in self.clauses if isinstance(bound.clause, kind)), None)

    @property
    def has_intent(self) -> bool:
        """Whether anyone wrote an intent for this memory."""
        return bool(self.memory.intents)

    @cached_property
    def elsewhere(self) -> tuple[Placement, ...]:
        """The memory on every other on-chip tier that takes it, cheapest share of the device first.

        Unknown supply comes last; `registers` last of all.
        """
        own = self.tier.name if self.tier else None
        placements = [
            self.place(tier) for tier in self.device.on_chip() if self.demand is not None and tier.name != own
        ]
        fitting = [placement for placement in placements if placement.fits and placement.blocks is not None]
        return tuple(
            sorted(
                fitting,
                key=lambda one: (one.tier == "registers", one.share is None, one.share or 0, one.blocks or 0),
            )
        )

    def reckon(self, demand: Demand, tier: Tier) -> Placement:
        """A changed demand on a tier of the device, for rules that ask "what if"."""
        return place(demand, tier, self.device)

    def accepted(self, rule: str) -> Accept | None:
        """The acceptance of that rule, if the intent holds one."""
        for bound in self.accepts:
            if isinstance(bound.clause, Accept) and bound.clause.rule == rule:
                return bound.clause
        return None


@dataclass(frozen=True, slots=True)
class MissingUnit:
    """A unit that is instantiated but whose source was not found."""

    name: str
    instances: tuple[str, ...]
    span: Span
    spans: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class UnitIntent:
    """An intent that speaks for a unit (`budget`), in one instance: `path` is its dotted path."""

    path: str
    unit: str
    intent: Intent


@dataclass(frozen=True, slots=True)
class DesignView:
    """The whole elaborated design: every memory's view, the arrays that are none, what is missing.

    `unit_intents` hold the budgets, once per instance of the unit they stand in. `reserve` are blocks
    per tier that `[reserve]` keeps out of the device's supply.
    """

    device: Device
    memories: tuple[MemoryView, ...]
    not_memories: tuple[NotMemory, ...]
    missing: tuple[MissingUnit, ...]
    roots: tuple[str, ...]
    thresholds: Mapping[str, float] = field(default_factory=dict)
    unit_intents: tuple[UnitIntent, ...] = ()
    reserve: Mapping[str, Fraction] = field(default_factory=dict)
