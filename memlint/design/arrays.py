"""The arrays of a body and the accesses of each: where it is written and read, by what index."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from memlint.design.array_shapes import ArrayShape, array_shapes
from memlint.design.body import Body, Drive, LoopVariable, SelectStep, Signal
from memlint.design.scope import Scope
from memlint.design.signals import resolve
from memlint.design.substitute import simple_names as simple_names
from memlint.design.types import Struct, bits
from memlint.design.uses import Use, uses
from memlint.design.values import Int
from memlint.design.variables import At, inlined, inlined_steps
from memlint.reading.facts.expressions import Expr, Name
from memlint.reading.facts.items import Parameter, Variable
from memlint.text.source import Span

if TYPE_CHECKING:
    from memlint.design.hierarchy import Node

_NONE: Mapping[Signal, Sequence[Far]] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Far:
    """An access that stands in another unit than the array: its node, and the steps into the object."""

    node: Node
    steps: tuple[SelectStep, ...]
    access: Drive | Use


@dataclass(frozen=True, slots=True)
class Write:
    """A word written: its drive, one index per dimension, and the steps into the word.

    In `indices` and `inner` variables of the process stand replaced by their values; `shown` are the
    indices as written. `node` is where it stands, None in the array's own unit; `body` is its body there.
    """

    drive: Drive
    indices: tuple[Expr, ...]
    inner: tuple[SelectStep, ...]
    scope: Scope
    loops: tuple[LoopVariable, ...]
    shown: tuple[Expr, ...]
    body: Body
    node: Node | None = None


@dataclass(frozen=True, slots=True)
class Read:
    """A word read: the use, one index per dimension, and the steps into the word; see `Write`."""

    use: Use
    indices: tuple[Expr, ...]
    inner: tuple[SelectStep, ...]
    shown: tuple[Expr, ...]
    body: Body
    node: Node | None = None


@dataclass(eq=False, slots=True)
class ArrayFacts:
    """All accesses of one array of a body. `whole_*` touch it without an index for every dimension.

    Whole accesses from other units are not among them.
    """

    signal: Signal
    shape: ArrayShape
    writes: list[Write] = field(default_factory=list)
    reads: list[Read] = field(default_factory=list)
    whole_writes: list[Drive] = field(default_factory=list)
    whole_reads: list[Use] = field(default_factory=list)
    initial: list[Drive] = field(default_factory=list)

    @property
    def name(self) -> str:
        """Its path inside the body."""
        return f"{self.signal.name}{self.shape.fields}"


def arrays(body: Body, far: Mapping[Signal, Sequence[Far]] = _NONE) -> list[ArrayFacts]:
    """Every array of a body with its accesses, in the order of declaration.

    `far` are the accesses that stand in other units.
    """
    found: list[ArrayFacts] = []
    for signal in body.signals.values():
        if signal.name in body.interface_ports:
            continue
        shapes = array_shapes(signal)
        if shapes:
            found.extend(_chosen(signal, shapes, body, far.get(signal, ())))
    return found


def _chosen(
    signal: Signal, shapes: list[ArrayShape], body: Body, far: Sequence[Far]
) -> Iterator[ArrayFacts]:
    """An array and those inside it: one whose word holds them all, or each on its own.

    An array field that is written word by word has addresses of its own. Written only together with the
    rest of the record, it is a part of the word.
    """
    every = [_accesses(signal, shape, body, far) for shape in shapes]
    inside = [one for one in every if one.shape.fields]
    if len(inside) == len(every):
        yield from _outermost(inside)
        return
    own = every[0]
    apart = [one for one in inside if _addressed(one, own)]
    if not apart:
        yield own
        return
    rest = _without(own.shape, {one.shape.path for one in apart})
    if rest is not None:
        yield _accesses(signal, rest, body, far)
    yield from _outermost(apart)


def _outermost(inside: list[ArrayFacts]) -> Iterator[ArrayFacts]:
    """Of arrays within the words of others, those that have addresses of their own."""
    kept: list[ArrayFacts] = []
    for one in inside:
        around = [other for other in kept if one.shape.path[: len(other.shape.path)] == other.shape.path]
        if not around or _addressed(one, around[-1]):
            kept.append(one)
    yield from kept


def _addressed(one: ArrayFacts, around: ArrayFacts) -> bool:
    """Whether an array inside another's word is written by an index that a signal decides."""
    outer = len(around.shape.dimensions)
    if any(
        is_dynamic(index, write.drive.scope, write.loops, write.body)
        for write in one.writes
        for index in write.indices[outer:]
    ):
        return True
    if any(not write.inner for write in around.writes):
        return False
    return any(
        is_dynamic(index, read.use.scope, read.use.loops, read.body)
        for read in one.reads
        for index in read.indices[outer:]
    )


