"""Interprets subprograms of constant expressions (IEEE 1800-2017 13.4.3; IEEE 1076-2008 10)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from enum import Enum, auto
from types import MappingProxyType
from typing import Any

from memlint.design.frames import Frame
from memlint.design.limits import DEEPEST_CALL
from memlint.design.meanings import SubprogramMeaning
from memlint.design.operators import truth
from memlint.design.overloads import choose, outputs
from memlint.design.recursion import deep_recursion
from memlint.design.references import called
from memlint.design.scope import Scope
from memlint.design.targets import Stop, Target, assign, store, target_of
from memlint.design.types import AnyType, Range, Unconstrained, Vector, element_type, outer_range
from memlint.design.values import Int, Unknown, Value
from memlint.design.vhdl_attributes import range_of, range_type
from memlint.reading.facts import expressions as ex
from memlint.reading.facts import statements as st
from memlint.reading.facts.items import Item, Parameter, Skipped, Subprogram, Variable

_INT = Vector((Range(31, 0, True),), signed=True, two_state=True)
_SILENT = frozenset(("$display", "$write", "$info", "$warning", "$error", "$strobe", "$monitor"))
_FILE_TYPES = frozenset(("text", "line"))
_FILE_TASKS = frozenset(
    """
    $fopen $fclose $fscanf $fgets $fread $readmemh $readmemb
    readline read hread oread bread file_open file_close endfile
    """.split()
)


class Flow(Enum):
    """What follows a statement: the next one, the next turn of the loop, the loop's end, the call's end."""

    ON = auto()
    NEXT = auto()
    EXIT = auto()
    RETURN = auto()


def run(
    outer: Scope,
    function: Subprogram,
    expr: ex.Call,
    scope: Scope,
    known: Mapping[int, Value] = MappingProxyType({}),
) -> Frame | Unknown:
    """Run a subprogram declared in `outer`, called from `scope`; the frame left holds result and outputs.

    `known` are values of arguments, by place, that have been worked out already.
    """
    effort = scope.effort
    if function.body is None:
        return Unknown(f"the body of the function `{function.name}` is not among the sources")
    if effort.depth >= DEEPEST_CALL:
        return Unknown(f"calls of `{function.name}` nest deeper than {DEEPEST_CALL}")
    frame = Frame(outer, scope)
    frame.subprogram = function.name
    missing = _bind(function, expr, scope, frame, known)
    if missing is not None:
        return missing
    if effort.depth == 0 and effort.calls == 0:
        effort.steps = 0
    effort.depth += 1
    try:
        with deep_recursion():
            _run_body(function, frame)
    except Stop as stop:
        return _reads_file(function) or stop.reason.at(function.span)
    except RecursionError:
        return Unknown(f"the function `{function.name}` nests too deeply", function.span)
    finally:
        effort.depth -= 1
    return frame


def _bind(
    function: Subprogram, expr: ex.Call, scope: Scope, frame: Frame, known: Mapping[int, Value]
) -> Unknown | None:
    """Declare the arguments with their values; the reason where one is missing."""
    if len(expr.arguments) > len(function.arguments):
        return Unknown(f"`{function.name}` takes {len(function.arguments)} arguments", expr.span)
    named = dict(expr.named)
    for place, port in enumerate(function.arguments):
        given = expr.arguments[place] if place < len(expr.arguments) else named.get(port.name)
        type = frame.resolve(port.type, port.dimensions)
        wanted = None if isinstance(type, Unknown) else type
        if port.direction == "output":
            free = isinstance(type, Unconstrained) and given is not None
            frame.declare(port.name, scope.type_of(given) if free and given is not None else type, None)
        elif given is not None and not isinstance(given, ex.Open):
            value = known[place] if place in known else scope.evaluate(given, type=wanted)
            frame.declare(port.name, wanted, value)
        elif port.initial is not None:
            frame.declare(port.name, wanted, frame.evaluate(port.initial, type=wanted))
        else:
            return Unknown(f"the argument `{port.name}` of `{function.name}` is not given", expr.span)
    return None


def _run_body(function: Subprogram, frame: Frame) -> None:
    assert function.body is not None
    if function.result is not None:
        frame.result_type = frame.resolve(function.result)
        if frame.language != "vhdl":
            # The function's own name is its result variable (IEEE 1800-2017 13.4.1).
            frame.declare(function.name, frame.result_type, None)
    for item in function.items:
        _declare(item, frame)
    _execute(function.body, frame)
    if frame.result is None and function.result is not None:
        if frame.language == "vhdl":
            raise Stop(Unknown(f"the function `{function.name}` ends without a return"))
        frame.result = frame.own_value(function.name)


def _reads_file(function: Subprogram) -> Unknown | None:
    """The reason a function that opens files has no value, whatever statement stopped it first."""
    for item in function.items:
        opens = isinstance(item, Skipped) and "file" in item.what
        if opens or (isinstance(item, Variable) and item.type.name in _FILE_TYPES):
            return Unknown(f"file reading function `{function.name}`", function.span)
    return None


def _declare(item: Item, frame: Frame) -> None:
    match item:
        case Variable() | Parameter(is_type=False):
            type = frame.resolve(item.type, item.dimensions) if item.type is not None else None
            known: AnyType | None = None if isinstance(type, Unknown | Unconstrained) else type
            initial = item.initial if isinstance(item, Variable) else item.value
            if initial is not None:
                wanted = None if isinstance(type, Unknown) else type
                frame.declare(item.name, known, frame.evaluate(initial, type=wanted))
            else:
                frame.declare(item.name, type, None)
        case _:
            frame.add(item)


def _execute(statement: st.Statement, frame: Frame) -> Flow:
    effort = frame.effort
    effort.steps += 1
    if effort.steps > effort.limit:
        raise Stop(Unknown(f"`{frame.subprogram}` takes more than {effort.limit} steps"))
    return _STATEMENTS[statement.__class__](statement, frame)


def _sequence(statements: Iterable[st.Statement], frame: Frame) -> Flow:
    for statement in statements:
        flow = _execute(statement, frame)
        if flow is not Flow.ON:
            return flow
    return Flow.ON


def _block(block: st.Block, frame: Frame) -> Flow:
    if not block.items:
        return _sequence(block.statements, frame)
    names = [item.name for item in block.items if isinstance(item, Variable | Parameter)]
    hidden = [frame.hide(name) for name in names]
    for item in block.items:
        _declare(item, frame)
    flow = _sequence(block.statements, frame)
    for name, saved in zip(names, hidden, strict=True):
        frame.restore(name, saved)
    return flow


def _decide(condition: ex.Expr | None, frame: Frame) -> bool:
    if condition is None:
        return True
    decision = truth(frame.evaluate(condition))
    if isinstance(decision, Unknown):
        raise Stop(decision.at(condition.span))
    return decision


def _if(statement: st.If, frame: Frame) -> Flow:
    if _decide(statement.condition, frame):
        return _execute(statement.then, frame)
    return _execute(statement.otherwise, frame) if statement.otherwise is not None else Flow.ON


def _case(statement: st.Case, frame: Frame) -> Flow:
    value = frame.evaluate(statement.subject)
    if isinstance(value, Unknown):
        raise Stop(value)
    subject = statement.subject
    if isinstance(value, Int) and value.type is None:
        subject = ex.Number(value.value, value.width, value.signed, span=subject.span)
    default: st.Statement | None = None
    for arm in statement.arms:
        if not arm.choices:
            default = arm.body
        for choice in arm.choices:
            inside = ex.Inside(subject, (choice,), span=arm.span)
            if _decide(inside, frame):
                return _execute(arm.body, frame)
    return _execute(default, frame) if default is not None else Flow.ON


def _for(loop: st.For, frame: Frame) -> Flow:
    if loop.kind == "foreach":
        return _foreach(loop, frame, 0)
    if frame.language == "vhdl":
        return _counted(loop, frame)
    outer = frame.declares(loop.variable)
    if not outer:
        frame.declare(loop.variable, _INT, None)
    if loop.first is not None:
        start = ex.Name(loop.variable, span=loop.span)
        assign(st.Assign(start, loop.first, True, span=loop.span), frame)
    flow = Flow.ON
    while _decide(loop.condition, frame):
        flow = _execute(loop.body, frame)
        if flow in (Flow.EXIT, Flow.RETURN):
            break
        if loop.step is not None:
            _execute(loop.step, frame)
    if not outer:
        frame.drop(loop.variable)
    return Flow.RETURN if flow is Flow.RETURN else Flow.ON


def _turns(indices: Iterable[int], type: AnyType | None, loop: st.For, frame: Frame, level: int = -1) -> Flow:
    """Run a loop's body once for each value of its variable."""
    saved = frame.hide(loop.variable)
    wanted = None if isinstance(type, Unknown) else type
    flow = Flow.ON
    for index in indices:
        value = Int(index, None, True, wanted) if frame.language == "vhdl" else Int(index, 32, True)
        frame.declare(loop.variable, None, value)
        inner = loop.body
        nested = (
            level >= 0 and isinstance(inner, st.For) and inner.kind == "foreach" and inner.first == loop.first
        )
        flow = _foreach(inner, frame, level + 1) if nested else _execute(inner, frame)  # type: ignore[arg-type]
        if flow in (Flow.EXIT, Flow.RETURN):
            break
    frame.restore(loop.variable, saved)
    return Flow.RETURN if flow is Flow.RETURN else Flow.ON


