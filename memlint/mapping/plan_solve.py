"""The plan of least cost, or the conflict that leaves none."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from memlint.mapping.plan import Conflict, Plan, Problem, cost_of
from memlint.mapping.plan_bound import Bound, best_bound
from memlint.mapping.plan_columns import ColumnQuestions
from memlint.mapping.plan_conflict import conflict_of
from memlint.mapping.plan_numbers import Numbers, Option, in_numbers, least_share
from memlint.mapping.plan_repair import from_prices, improved, within_columns, within_limits
from memlint.mapping.plan_search import search


def solve(problem: Problem) -> Plan | Conflict:
    """The best plan found, with what is proven of it; or why there is none.

    The same problem always gives the same answer: effort is counted in steps, not in seconds.
    """
    hopeless = tuple(at for at, item in enumerate(problem.items) if not item.choices)
    if hopeless:
        return Conflict(hopeless)
    numbers = in_numbers(problem)
    questions = ColumnQuestions(problem.columns)
    known = best_bound(numbers, None)
    best = _plan_from(numbers, known, questions)
    if best is not None and numbers.cost(best) > known.cost:
        again = best_bound(numbers, numbers.cost(best))
        best = _better(numbers, best, _plan_from(numbers, again, questions))
        known = max(known, again, key=lambda one: one.cost)
    upper = None if best is None else numbers.cost(best)
    if upper is not None and upper <= known.cost:
        return _plan(problem, numbers, _given(best), known, questions, optimal=True)
    searched = search(numbers, known, upper, questions)
    best = _better(numbers, best, searched.picked)
    if best is None:
        found = conflict_of(problem, numbers, searched.complete)
        return found if found is not None else Conflict((), proven=False)
    return _plan(problem, numbers, best, known, questions, optimal=searched.complete)


def _given(picked: list[Option] | None) -> list[Option]:
    assert picked is not None
    return picked


def _plan_from(numbers: Numbers, known: Bound, questions: ColumnQuestions) -> list[Option] | None:
    """A plan made from the picks at some prices, or None where repairing them leads nowhere."""
    kept = within_limits(numbers, from_prices(numbers, known.prices), known.prices)
    if kept is None:
        return None
    better = improved(numbers, kept)
    fitting = within_columns(numbers, better, questions)
    return fitting if fitting is not None else within_columns(numbers, kept, questions)


def _better(numbers: Numbers, one: list[Option] | None, other: list[Option] | None) -> list[Option] | None:
    if one is None or other is None:
        return other if one is None else one
    return min(one, other, key=numbers.cost)


def _plan(
    problem: Problem,
    numbers: Numbers,
    picked: Sequence[Option],
    known: Bound,
    questions: ColumnQuestions,
    *,
    optimal: bool,
) -> Plan:
    chosen = tuple(one.index for one in picked)
    cost = cost_of(problem, chosen)
    least = cost.share if optimal else max(Fraction(0), least_share(known.cost, numbers))
    return Plan(chosen, cost, min(least, cost.share), optimal, questions.shown(list(picked)))
