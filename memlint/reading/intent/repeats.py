"""Clauses said twice where one is meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from memlint.reading.facts.items import Problem
from memlint.reading.intent.clauses import Accept, Budget, Clause, Intent, Plan
from memlint.reading.intent.wording import shortened
from memlint.text.source import SourceText


def without_repeats(
    intents: Iterable[Intent], source: SourceText
) -> tuple[tuple[Intent, ...], tuple[Problem, ...]]:
    """The intents with each kind of clause once for each `on`, and a problem for each one dropped.

    The first of a kind counts; `accept` and `budget` add up and are all kept. An intent of which
    nothing is left is dropped.
    """
    firsts: dict[tuple[str, type[Clause]], Clause] = {}
    kept: list[Intent] = []
    problems: list[Problem] = []
    for intent in intents:
        clauses: list[Clause] = []
        for clause in intent.clauses:
            first = firsts.setdefault((intent.on, type(clause)), clause)
            if first is clause or isinstance(clause, Accept | Budget):
                clauses.append(clause)
            else:
                problems.append(_problem(first, clause, source))
        if clauses:
            kept.append(replace(intent, clauses=tuple(clauses)))
    return tuple(kept), tuple(problems)


def _problem(first: Clause, second: Clause, source: SourceText) -> Problem:
    counts = shortened(source.text[first.span.start : first.span.end])
    repeats = shortened(source.text[second.span.start : second.span.end])
    line = source.position(first.span.start).line
    message = f"`{repeats}` repeats a clause: `{counts}` on line {line} came first and counts"
    help = ["take one of the two away"]
    if isinstance(second, Plan):
        help.append("or part the two plans by an empty line: consecutive `@mem` lines are one intent")
    return Problem("intent-repeats-clause", message, second.span, tuple(help))