def _without(shape: ArrayShape, paths: set[tuple[str | None, ...]]) -> ArrayShape | None:
    """The shape of what is left of a word when some of its fields are arrays of their own."""
    word = shape.word
    assert isinstance(word, Struct)
    apart = frozenset(str(path[len(shape.path)]) for path in paths)
    left = tuple(one for one in word.fields if one[0] not in apart)
    if not left:
        return None
    rest = replace(word, fields=left)
    return replace(shape, word=rest, width=bits(rest), apart=apart)


def _accesses(signal: Signal, shape: ArrayShape, body: Body, far: Sequence[Far]) -> ArrayFacts:
    own = _own_accesses(signal, shape, body)
    if not far:
        return own
    facts = ArrayFacts(
        signal,
        shape,
        list(own.writes),
        list(own.reads),
        list(own.whole_writes),
        list(own.whole_reads),
        list(own.initial),
    )
    for one in far:
        if isinstance(one.access, Drive):
            _add_drive(facts, one.access, one.steps, one.node.body, one.node)
        else:
            _add_use(facts, one.access, one.steps, one.node.body, one.node)
    return facts


def _own_accesses(signal: Signal, shape: ArrayShape, body: Body) -> ArrayFacts:
    """Those that stand in the body itself, found once and kept with it: they are every instance's."""
    key = signal, shape.path, shape.apart
    known = body.arrays.get(key)
    if known is None:
        known = body.arrays[key] = ArrayFacts(signal, shape)
        for drive in signal.drives:
            _add_drive(known, drive, drive.steps, body, None)
        for use in uses(body).get(signal, []):
            _add_use(known, use, use.steps, body, None)
    return known


def _add_drive(
    facts: ArrayFacts, drive: Drive, steps: tuple[SelectStep, ...], body: Body, node: Node | None
) -> None:
    found = _matched(steps, facts.shape)
    if found is None:
        return
    if drive.initial:
        facts.initial.append(drive)
        return
    indices, inner = found
    if indices is None:
        if node is None:
            facts.whole_writes.append(drive)
        return
    at = At(body, drive.scope, drive.process, drive.order, drive.guards, drive.loops)
    plain = tuple(inlined(index, at) for index in indices)
    inner = inlined_steps(inner, at)
    facts.writes.append(Write(drive, plain, inner, drive.scope, drive.loops, indices, body, node))


def _add_use(
    facts: ArrayFacts, use: Use, steps: tuple[SelectStep, ...], body: Body, node: Node | None
) -> None:
    found = _matched(steps, facts.shape)
    if found is None:
        return
    indices, inner = found
    if indices is None:
        if node is None:
            facts.whole_reads.append(use)
        return
    order = use.drive.order if use.drive is not None else None
    guards = use.drive.guards if use.drive is not None else None
    at = At(body, use.scope, use.process, order, guards, use.loops)
    plain = tuple(inlined(index, at) for index in indices)
    facts.reads.append(Read(use, plain, inner, indices, body, node))


def _matched(
    steps: tuple[SelectStep, ...], shape: ArrayShape
) -> tuple[tuple[Expr, ...] | None, tuple[SelectStep, ...]] | None:
    """One index for each dimension and the steps into the word; no indices where some dimension has none.

    None when the steps lead to another field.
    """
    indices: list[Expr] = []
    for step, wanted in zip(steps, shape.path, strict=False):
        if wanted is not None:
            if step.kind != "field" or step.name != wanted:
                return None
        elif step.kind != "index" or step.expr is None:
            return None if step.kind == "field" else (None, ())
        else:
            indices.append(step.expr)
    if len(steps) < len(shape.path):
        return None, ()
    inner = steps[len(shape.path) :]
    if inner and inner[0].kind == "field" and inner[0].name in shape.apart:
        return None
    return tuple(indices), inner


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
