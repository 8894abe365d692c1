"""The body of a unit for one set of parameter values: its signals, what drives them, its children.

Instances with equal parameters share a body; whatever depends on the place in the hierarchy (clocks,
where a word ends up) is found later, from nodes that point at bodies.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from memlint.design.scope import Scope
from memlint.design.types import AnyType, Array, Unconstrained
from memlint.design.values import ArrayValue, Unknown, Value
from memlint.reading.facts.expressions import Binary, Expr
from memlint.reading.facts.items import (
    AttributeSpec,
    Connection,
    Instance,
    Parameter,
    Port,
    Problem,
    Unit,
    Variable,
)
from memlint.reading.intent.clauses import Intent
from memlint.text.source import Span

if TYPE_CHECKING:
    from memlint.design.arrays import ArrayFacts
    from memlint.design.uses import Use


@dataclass(eq=False, slots=True)
class Signal:
    """A declared object: port, net, variable or signal.

    `name` is its path inside the body, generate blocks included (`gen[0].mem`). Compared by identity.
    A constant array is one too, since it may be a ROM.
    """

    name: str
    item: Port | Variable | Parameter
    scope: Scope
    direction: str = ""
    drives: list[Drive] = field(default_factory=list)

    @property
    def type(self) -> AnyType:
        item = self.item
        if isinstance(item, Parameter) or (isinstance(item, Variable) and item.kind == "constant"):
            declared = self.scope.constant_type(item.name) or Unknown(f"`{item.name}` has no type")
            return self._bounded(declared) if isinstance(declared, Unconstrained) else declared
        return self.scope.own_type(item.name)

    def _bounded(self, declared: Unconstrained) -> AnyType:
        """A constant of an unconstrained type has the bounds of its value (IEEE Std 1076-2008, 5.3.2.2)."""
        value = self.scope.own_value(self.item.name)
        if isinstance(value, ArrayValue):
            return value.type or Array(value.range, declared.element, declared.name, declared.index)
        if isinstance(value, Unknown) and declared.vector is None:
            return Array(value, declared.element, declared.name, declared.index)
        return declared


@dataclass(frozen=True, slots=True)
class ClockTerm:
    """A clock as a process names it: the expression, its edge, and the scope its names are meant in."""

    signal: Expr
    edge: str
    scope: Scope = field(compare=False, repr=False)
    span: Span = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Guard:
    """One branch taken on the way to a statement: `branch` of the `if` or `case` at `at`.

    `condition` is the branch's condition (a case's subject); `site` is unique to the statement. kind: `if`
    (branch 0 where the condition holds, else 1) or `case`.
    """

    site: int
    branch: int
    condition: Expr
    scope: Scope = field(compare=False, repr=False)
    kind: str = "if"


@dataclass(frozen=True, slots=True)
class LoopVariable:
    """A loop variable in force at a statement; `values` None when the loop cannot be counted."""

    name: str
    values: tuple[int, ...] | None


@dataclass(frozen=True, slots=True)
class SelectStep:
    """One step from an object into a part of it: kind `index`, `slice` or `field`."""

    kind: str
    expr: Expr | None
    right: Expr | None = None
    slice_kind: str = ""
    name: str = ""


@dataclass(eq=False, slots=True)
class ProcessFacts:
    """Where a drive stands: kind `assign`, `clocked`, `combinational`, `latch` or `initial`."""

    kind: str
    span: Span
    blocking_names: frozenset[str] = frozenset()


@dataclass(eq=False, slots=True)
class Drive:
    """One assignment to a signal or a part of it.

    `clock` None outside clocked code. `reset` marks what an asynchronous reset assigns. `verification`
    marks what only simulation does. `loops` are the loop variables its expressions may use.
    """

    signal: Signal
    steps: tuple[SelectStep, ...]
    value: Expr
    scope: Scope
    process: ProcessFacts
    span: Span
    clock: ClockTerm | None = None
    guards: tuple[Guard, ...] = ()
    loops: tuple[LoopVariable, ...] = ()
    blocking: bool = False
    reset: bool = False
    order: int = 0
    part: tuple[int, int] | None = None

    @property
    def initial(self) -> bool:
        return self.process.kind == "initial"


@dataclass(eq=False, slots=True)
class Child:
    """An instance inside a body. `overrides` are the evaluated parameter values by name."""

    name: str
    instance: Instance
    scope: Scope
    unit: Unit | None
    architecture: Unit | None
    parameters: tuple[tuple[str, Value], ...]
    overridden: tuple[tuple[str, Span], ...]
    connections: dict[str, Connection]
    deep: tuple[tuple[tuple[str, ...], Value], ...] = ()
    port_types: tuple[tuple[str, AnyType], ...] = ()
    interfaces: tuple[tuple[str, Scope], ...] = ()


@dataclass(eq=False, slots=True)
class Contents:
    """Given contents of an array: `zero` or `given`, and where."""

    signal: Signal
    kind: str
    span: Span


@dataclass(frozen=True, slots=True)
class Unread:
    """A construct that was not read and the names in it."""

    what: str
    names: tuple[str, ...]
    span: Span
    scope: Scope = field(compare=False, repr=False)


@dataclass(eq=False, slots=True)
class Body:
    """A unit's elaborated body. `signals` by local path; `of` finds a signal by scope and name.

    `uses`, `arrays` and `equalities` are kept here by those who find them, on first question.
    `elsewhere` are accesses by names that mean nothing in the body: hierarchical ones, maybe.
    `again` is there while the unit has moved and all but `unit` still tells the places of before; called, it
    makes the body anew, in this very object.
    """

    unit: Unit
    scope: Scope
    language: str
    signals: dict[str, Signal] = field(default_factory=dict)
    of: dict[tuple[int, str], Signal] = field(default_factory=dict)
    drives: list[Drive] = field(default_factory=list)
    children: list[Child] = field(default_factory=list)
    contents: list[Contents] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    limits: list[Problem] = field(default_factory=list)
    reads: list[tuple[Expr, Scope, ProcessFacts, tuple[LoopVariable, ...]]] = field(default_factory=list)
    intents: list[Intent] = field(default_factory=list)
    interface_ports: dict[str, Port] = field(default_factory=dict)
    interface_instances: dict[str, Signal] = field(default_factory=dict)
    uses: dict[Signal, list[Use]] | None = None
    arrays: dict[tuple[Signal, tuple[str | None, ...], frozenset[str]], ArrayFacts] = field(
        default_factory=dict
    )
    equalities: list[tuple[Binary, Scope, tuple[LoopVariable, ...]]] | None = None
    elsewhere: list[tuple[Expr, Drive | Use]] = field(default_factory=list)
    attribute_specs: list[tuple[AttributeSpec, Scope]] = field(default_factory=list)
    again: Callable[[], None] | None = None


Parameters: TypeAlias = "tuple[tuple[str, Value], ...]"
_SIMPLE = re.compile(r"[^\W\d][\w$]*\Z|\\")


def path_name(name: str) -> str:
    """A name as it stands in a path: an escaped one keeps its backslash (IEEE Std 1800-2017, 5.6.1)."""
    return name if _SIMPLE.match(name) else f"\\{name.lstrip(chr(92))}"
