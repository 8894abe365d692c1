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


def call(meaning: SubprogramMeaning, expr: ex.Call, scope: Scope, wanted: AnyType | None = None) -> Value:
    """The result of a function call; `wanted` is the type its context expects."""
    function = choose(meaning, expr, scope, wanted)
    if isinstance(function, Unknown):
        return function
    if function.result is None:
        return Unknown(f"`{function.name}` gives no value")
    frame = run(meaning.scope, function, expr, scope)
    if isinstance(frame, Unknown):
        return frame
    result = frame.result
    if result is None or isinstance(result, Unknown):
        return result or Unknown(f"`{function.name}` gives no value")
    return convert(result, meaning.scope.resolve(function.result), meaning.scope.language)
