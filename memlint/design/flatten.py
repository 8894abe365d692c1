"""Processes → drives: every assignment with its clock, its guards and its loops."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from itertools import count

from memlint.design.body import (
    Body,
    ClockTerm,
    Contents,
    Drive,
    Guard,
    LoopVariable,
    ProcessFacts,
    Signal,
    Unread,
)
from memlint.design.contents import is_zero
from memlint.design.edges import clock_of_events, edge_condition, waited_edge
from memlint.design.loops import loop_values
from memlint.design.methods import method
from memlint.design.scope import Scope, SubprogramMeaning
from memlint.design.signals import elsewhere, far_targets, not_understood, resolve, targets
from memlint.design.simulation import CONTENT_TASKS, only_verifies, simulated
from memlint.design.substitute import simple_names, substitute
from memlint.design.values import Int
from memlint.reading.facts.expressions import Binary, Call, Expr, Member, Name, Number, Scoped, Unary
from memlint.reading.facts.items import AttributeSpec, Item, Process, Subprogram, Variable
from memlint.reading.facts.statements import (
    Assign,
    Block,
    CallStatement,
    Case,
    CaseArm,
    Event,
    Exit,
    For,
    If,
    Loop,
    Return,
    SkippedStatement,
    Statement,
    Timed,
)
from memlint.text.source import Span

_DEEPEST_CALL = 12
# Calls looked into per body: synthesizable code has a few, a test bench's loggers call one another.
_MOST_INLINED = 500


class Keeps(Enum):
    """What variables of a declarative part hold from one run of it to the next."""

    ITS_VALUE = "a process's: what they were given last, at first their initial values"
    NOTHING = "a block's or a subprogram's: they begin anew"


@dataclass(frozen=True, slots=True)
class Context:
    """Where a statement stands."""

    scope: Scope
    process: ProcessFacts
    clock: ClockTerm | None = None
    guards: tuple[Guard, ...] = ()
    loops: tuple[LoopVariable, ...] = ()
    calls: int = 0


class Flattener:
    """Adds the drives of processes to a body; numbers sites and drives."""

    def __init__(self, body: Body) -> None:
        self.body = body
        self.sites = count()
        self.orders = count()
        self.inlined = 0
        self.processes = 0

    def process(self, item: Process, scope: Scope, prefix: str) -> None:
        if item.kind == "final":
            return
        inner = self._locals(item.items, scope, self._inside(item, prefix), item.label, Keeps.ITS_VALUE)
        clock: ClockTerm | None = None
        kind = "combinational"
        if item.kind == "initial":
            kind = "initial"
        elif item.kind == "process":
            clock = _waited_clock(item.body, inner)
        elif item.kind not in ("always_comb", "always_latch"):
            events = item.events
            if not events and isinstance(item.body, Timed | Block):
                clock = _waited_clock(item.body, inner)
            clock = clock or clock_of_events(events, item.body, inner)
        if clock is not None:
            kind = "clocked"
        elif any(event.edge for event in item.events):
            kind = "unclear"
        elif item.kind == "always_latch":
            kind = "latch"
        facts = ProcessFacts(kind, item.span)
        first = len(self.body.drives)
        self.statement(item.body, Context(inner, facts, clock), prefix)
        self._finish(self.body.drives[first:], facts, item)

    def _finish(self, drives: list[Drive], facts: ProcessFacts, item: Process) -> None:
        """What only the whole process shows: resets beside clocked code, latches."""
        clocked = [drive.clock for drive in drives if drive.clock is not None]
        if facts.kind == "combinational" and clocked:
            facts.kind = "clocked"
            for drive in drives:
                if drive.clock is None:
                    # Outside the edge condition of a clocked process only an asynchronous reset assigns.
                    drive.reset = True
                    drive.clock = clocked[0]
        if facts.kind == "clocked" and sum(bool(event.edge) for event in item.events) > 1:
            self._mark_resets(drives, item)

    def _mark_resets(self, drives: list[Drive], item: Process) -> None:
        """In `@(posedge c or negedge r)` the first branch, which tests r, is the reset."""
        edges = {_text(event.signal) for event in item.events if event.edge}
        for drive in drives:
            if not drive.guards:
                continue
            first = drive.guards[0]
            if first.branch == 0 and _mentions(first.condition, edges):
                drive.reset = True

    def _inside(self, item: Process, prefix: str) -> str:
        """The path of what a process declares: under its label, or its number where a name is taken."""
        self.processes += 1
        if item.label:
            return f"{prefix}{item.label}."
        names = (one.name for one in item.items if isinstance(one, Variable))
        taken = any(f"{prefix}{name}" in self.body.signals for name in names)
        return f"{prefix}process{self.processes}." if taken else prefix

    def _locals(
        self, items: tuple[Item, ...], scope: Scope, prefix: str, label: str, keeps: Keeps
    ) -> Scope:
        if not items:
            return scope
        inner = Scope(scope.language, scope, scope.packages, f"{scope.name}.{label}" if label else scope.name)
        inner.add_all(items)
        for one in items:
            if isinstance(one, AttributeSpec):
                self.body.attribute_specs.append((one, inner))
            if isinstance(one, Variable) and one.kind != "genvar":
                signal = Signal(prefix + one.name, one, inner)
                self.body.signals.setdefault(signal.name, signal)
                self.body.of[id(inner), one.name] = signal
                if one.initial is not None and (one.kind == "constant" or keeps is Keeps.ITS_VALUE):
                    zero = one.kind != "constant" and is_zero(one.initial, inner)
                    self.body.contents.append(Contents(signal, "zero" if zero else "given", one.statement))
        return inner

    # --- statements ---

    def statement(self, node: Statement, at: Context, prefix: str) -> None:
        if isinstance(node, If | Case | Loop) and only_verifies(node):
            # What it looks at decides about nothing in hardware.
            return
        match node:
            case Block(statements=statements, items=items, label=label):
                if items:
                    scope = self._locals(
                        items, at.scope, f"{prefix}{label}." if label else prefix, label, Keeps.NOTHING
                    )
                    at = replace(at, scope=scope)
                for one in statements:
                    self.statement(one, at, prefix)
            case If():
                self._if(node, at, prefix)
            case Case():
                self._case(node, at, prefix)
            case For(variable=variable, body=body):
                values = loop_values(at.scope, node)
                loops = (*at.loops, LoopVariable(variable, values))
                self.statement(body, replace(at, loops=loops), prefix)
            case Loop(condition=condition, body=body):
                if condition is not None:
                    self._read(condition, at)
                self.statement(body, at, prefix)
            case Assign():
                self._assign(node, at)
            case CallStatement(call=call):
                self._call(call, at, prefix, node.span)
            case Timed(events=events, body=body):
                self._timed(events, body, at, prefix)
            case SkippedStatement(what=what, names=names):
                self.body.unread.append(Unread(what, names, node.span, at.scope))
            case Return(value=value):
                if value is not None:
                    self._read(value, at)
            case Exit():
                return

    def _timed(self, events: tuple[Event, ...], body: Statement | None, at: Context, prefix: str) -> None:
        if body is None:
            return
        clock = clock_of_events(events, body, at.scope) if events else None
        self.statement(body, replace(at, clock=clock or at.clock), prefix)

    def _if(self, node: If, at: Context, prefix: str) -> None:
        edge = edge_condition(node.condition, at.scope) if at.scope.language == "vhdl" else None
        decided = _decided(node.condition, at)
        if decided is not None:
            # A parameter chooses: the other branch is not part of this design.
            if decided:
                self.statement(node.then, at, prefix)
            elif node.otherwise is not None:
                self.statement(node.otherwise, at, prefix)
            return
        site = next(self.sites)
        then = _guarded(at, site, 0, node.condition)
        otherwise = _guarded(at, site, 1, node.condition)
        if edge is not None:
            clock, on_then = edge
            # The edge itself is no guard, but an enable and-ed with it is.
            if on_then:
                then = replace(then, clock=clock)
            else:
                otherwise = replace(otherwise, clock=clock)
        else:
            self._read(node.condition, at)
        self.statement(node.then, then, prefix)
        if node.otherwise is not None:
            self.statement(node.otherwise, otherwise, prefix)

    def _case(self, node: Case, at: Context, prefix: str) -> None:
        site = next(self.sites)
        self._read(node.subject, at)
        arms = _possible(node, at)
        for branch, arm in enumerate(arms):
            for choice in arm.choices:
                self._read(choice, at)
            condition: Expr = node.subject
            if arm.choices:
                condition = Binary("==", node.subject, arm.choices[0], span=arm.span)
            self.statement(arm.body, _guarded(at, site, branch, condition, "case"), prefix)

    def _assign(self, node: Assign, at: Context) -> None:
        value = node.value
        if node.op:
            value = Binary(node.op, node.target, node.value, span=node.span)
        for signal, steps, place in targets(node.target, at.scope, self.body):
            drive = Drive(
                signal,
                steps,
                value,
                at.scope,
                at.process,
                node.span,
                at.clock,
                at.guards,
                at.loops,
                node.blocking,
                order=next(self.orders),
                part=place,
            )
            signal.drives.append(drive)
            self.body.drives.append(drive)
        for far in far_targets(node.target, at.scope, self.body):
            drive = Drive(
                elsewhere(far, at.scope),
                (),
                value,
                at.scope,
                at.process,
                node.span,
                at.clock,
                at.guards,
                at.loops,
                node.blocking,
                order=next(self.orders),
            )
            self.body.elsewhere.append((far, drive))
        for part in not_understood(node.target):
            self.body.unread.append(Unread(part.what, part.names, node.span, at.scope))

    def _read(self, expr: Expr, at: Context) -> None:
        if at.process.kind != "initial":
            self.body.reads.append((expr, at.scope, at.process, at.loops))

    def _call(self, call: Call, at: Context, prefix: str, span: Span) -> None:
        function = call.function
        if isinstance(function, Name) and function.name.startswith("$"):
            if function.name in CONTENT_TASKS and len(call.arguments) > 1:
                array = call.arguments[1] if function.name != "$fread" else call.arguments[0]
                found = resolve(array, at.scope, self.body)
                if found is not None:
                    self.body.contents.append(Contents(found[0], "given", span))
            return
        if isinstance(function, Name) and function.name.startswith("`"):
            names = tuple(dict.fromkeys(name for one in call.arguments for name in simple_names(one)))
            what = f"the undefined macro {function.name}"
            self.body.unread.append(Unread(what, names, span, at.scope))
            return
        exhausted = at.calls >= _DEEPEST_CALL or self.inlined >= _MOST_INLINED
        called = method(function, len(call.arguments), at.scope, self.body)
        if called is not None and not exhausted:
            self.inlined += 1
            self._inline(called.subprogram, call, at, prefix, called.names)
            return
        meaning = None
        if isinstance(function, Name):
            meaning = at.scope.lookup(function.name)
        elif isinstance(function, Scoped):
            meaning = at.scope.lookup_in(function.scope, function.name)
        elif isinstance(function, Member) and isinstance(function.base, Name):
            meaning = at.scope.lookup_in(function.base.name, function.name)
        if not isinstance(meaning, SubprogramMeaning) or exhausted:
            for argument in call.arguments:
                self._read(argument, at)
            return
        subprogram = next(
            (one for one in meaning.subprograms if len(one.arguments) >= len(call.arguments)),
            meaning.subprograms[0],
        )
        self.inlined += 1
        self._inline(subprogram, call, at, prefix, {})

    def _inline(
        self, subprogram: Subprogram, call: Call, at: Context, prefix: str, names: dict[str, Expr]
    ) -> None:
        if subprogram.body is None:
            return
        actuals = dict(names)
        for formal, actual in zip(subprogram.arguments, call.arguments, strict=False):
            actuals[formal.name] = actual
        actuals.update(call.named)
        for formal in subprogram.arguments:
            if formal.name not in actuals and formal.initial is not None:
                actuals[formal.name] = formal.initial
        body = substitute(subprogram.body, actuals)
        path = f"{prefix}{subprogram.name}."
        scope = self._locals(subprogram.items, at.scope, path, subprogram.name, Keeps.NOTHING)
        self.statement(body, replace(at, scope=scope, calls=at.calls + 1), prefix)


def _guarded(at: Context, site: int, branch: int, condition: Expr, kind: str = "if") -> Context:
    return replace(at, guards=(*at.guards, Guard(site, branch, condition, at.scope, kind)))


def _possible(node: Case, at: Context) -> tuple[CaseArm, ...]:
    """The arms that can be taken: one where constants decide, all otherwise."""
    if at.loops or _calls_a_function(node.subject):
        return node.arms
    if not isinstance(at.scope.evaluate(node.subject), Int):
        return node.arms
    default: tuple[CaseArm, ...] = ()
    for arm in node.arms:
        if not arm.choices:
            default = (arm,)
            continue
        for choice in arm.choices:
            found = at.scope.evaluate(Binary("==", node.subject, choice, span=choice.span))
            if not isinstance(found, Int):
                return node.arms
            if found.value:
                return (arm,)
    return default


def _calls_a_function(expr: Expr) -> bool:
    """Whether a call stands in an expression, other than of a system function."""
    match expr:
        case Call(function=Name(name=name), arguments=arguments) if name.startswith("$"):
            return any(_calls_a_function(one) for one in arguments)
        case Call():
            return True
        case Binary(left=left, right=right):
            return _calls_a_function(left) or _calls_a_function(right)
        case Unary(operand=operand):
            return _calls_a_function(operand)
        case _:
            return False


def _decided(condition: Expr, at: Context) -> bool | None:
    """What a condition that depends on constants alone comes to; None for any other."""
    if at.loops:
        return simulated(condition) if at.scope.language == "vhdl" else None
    if _calls_a_function(condition):
        # Parameters choose branches by comparing; running the project's functions at every
        # statement costs seconds in a test bench and decides nothing there.
        return simulated(condition) if at.scope.language == "vhdl" else None
    value = at.scope.evaluate(condition)
    if isinstance(value, Int):
        return bool(value.value)
    return simulated(condition) if at.scope.language == "vhdl" else None


def _waited_clock(body: Statement, scope: Scope) -> ClockTerm | None:
    """The clock of a process that waits for an edge instead of listing it."""
    statements = body.statements if isinstance(body, Block) else (body,)
    for one in statements:
        if isinstance(one, Timed) and scope.language == "vhdl":
            clock = waited_edge(one, scope)
            if clock is not None:
                return clock
        if isinstance(one, Timed) and one.events:
            clock = clock_of_events(one.events, one.body or Block((), span=one.span), scope)
            if clock is not None:
                return clock
    return None


def _text(expr: Expr) -> str:
    match expr:
        case Name(name=name):
            return name
        case Member(base=base, name=name):
            return f"{_text(base)}.{name}"
        case _:
            return ""


def _mentions(expr: Expr, names: set[str]) -> bool:
    match expr:
        case Name() | Member():
            return _text(expr) in names
        case Number():
            return False
        case Binary(left=left, right=right):
            return _mentions(left, names) or _mentions(right, names)
        case _:
            operand = getattr(expr, "operand", None)
            return operand is not None and _mentions(operand, names)
