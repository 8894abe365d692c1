"""Where signals are read: every use in a body, with what stands between it and what it feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace

from memlint.design.body import Body, Child, Drive, LoopVariable, ProcessFacts, SelectStep, Signal, Unread
from memlint.design.methods import Method, method
from memlint.design.parts import actuals
from memlint.design.scope import ConstantMeaning, Scope, SignalMeaning, SubprogramMeaning
from memlint.design.signals import elsewhere, is_far, resolve
from memlint.design.substitute import substitute
from memlint.design.values import Int
from memlint.reading.facts.expressions import (
    Attribute,
    Binary,
    Call,
    Cast,
    Concat,
    Conditional,
    DataType,
    Expr,
    Index,
    Inside,
    Member,
    Name,
    Pattern,
    Replicate,
    Scoped,
    Slice,
    Unary,
    Unsupported,
)
from memlint.reading.facts.items import Subprogram
from memlint.reading.facts.statements import Assign, Block, Return
from memlint.text.source import Span

_DEEPEST_FUNCTION = 6
# Conversions that only rename bits.
CONVERSIONS = frozenset(
    """$signed $unsigned signed unsigned std_logic_vector std_ulogic_vector to_integer to_unsigned to_signed
    to_stdlogicvector to_std_logic_vector to_slv to_bitvector to_stdulogicvector conv_integer conv_unsigned
    conv_std_logic_vector to_01 to_x01 to_ux01 integer natural positive resize bit_vector std_logic
    std_ulogic""".split()
)


@dataclass(frozen=True, slots=True)
class Use:
    """One place where a signal, or a part of it, is read.

    kind: `value` (reaches the value of `drive`), `index` (selects from or into `array`), `guard`
    (a condition), `connection` (`port` of `child`). `logic` names what stands in between, `` if only
    wires do; `mux` is the condition of a multiplexer in an expression whose other arm is `other`.
    """

    signal: Signal
    steps: tuple[SelectStep, ...]
    kind: str
    scope: Scope
    span: Span
    process: ProcessFacts | None
    logic: str = ""
    logic_span: Span | None = None
    drive: Drive | None = None
    array: Signal | None = None
    write_index: bool = False
    child: Child | None = None
    port: str = ""
    loops: tuple[LoopVariable, ...] = ()
    others: tuple[Expr, ...] = ()


@dataclass(frozen=True, slots=True)
class _Way:
    """How a walk came to an expression: what it feeds, and what it went through."""

    kind: str
    scope: Scope
    process: ProcessFacts | None
    drive: Drive | None = None
    child: Child | None = None
    port: str = ""
    loops: tuple[LoopVariable, ...] = ()
    logic: str = ""
    logic_span: Span | None = None
    array: Signal | None = None
    others: tuple[Expr, ...] = ()
    depth: int = 0
    write_index: bool = False

    def through(self, logic: str, span: Span) -> _Way:
        return self if self.logic else replace(self, logic=logic, logic_span=span)

    def beside(self, other: Expr) -> _Way:
        return replace(self, others=(*self.others, other))

    def indexing(self, array: Signal | None) -> _Way:
        return replace(
            self, kind="index", array=array, logic="", logic_span=None, others=(), write_index=False
        )

    def inside(self, scope: Scope) -> _Way:
        return replace(self, scope=scope, depth=self.depth + 1)


def uses(body: Body) -> dict[Signal, list[Use]]:
    """All uses of the signals of a body, made on first call and kept with it."""
    if body.uses is None:
        found: dict[Signal, list[Use]] = {}
        for use in _all(body):
            found.setdefault(use.signal, []).append(use)
        body.uses = found
    return body.uses


def _all(body: Body) -> Iterator[Use]:
    for drive in body.drives:
        if drive.process.kind == "initial":
            continue
        way = _Way("value", drive.scope, drive.process, drive, loops=drive.loops)
        yield from _walk(drive.value, way, body)
        target = _Way(
            "index",
            drive.scope,
            drive.process,
            drive,
            loops=drive.loops,
            array=drive.signal,
            write_index=True,
        )
        for step in drive.steps:
            for expr in (step.expr, step.right):
                if expr is not None:
                    yield from _walk(expr, target, body)
    for expr, scope, process, loops in body.reads:
        yield from _walk(expr, _Way("guard", scope, process, loops=loops), body)
    for child in body.children:
        for port, connection in child.connections.items():
            if connection.value is None:
                continue
            direction = _direction(child, port)
            if direction == "output":
                for _, actual in actuals(connection.value):
                    yield from _indices_of_output(actual, child, port, body)
                continue
            yield from _walk(
                connection.value, _Way("connection", child.scope, None, child=child, port=port), body
            )


def _direction(child: Child, port: str) -> str:
    if child.unit is None:
        return ""
    return next((one.direction for one in child.unit.ports if one.name == port), "")


def _indices_of_output(expr: Expr, child: Child, port: str, body: Body) -> Iterator[Use]:
    found = resolve(expr, child.scope, body)
    if found is None:
        return
    way = _Way("index", child.scope, None, child=child, port=port, array=found[0])
    for step in found[1]:
        for index in (step.expr, step.right):
            if index is not None:
                yield from _walk(index, way, body)


def _walk(expr: Expr, way: _Way, body: Body) -> Iterator[Use]:
    match expr:
        case Name() | Index() | Slice() | Member():
            yield from _selected(expr, way, body)
        case Concat(parts=parts):
            for part in parts:
                yield from _walk(part, way, body)
        case Replicate(parts=parts):
            for part in parts:
                yield from _walk(part, way, body)
        case Cast(target=target, value=value):
            yield from _walk(value, way, body)
            if not isinstance(target, DataType):
                yield from _walk(target, way.through("a cast", expr.span), body)
        case Conditional(condition=condition, then=then, otherwise=otherwise):
            decided = way.scope.evaluate(condition)
            if isinstance(decided, Int):
                yield from _walk(then if decided.value else otherwise, way, body)
                return
            yield from _walk(condition, way.through("a condition", condition.span), body)
            yield from _walk(then, way.beside(otherwise), body)
            yield from _walk(otherwise, way.beside(then), body)
        case Unary(op=op, operand=operand):
            yield from _walk(operand, way.through(f"`{op}`", expr.span), body)
        case Binary(op=op, left=left, right=right):
            inner = way.through(f"`{op}`", expr.span)
            yield from _walk(left, inner, body)
            yield from _walk(right, inner, body)
        case Call():
            yield from _called(expr, way, body)
        case Pattern(items=items):
            for _, value in items:
                yield from _walk(value, way, body)
        case Inside(value=value, choices=choices):
            inner = way.through("`inside`", expr.span)
            for one in (value, *choices):
                yield from _walk(one, inner, body)
        case Attribute(prefix=prefix, name=name) if name in ("event", "stable", "last_value", "active"):
            yield from _walk(prefix, way.through(f"'{name}", expr.span), body)
        case Unsupported(what=what, names=names):
            body.unread.append(Unread(what, names, expr.span, way.scope))
            for name in names:
                found = resolve(Name(name, span=expr.span), way.scope, body)
                if found is not None:
                    yield _use(found[0], (), way.through(what, expr.span), expr.span)


def _use(signal: Signal, steps: tuple[SelectStep, ...], way: _Way, span: Span) -> Use:
    return Use(
        signal,
        steps,
        way.kind,
        way.scope,
        span,
        way.process,
        way.logic,
        way.logic_span,
        way.drive,
        way.array,
        way.write_index,
        way.child,
        way.port,
        way.loops,
        way.others,
    )


def _selected(expr: Expr, way: _Way, body: Body) -> Iterator[Use]:
    """A name with selects: one use of the signal, and one of each signal in its selects."""
    found = resolve(expr, way.scope, body)
    if found is None:
        if is_far(expr, way.scope):
            far = _use(elsewhere(expr, way.scope), (), way, expr.span)
            body.elsewhere.append((expr, far))
        for part in _parts(expr):
            yield from _walk(part, way.through("a select", expr.span), body)
        return
    signal, steps = found
    yield _use(signal, steps, way, expr.span)
    inner = way.indexing(signal)
    for step in steps:
        for index in (step.expr, step.right):
            if index is not None:
                yield from _walk(index, inner, body)


def _parts(expr: Expr) -> Iterator[Expr]:
    match expr:
        case Index(base=base, index=index):
            yield base
            yield index
        case Slice(base=base, left=left, right=right):
            yield base
            yield left
            yield right
        case Member(base=base) if not isinstance(base, Name):
            yield base


def _called(expr: Call, way: _Way, body: Body) -> Iterator[Use]:
    called = method(expr.function, len(expr.arguments), way.scope, body)
    if called is None and way.scope.language == "vhdl":
        found = resolve(expr, way.scope, body)
        if found is not None:
            signal, steps = found
            yield _use(signal, steps, way, expr.span)
            inner = way.indexing(signal)
            for step in steps:
                for index in (step.expr, step.right):
                    if index is not None:
                        yield from _walk(index, inner, body)
            return
    name = _function_name(expr)
    arguments = (*expr.arguments, *(value for _, value in expr.named))
    if name in CONVERSIONS or name.rpartition(".")[2] in CONVERSIONS:
        for at, argument in enumerate(arguments):
            yield from _walk(argument, way if at == 0 else way.through(f"`{name}`", expr.span), body)
        return
    named = _only_value(expr, way, called)
    if named is not None:
        # A function that only names an expression is a wire around it.
        yield from _walk(named, replace(way, depth=way.depth + 1), body)
        return
    for argument in arguments:
        yield from _walk(argument, way.through(f"a call of `{name}`", expr.span), body)
    if called is not None:
        yield from _inside_method(expr, name, called, way, body)
    else:
        yield from _inside_function(expr, name, way, body)


def _only_value(expr: Call, way: _Way, called: Method | None) -> Expr | None:
    """The value of a function whose whole body is one result, its formals replaced by the actuals."""
    if way.depth > _DEEPEST_FUNCTION:
        return None
    if called is not None:
        subprogram = called.subprogram
    elif isinstance(expr.function, Name):
        meaning = way.scope.lookup(expr.function.name)
        if not isinstance(meaning, SubprogramMeaning) or len(meaning.subprograms) != 1:
            return None
        subprogram = meaning.subprograms[0]
    else:
        return None
    body = subprogram.body
    if isinstance(body, Block) and len(body.statements) == 1 and not body.items and not subprogram.items:
        body = body.statements[0]
    value: Expr | None = None
    result = Name(subprogram.name, span=expr.span)
    if isinstance(body, Return) or (isinstance(body, Assign) and body.target == result):
        value = body.value
    if value is None or len(expr.arguments) > len(subprogram.arguments):
        return None
    names = called.names if called is not None else {}
    return substitute(value, {**names, **_actuals(subprogram, expr)})


def _actuals(subprogram: Subprogram, expr: Call) -> dict[str, Expr]:
    pairs = zip(subprogram.arguments, expr.arguments, strict=False)
    return {**{formal.name: actual for formal, actual in pairs}, **dict(expr.named)}


def _function_name(expr: Call) -> str:
    match expr.function:
        case Name(name=name):
            return name
        case Scoped(scope=scope, name=name):
            return f"{scope}.{name}"
        case Member(name=name):
            return name
        case _:
            return "a function"


def _inside_function(expr: Call, name: str, way: _Way, body: Body) -> Iterator[Use]:
    """Uses of the body's own signals inside a function it calls (an array read by a function)."""
    if way.depth > _DEEPEST_FUNCTION or not isinstance(expr.function, Name):
        return
    meaning = way.scope.lookup(expr.function.name)
    if not isinstance(meaning, SubprogramMeaning) or meaning.scope is not body.scope:
        return
    subprogram = meaning.subprograms[0]
    if subprogram.body is None:
        return
    actuals = _actuals(subprogram, expr)
    inner = way.through(f"a call of `{name}`", expr.span).inside(way.scope)
    for value in _expressions(substitute(subprogram.body, actuals)):
        for use in _walk(value, inner, body):
            meaning_here = way.scope.lookup(use.signal.item.name)
            if isinstance(meaning_here, SignalMeaning | ConstantMeaning):
                yield use


def _inside_method(expr: Call, name: str, called: Method, way: _Way, body: Body) -> Iterator[Use]:
    """Uses of an object inside a method of it."""
    if way.depth > _DEEPEST_FUNCTION or called.subprogram.body is None:
        return
    inner = way.through(f"a call of `{name}`", expr.span).inside(way.scope)
    actuals = {**called.names, **_actuals(called.subprogram, expr)}
    for value in _expressions(substitute(called.subprogram.body, actuals)):
        for use in _walk(value, inner, body):
            if use.signal is called.owner:
                yield use


def _expressions(node: object) -> Iterator[Expr]:
    """The expressions of a statement tree that are read."""
    if isinstance(node, Assign):
        yield node.value
        return
    if isinstance(node, tuple):
        for one in node:
            yield from _expressions(one)
        return
    if isinstance(node, Name | Index | Slice | Member | Call | Binary | Unary | Conditional | Concat):
        yield node
        return
    if is_dataclass(node) and not isinstance(node, Span):
        for one in fields(node):
            yield from _expressions(getattr(node, one.name))
