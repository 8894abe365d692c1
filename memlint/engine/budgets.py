"""What every instance with a budget takes of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from memlint.engine.judgement import Judgement
from memlint.reading.intent.clauses import Budget
from memlint.rules.totals import below, total


@dataclass(frozen=True, slots=True)
class BudgetUse:
    """The blocks that an instance, with everything below it, takes of a tier, and those that its budget
    allows. Both are exact. Of its memories, `unknown` are in no sum: their tier or blocks are not known."""

    path: str
    unit: str
    tier: str
    blocks: Fraction
    budget: Fraction
    unknown: int

    @property
    def is_over(self) -> bool:
        """Whether it takes more than it may."""
        return self.blocks > self.budget


def budget_uses(judgement: Judgement) -> tuple[BudgetUse, ...]:
    """Every budget of every instance: by path, then in the order they are written."""
    found: list[BudgetUse] = []
    for unit in sorted(judgement.unit_intents, key=lambda one: one.path):
        budgets = [clause for clause in unit.intent.clauses if isinstance(clause, Budget)]
        if not budgets:
            continue
        memories = [view for view in judgement.memories if below(view.memory.path, unit.path)]
        for tier, allowed in (limit for budget in budgets for limit in budget.limits):
            sums = total(memories, tier)
            unknown = sums.unknown + sum(view.tier is None for view in memories)
            found.append(BudgetUse(unit.path, unit.unit, tier, sums.blocks, allowed, unknown))
    return tuple(found)
