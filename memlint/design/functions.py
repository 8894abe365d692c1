"""Calls of the user's functions in constant expressions."""

from __future__ import annotations

from memlint.design.conversion import convert
from memlint.design.interpreter import run
from memlint.design.meanings import SubprogramMeaning
from memlint.design.overloads import choose
from memlint.design.scope import Scope
from memlint.design.types import AnyType
from memlint.design.values import Unknown, Value
from memlint.reading.facts import expressions as ex

# Steps that a call counts for beside those of its body, and how much less the next runaway may take:
# where one function of a test bench has no end, its fellows often have none either.
_CALL = 10
_LESS = 4


def call(meaning: SubprogramMeaning, expr: ex.Call, scope: Scope, wanted: AnyType | None = None) -> Value:
    """The result of a function call; `wanted` is the type its context expects."""
    effort = scope.effort
    if effort.calls == 0 and effort.depth == 0:
        effort.steps = 0
    effort.calls += 1
    effort.steps += _CALL
    try:
        return _result(meaning, expr, scope, wanted)
    finally:
        effort.calls -= 1
        if effort.calls == 0 and effort.depth == 0 and effort.steps > effort.limit:
            effort.limit //= _LESS


def _result(meaning: SubprogramMeaning, expr: ex.Call, scope: Scope, wanted: AnyType | None) -> Value:
    # Arguments that were worked out to choose among overloads are not worked out again: calls in calls
    # in calls would take twice as long at each level.
    known: dict[int, Value] = {}
    function = choose(meaning, expr, scope, wanted, known)
    if isinstance(function, Unknown):
        return function
    if function.result is None:
        return Unknown(f"`{function.name}` gives no value")
    frame = run(meaning.scope, function, expr, scope, known)
    if isinstance(frame, Unknown):
        return frame
    result = frame.result
    if result is None or isinstance(result, Unknown):
        return result or Unknown(f"`{function.name}` gives no value")
    return convert(result, meaning.scope.resolve(function.result), meaning.scope.language)