def _counted(loop: st.For, frame: Frame) -> Flow:
    if loop.first is None:
        raise Stop(Unknown("a loop without range", loop.span))
    span = range_of(loop.first, frame)
    if not isinstance(span, Range):
        raise Stop(span or Unknown("what the loop runs over is no range", loop.first.span))
    return _turns(span.indices(), range_type(loop.first, frame), loop, frame)


def _foreach(loop: st.For, frame: Frame, level: int) -> Flow:
    """A `foreach` loop; one directly inside another over the same array takes its next dimension."""
    assert loop.first is not None
    type = frame.type_of(loop.first)
    for _ in range(level):
        type = element_type(type)
    span = outer_range(type)
    if not isinstance(span, Range):
        raise Stop(span or Unknown("`foreach` runs over an array", loop.first.span))
    return _turns(span.indices(), None, loop, frame, level)


def _loop(loop: st.Loop, frame: Frame) -> Flow:
    turns = -1
    if loop.kind == "repeat" and loop.condition is not None:
        count = frame.evaluate(loop.condition)
        if not isinstance(count, Int):
            raise Stop(
                count if isinstance(count, Unknown) else Unknown("a loop repeated a broken number of times")
            )
        turns = max(0, count.value)
    tests_first = loop.kind == "while" or loop.kind == "for"
    while turns != 0:
        turns -= 1
        if tests_first and not _decide(loop.condition, frame):
            break
        flow = _execute(loop.body, frame)
        if flow is Flow.RETURN:
            return flow
        if flow is Flow.EXIT or (loop.kind == "do" and not _decide(loop.condition, frame)):
            break
    return Flow.ON


