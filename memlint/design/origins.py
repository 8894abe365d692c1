"""What a memory's shape follows from: its declaration, the types and constants that names, and theirs.

So does whether an instance is there: the conditions and bounds of the generate constructs around it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields, is_dataclass

from memlint.design.body import Signal
from memlint.design.hierarchy import Node
from memlint.design.scope import ConstantMeaning, Scope, TypeMeaning
from memlint.design.types import bits
from memlint.design.values import Int
from memlint.reading.facts.expressions import DataType, Name, Scoped
from memlint.reading.facts.items import (
    GenerateBlock,
    GenerateCase,
    GenerateFor,
    GenerateIf,
    Instance,
    Item,
    Parameter,
    Typedef,
    Variable,
)
from memlint.text.source import Span

_MOST = 48
"""Declarations followed: more than any shape has needed, and an end where constants are generated."""


@dataclass(frozen=True, slots=True)
class Origin:
    """A declaration that something follows from.

    `kind`: `declaration` (an array's own), `constant`, `type`, `override` (of the constant before it, by an
    instance) or `generate` (a construct around an instance). `value` is a constant's value or a type's bits,
    None where not known. `span` is the name, or the override. `definition` is what is written there, as
    facts: equal for equal meaning, whatever the spelling, and None where nothing is.
    """

    kind: str
    name: str
    value: int | None
    span: Span
    definition: object = field(default=None, repr=False)


def shape_origins(node: Node, signal: Signal) -> Iterator[Origin]:
    """The declaration of an array in an instance, then all it follows from, across instances upwards."""
    item = signal.item
    definition = (item.type, item.dimensions)
    yield Origin("declaration", item.name, None, item.span, definition)
    yield from _followed(definition, signal.scope, node)


def instance_origins(instance: Instance, parent: Node, items: Iterable[Item]) -> Iterator[Origin]:
    """The generate constructs around an instance, outermost first, then all that their conditions and
    bounds follow from. `items` are those of the unit that holds it, its architecture's included."""
    around = _around(instance, items)
    for span, definition in around:
        yield Origin("generate", "", None, span, definition)
    controls = (tuple(definition for _, definition in around), instance.dimensions)
    yield from _followed(controls, parent.body.scope, parent)


def named_instances(name: str, items: Iterable[Item]) -> list[Instance]:
    """The instances of that name among some items and in generate constructs there, in no order."""
    found: list[Instance] = []
    stack = [*items]
    while stack:
        match stack.pop():
            case Instance() as instance if instance.name == name:
                found.append(instance)
            case GenerateBlock(items=inner):
                stack += inner
            case GenerateFor(body=block):
                stack.append(block)
            case GenerateIf(then=then, otherwise=otherwise):
                stack += [block for block in (then, otherwise) if block is not None]
            case GenerateCase(arms=arms):
                stack += [block for _, block in arms]
    return found


def _around(instance: Instance, items: Iterable[Item]) -> tuple[tuple[Span, object], ...]:
    """Place and conditions of each generate construct on the way from some items to an instance."""
    stack: list[tuple[Item, tuple[tuple[Span, object], ...]]] = [(item, ()) for item in items]
    while stack:
        item, above = stack.pop()
        match item:
            case Instance() if item is instance:
                return above
            case GenerateBlock(items=inner):
                stack += [(one, above) for one in inner]
            case GenerateFor(body=block):
                control = (item.span, (item.first, item.condition, item.next))
                stack.append((block, (*above, control)))
            case GenerateIf(condition=condition):
                blocks = [block for block in (item.then, item.otherwise) if block is not None]
                stack += [(block, (*above, (item.span, condition))) for block in blocks]
            case GenerateCase(subject=subject):
                choices = tuple(choice for choice, _ in item.arms)
                stack += [(block, (*above, (item.span, (subject, choices)))) for _, block in item.arms]
    return ()


def _followed(definition: object, scope: Scope, node: Node) -> Iterator[Origin]:
    """What the names in a definition mean, then what those follow from, nearest first."""
    waiting = deque(_mentioned(definition, scope, node))
    seen: set[tuple[int, str]] = set()
    given = 0
    while waiting and given < _MOST:
        (package, name), where, at = waiting.popleft()
        meaning = where.lookup_in(package, name) if package else where.lookup(name)
        if not isinstance(meaning, ConstantMeaning | TypeMeaning) or (id(meaning.scope), name) in seen:
            continue
        seen.add((id(meaning.scope), name))
        for origin, inner_scope, inner_node in _origins(meaning, at):
            given += 1
            yield origin
            waiting.extend(_mentioned(origin.definition, inner_scope, inner_node))


def _origins(meaning: ConstantMeaning | TypeMeaning, node: Node) -> Iterator[tuple[Origin, Scope, Node]]:
    """The declaration of a name and, where the instance overrides it, that; each with the scope that what
    is written there is meant in. A default that is overridden has no say."""
    name, scope, item = meaning.name, meaning.scope, meaning.item
    match meaning, item:
        case ConstantMeaning(), Parameter() | Variable():
            written = item.value if isinstance(item, Parameter) else item.initial
            kind, value = "constant", meaning.value
            known = value.value if isinstance(value, Int) else None
        case TypeMeaning(), Parameter():
            kind, written, known = "type", item.value, _bits(meaning)
        case TypeMeaning(), Typedef():
            yield Origin("type", name, _bits(meaning), item.span, (item.type, item.dimensions)), scope, node
            return
        case _:
            return
    override = _override(name, scope, node)
    if override is None or node.child is None or node.parent is None:
        yield Origin(kind, name, known, item.span, written), scope, node
        return
    yield Origin(kind, name, known, item.span), scope, node
    span, expression = override
    yield Origin("override", name, known, span, expression), node.child.scope, node.parent


def _bits(meaning: TypeMeaning) -> int | None:
    size = bits(meaning.type)
    return size if isinstance(size, int) else None


def _override(name: str, scope: Scope, node: Node) -> tuple[Span, object] | None:
    """What the instance writes for a parameter of its unit, and where."""
    if node.child is None or scope is not node.body.scope:
        return None
    span = dict(node.child.overridden).get(name)
    if span is None:
        return None
    written = next((one.value for one in node.child.instance.overrides if one.span == span), None)
    return span, written


def _mentioned(written: object, scope: Scope, node: Node) -> Iterator[tuple[tuple[str, str], Scope, Node]]:
    """The names in an expression or type, each as (package, name), in order."""
    stack = [written]
    while stack:
        one = stack.pop()
        match one:
            case Name(name=name):
                yield ("", name), scope, node
            case Scoped(scope=package, name=name):
                yield (package, name), scope, node
            case tuple():
                stack.extend(reversed(one))
            case Span() | str():
                continue
            case _ if is_dataclass(one):
                if isinstance(one, DataType) and one.kind == "named":
                    yield (one.scope, one.name), scope, node
                stack.extend(getattr(one, part.name) for part in reversed(fields(one)))
