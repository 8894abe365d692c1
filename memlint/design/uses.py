"""Where signals are read: every use in a body, with what stands between it and what it feeds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from memlint.design.body import Body, Child, Drive, LoopVariable, ProcessFacts, SelectStep, Signal, Unread
from memlint.design.contents import depends_on_signal
from memlint.design.methods import Method, method
from memlint.design.parts import actuals, port_directions
from memlint.design.scope import ConstantMeaning, Scope, SignalMeaning, SubprogramMeaning
from memlint.design.signals import elsewhere, is_far, resolve
from memlint.design.substitute import substitute
from memlint.design.values import Int
from memlint.reading.collection import paused
from memlint.reading.facts.children import children
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
    Number,
    Pattern,
    Replicate,
    Scoped,
    Slice,
    String,
    Unary,
    Unsupported,
)
from memlint.reading.facts.items import Subprogram
from memlint.reading.facts.statements import Assign, Block, Return
from memlint.text.nodes import node
from memlint.text.source import Span

_DEEPEST_FUNCTION = 6
# Conversions that only rename bits.
CONVERSIONS = frozenset(
    """$signed $unsigned signed unsigned std_logic_vector std_ulogic_vector to_integer to_unsigned to_signed
    to_stdlogicvector to_std_logic_vector to_slv to_bitvector to_stdulogicvector conv_integer conv_unsigned
    conv_std_logic_vector to_01 to_x01 to_ux01 integer natural positive resize bit_vector std_logic
    std_ulogic""".split()
)


@node(frozen=True, slots=True)
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


@node(frozen=True, slots=True)
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
        if self.logic:
            return self
        return _Way(
            self.kind,
            self.scope,
            self.process,
            self.drive,
            self.child,
            self.port,
            self.loops,
            logic,
            span,
            self.array,
            self.others,
            self.depth,
            self.write_index,
        )

    def beside(self, other: Expr) -> _Way:
        return replace(self, others=(*self.others, other))

    def indexing(self, array: Signal | None) -> _Way:
        return _Way(
            "index",
            self.scope,
            self.process,
            self.drive,
            self.child,
            self.port,
            self.loops,
            array=array,
            depth=self.depth,
        )

    def inside(self, scope: Scope) -> _Way:
        return replace(self, scope=scope, depth=self.depth + 1)


def uses(body: Body) -> dict[Signal, list[Use]]:
    """All uses of the signals of a body, made on first call and kept with it."""
    if body.uses is None:
        found: dict[Signal, list[Use]] = {}
        with paused():
            for use in _all(body):
                found.setdefault(use.signal, []).append(use)
        body.uses = found
    return body.uses


def _all(body: Body) -> list[Use]:
    found: list[Use] = []
    for drive in body.drives:
        if drive.process.kind == "initial":
            continue
        way = _Way("value", drive.scope, drive.process, drive, loops=drive.loops)
        _walk(drive.value, way, body, found)
        if not drive.steps:
            continue
        target = _Way(
            "index",
            drive.scope,
            drive.process,
            drive,
            loops=drive.loops,
            array=drive.signal,
            write_index=True,
        )
        _indices(drive.steps, target, body, found)
    for expr, scope, process, loops in body.reads:
        _walk(expr, _Way("guard", scope, process, loops=loops), body, found)
    directions: dict[int, dict[str, str]] = {}
    for child in body.children:
        ports = directions.get(id(child.unit))
        if ports is None:
            ports = port_directions(child.unit) if child.unit is not None else {}
            directions[id(child.unit)] = ports
        for port, connection in child.connections.items():
            if connection.value is None:
                continue
            if ports.get(port) == "output":
                for _, actual in actuals(connection.value):
                    _indices_of_output(actual, child, port, body, found)
                continue
            way = _Way("connection", child.scope, None, child=child, port=port)
            _walk(connection.value, way, body, found)
    return found


def _indices_of_output(expr: Expr, child: Child, port: str, body: Body, found: list[Use]) -> None:
    resolved = resolve(expr, child.scope, body)
    if resolved is not None:
        way = _Way("index", child.scope, None, child=child, port=port, array=resolved[0])
        _indices(resolved[1], way, body, found)


def _indices(steps: tuple[SelectStep, ...], way: _Way, body: Body, found: list[Use]) -> None:
    """Uses in the expressions of selects."""
    for step in steps:
        if step.expr is not None:
            _walk(step.expr, way, body, found)
        if step.right is not None:
            _walk(step.right, way, body, found)


def _walk(expr: Expr, way: _Way, body: Body, found: list[Use]) -> None:
    """Notes the uses in an expression, in the order of the source."""
    match expr:
        case Name() | Index() | Slice() | Member():
            _selected(expr, way, body, found)
        case Number() | String():
            return
        case Binary(op=op, left=left, right=right):
            inner = way if way.logic else way.through(f"`{op}`", expr.span)
            _walk(left, inner, body, found)
            _walk(right, inner, body, found)
        case Unary(op=op, operand=operand):
            _walk(operand, way.through(f"`{op}`", expr.span), body, found)
        case Concat(parts=parts) | Replicate(parts=parts):
            for part in parts:
                _walk(part, way, body, found)
        case Conditional():
            _conditional(expr, way, body, found)
        case Call():
            _called(expr, way, body, found)
        case Cast(target=target, value=value):
            _walk(value, way, body, found)
            if not isinstance(target, DataType):
                _walk(target, way.through("a cast", expr.span), body, found)
        case Pattern(items=items):
            for _, value in items:
                _walk(value, way, body, found)
        case Inside(value=value, choices=choices):
            inner = way.through("`inside`", expr.span)
            for one in (value, *choices):
                _walk(one, inner, body, found)
        case Attribute(prefix=prefix, name=name) if name in ("event", "stable", "last_value", "active"):
            _walk(prefix, way.through(f"'{name}", expr.span), body, found)
        case Unsupported(what=what, names=names):
            body.unread.append(Unread(what, names, expr.span, way.scope))
            for name in names:
                resolved = resolve(Name(name, span=expr.span), way.scope, body)
                if resolved is not None:
                    found.append(_use(resolved[0], (), way.through(what, expr.span), expr.span))


def _conditional(expr: Conditional, way: _Way, body: Body, found: list[Use]) -> None:
    condition = expr.condition
    if not depends_on_signal(condition, way.scope):
        decided = way.scope.evaluate(condition)
        if isinstance(decided, Int):
            _walk(expr.then if decided.value else expr.otherwise, way, body, found)
            return
    _walk(condition, way.through("a condition", condition.span), body, found)
    _walk(expr.then, way.beside(expr.otherwise), body, found)
    _walk(expr.otherwise, way.beside(expr.then), body, found)


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


def _selected(expr: Expr, way: _Way, body: Body, found: list[Use]) -> None:
    """A name with selects: one use of the signal, and one of each signal in its selects."""
    resolved = resolve(expr, way.scope, body)
    if resolved is not None:
        _of_signal(resolved, expr, way, body, found)
        return
    if isinstance(expr, Name):
        return
    if is_far(expr, way.scope):
        far = _use(elsewhere(expr, way.scope), (), way, expr.span)
        body.elsewhere.append((expr, far))
    for part in _parts(expr):
        _walk(part, way.through("a select", expr.span), body, found)


def _of_signal(
    resolved: tuple[Signal, tuple[SelectStep, ...]], expr: Expr, way: _Way, body: Body, found: list[Use]
) -> None:
    signal, steps = resolved
    found.append(_use(signal, steps, way, expr.span))
    if steps:
        _indices(steps, way.indexing(signal), body, found)


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


def _called(expr: Call, way: _Way, body: Body, found: list[Use]) -> None:
    called = method(expr.function, len(expr.arguments), way.scope, body)
    if called is None and way.scope.language == "vhdl":
        resolved = resolve(expr, way.scope, body)
        if resolved is not None:
            _of_signal(resolved, expr, way, body, found)
            return
    name = _function_name(expr)
    arguments = (*expr.arguments, *(value for _, value in expr.named))
    if name in CONVERSIONS or name.rpartition(".")[2] in CONVERSIONS:
        for at, argument in enumerate(arguments):
            _walk(argument, way if at == 0 else way.through(f"`{name}`", expr.span), body, found)
        return
    named = _only_value(expr, way, called)
    if named is not None:
        # A function that only names an expression is a wire around it.
        _walk(named, replace(way, depth=way.depth + 1), body, found)
        return
    for argument in arguments:
        _walk(argument, way.through(f"a call of `{name}`", expr.span), body, found)
    if called is not None:
        _inside_method(expr, name, called, way, body, found)
    else:
        _inside_function(expr, name, way, body, found)


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


def _inside_function(expr: Call, name: str, way: _Way, body: Body, found: list[Use]) -> None:
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
    every: list[Use] = []
    for value in _expressions(substitute(subprogram.body, actuals)):
        _walk(value, inner, body, every)
    for use in every:
        meaning_here = way.scope.lookup(use.signal.item.name)
        if isinstance(meaning_here, SignalMeaning | ConstantMeaning):
            found.append(use)


def _inside_method(
    expr: Call, name: str, called: Method, way: _Way, body: Body, found: list[Use]
) -> None:
    """Uses of an object inside a method of it."""
    if way.depth > _DEEPEST_FUNCTION or called.subprogram.body is None:
        return
    inner = way.through(f"a call of `{name}`", expr.span).inside(way.scope)
    actuals = {**called.names, **_actuals(called.subprogram, expr)}
    every: list[Use] = []
    for value in _expressions(substitute(called.subprogram.body, actuals)):
        _walk(value, inner, body, every)
    found.extend(use for use in every if use.signal is called.owner)


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
    inner = children(node)
    if inner is not None:
        yield from _expressions(inner(node))