def _assign(statement: st.Assign, frame: Frame) -> Flow:
    assign(statement, frame)
    return Flow.ON


def _return(statement: st.Return, frame: Frame) -> Flow:
    if statement.value is not None:
        type = frame.result_type
        wanted = None if type is None or isinstance(type, Unknown) else type
        frame.result = frame.evaluate(statement.value, type=wanted)
    return Flow.RETURN


def _exit(statement: st.Exit, frame: Frame) -> Flow:
    if not _decide(statement.condition, frame):
        return Flow.ON
    return Flow.EXIT if statement.kind == "exit" else Flow.NEXT


def _call(statement: st.CallStatement, frame: Frame) -> Flow:
    expr = statement.call
    name = getattr(expr.function, "name", "")
    if name in _SILENT:
        return Flow.ON
    if name in _FILE_TASKS:
        raise Stop(Unknown(f"file reading function `{frame.subprogram}`", statement.span))
    meaning = called(expr.function, frame)
    if not isinstance(meaning, SubprogramMeaning):
        raise Stop(Unknown(f"`{name or 'a call'}` is not evaluated in a constant function", statement.span))
    chosen = choose(meaning, expr, frame, None)
    inner = chosen if isinstance(chosen, Unknown) else run(meaning.scope, chosen, expr, frame)
    if isinstance(chosen, Unknown) or isinstance(inner, Unknown):
        raise Stop(inner if isinstance(inner, Unknown) else Unknown("the call has no meaning"))
    given: list[tuple[Target, Value]] = []
    for port, target in outputs(chosen, expr):
        given.append((target_of(target, frame), inner.own_value(port.name)))
    for place, value in given:
        store(place, value)
    return Flow.ON


def _skipped(statement: st.SkippedStatement, frame: Frame) -> Flow:
    if statement.what.startswith(("assert", "report", "a report", "an assert")):
        return Flow.ON
    raise Stop(Unknown(f"{statement.what} is not evaluated", statement.span))


def _timed(statement: st.Timed, frame: Frame) -> Flow:
    raise Stop(Unknown(f"`{frame.subprogram}` waits, so it is no constant function", statement.span))


_STATEMENTS: dict[type, Callable[[Any, Frame], Flow]] = {
    st.Block: _block,
    st.If: _if,
    st.Case: _case,
    st.For: _for,
    st.Loop: _loop,
    st.Assign: _assign,
    st.CallStatement: _call,
    st.Return: _return,
    st.Exit: _exit,
    st.Timed: _timed,
    st.SkippedStatement: _skipped,
}
