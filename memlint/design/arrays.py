"""Which signals are arrays, and the accesses of one: where it is written and read, by what index."""

from __future__ import annotations

from dataclasses import dataclass, field

from memlint.design.body import Body, Drive, LoopVariable, SelectStep, Signal
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.substitute import simple_names as simple_names
from memlint.design.types import Array, Bound, Enum, Struct, Vector, bits
from memlint.design.uses import Use, uses
from memlint.design.values import Int, Unknown
from memlint.design.variables import At, inlined, inlined_steps
from memlint.reading.facts.expressions import Expr, Name
from memlint.reading.facts.items import Parameter, Variable
from memlint.text.source import Span


@dataclass(frozen=True, slots=True)
class ArrayShape:
    """The dimensions an array is indexed by (outermost first) and the bits of a word.

    `packed` tells a packed array of two or more dimensions from an unpacked one. `of_structs` marks one
    dimension of packed structs, which is listed but is no memory.
    """

    dimensions: tuple[Bound, ...]
    width: int | Unknown
    packed: bool
    of_structs: bool = False


@dataclass(frozen=True, slots=True)
class Write:
    """A word written: its drive, one index per dimension, and the steps into the word.

    In `indices` and `inner` variables of the process stand replaced by their values; `shown` are the
    indices as written.
    """

    drive: Drive
    indices: tuple[Expr, ...]
    inner: tuple[SelectStep, ...]
    scope: Scope
    loops: tuple[LoopVariable, ...]
    shown: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Read:
    """A word read: the use, one index per dimension, and the steps into the word; see `Write`."""

    use: Use
    indices: tuple[Expr, ...]
    inner: tuple[SelectStep, ...]
    shown: tuple[Expr, ...]


@dataclass(eq=False, slots=True)
class ArrayFacts:
    """All accesses of one array of a body. `whole_*` touch it without an index for every dimension."""

    signal: Signal
    shape: ArrayShape
    writes: list[Write] = field(default_factory=list)
    reads: list[Read] = field(default_factory=list)
    whole_writes: list[Drive] = field(default_factory=list)
    whole_reads: list[Use] = field(default_factory=list)
    initial: list[Drive] = field(default_factory=list)


def array_shape(signal: Signal) -> ArrayShape | None:
    """The shape of an array, None for anything that is none (a vector, a scalar, a queue)."""
    kind = signal.type
    dimensions: list[Bound] = []
    while isinstance(kind, Array):
        dimensions.append(kind.range)
        kind = kind.element
    if dimensions:
        return ArrayShape(tuple(dimensions), bits(kind), False)
    if not isinstance(kind, Vector):
        return None
    if kind.element is not None and isinstance(kind.element, Struct | Enum) and kind.dimensions:
        if isinstance(kind.element, Enum):
            return None
        return ArrayShape(kind.dimensions, bits(kind.element), True, len(kind.dimensions) == 1)
    if len(kind.dimensions) < 2:
        return None
    word = Vector((kind.dimensions[-1],), element=kind.element)
    return ArrayShape(kind.dimensions[:-1], bits(word), True)


def arrays(body: Body) -> list[ArrayFacts]:
    """Every array of a body with its accesses, in the order of declaration."""
    found: list[ArrayFacts] = []
    for signal in body.signals.values():
        shape = array_shape(signal) if signal.name not in body.interface_ports else None
        if shape is not None:
            found.append(_accesses(signal, shape, body))
    return found


def _accesses(signal: Signal, shape: ArrayShape, body: Body) -> ArrayFacts:
    facts = ArrayFacts(signal, shape)
    count = len(shape.dimensions)
    for drive in signal.drives:
        if drive.initial:
            facts.initial.append(drive)
            continue
        indices = leading_indices(drive.steps, count)
        if indices is None:
            facts.whole_writes.append(drive)
        else:
            at = At(body, drive.scope, drive.process, drive.order, drive.guards, drive.loops)
            inner = inlined_steps(drive.steps[count:], at)
            plain = tuple(inlined(index, at) for index in indices)
            facts.writes.append(Write(drive, plain, inner, drive.scope, drive.loops, indices))
    for use in uses(body).get(signal, []):
        indices = leading_indices(use.steps, count)
        if indices is None:
            facts.whole_reads.append(use)
        else:
            order = use.drive.order if use.drive is not None else None
            guards = use.drive.guards if use.drive is not None else None
            at = At(body, use.scope, use.process, order, guards, use.loops)
            plain = tuple(inlined(index, at) for index in indices)
            facts.reads.append(Read(use, plain, use.steps[count:], indices))
    return facts


def leading_indices(steps: tuple[SelectStep, ...], count: int) -> tuple[Expr, ...] | None:
    """One index for each of the first `count` dimensions; None when some dimension has none."""
    if len(steps) < count:
        return None
    indices: list[Expr] = []
    for step in steps[:count]:
        if step.kind != "index" or step.expr is None:
            return None
        indices.append(step.expr)
    return tuple(indices)


def is_dynamic(expr: Expr, scope: Scope, loops: tuple[LoopVariable, ...], body: Body) -> bool:
    """Whether an index depends on a signal: not on constants, generate and loop variables alone."""
    loop_names = {loop.name for loop in loops}
    for name in simple_names(expr):
        if name in loop_names:
            continue
        found = resolve(Name(name, span=_NOWHERE), scope, body)
        if found is None:
            # `u_sub.count`: a signal of an instance, reached by its path.
            if any(child.instance.name == name for child in body.children):
                return True
            continue
        item = found[0].item
        if isinstance(item, Parameter) or (isinstance(item, Variable) and item.kind == "constant"):
            continue
        return True
    return False


def mentions_loop(expr: Expr, loops: tuple[LoopVariable, ...]) -> tuple[str, ...]:
    """The loop variables an expression uses."""
    names = set(simple_names(expr))
    return tuple(loop.name for loop in loops if loop.name in names)


def constant_index(expr: Expr, scope: Scope) -> int | None:
    """The value of a constant index, None when it is none or cannot be known."""
    value = scope.evaluate(expr)
    return value.value if isinstance(value, Int) else None


_NOWHERE = Span("", 0, 0)
