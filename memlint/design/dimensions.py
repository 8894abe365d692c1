"""Where a memory's dimensions come from: the constants in its declaration and what set them."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.body import Signal
from memlint.design.hierarchy import Node
from memlint.design.memory import Note
from memlint.design.scope import ConstantMeaning, Scope, TypeMeaning
from memlint.design.substitute import simple_names
from memlint.design.types import Struct
from memlint.design.values import Int, Partial, Unknown, Value, spell
from memlint.reading.facts.expressions import DataType, Name
from memlint.reading.facts.items import Parameter, Typedef, Variable
from memlint.text.source import Span

_MOST = 8


def dimension_notes(node: Node, signal: Signal) -> Iterator[Note]:
    """The constants a declaration's dimensions use, innermost first, then the overrides that set them."""
    scope = signal.scope
    seen: set[str] = set()
    names = simple_names((signal.item.type, signal.item.dimensions))
    queue = list(dict.fromkeys(reversed(names)))
    given = 0
    while queue and given < _MOST:
        name = queue.pop(0)
        if name in seen:
            continue
        seen.add(name)
        meaning = scope.lookup(name)
        if not isinstance(meaning, ConstantMeaning):
            continue
        item = meaning.item
        value = meaning.value
        shown = _shown(value)
        if isinstance(item, Parameter | Variable):
            given += 1
            yield Note(f"`{name}` is {shown}", item.span)
            default = item.value if isinstance(item, Parameter) else item.initial
            if isinstance(item, Parameter) and not item.local:
                yield from _overrides(node, name, scope)
            if default is not None:
                queue.extend(simple_names(default))


def _shown(value: Value) -> str:
    """A constant in a note. A struct of parameters is a vector too, and its number means nothing."""
    match value:
        case Int(value=number, type=Struct()):
            return "a struct"
        case Int(value=number):
            return f"{number:,}" if number.bit_length() <= 64 else spell(number)
        case Partial():
            return "a struct"
        case _:
            return "not known"


def settled_by(signal: Signal) -> str | None:
    """The parameter whose value would settle a shape that is not known, as `[assume]` names it.

    Of a chain of constants that are all unknown, the one furthest back that its unit lets one assume.
    """
    found: str | None = None
    item = signal.item
    queue = [(name, signal.scope) for name in simple_names((item.type, item.dimensions, _named(item.type)))]
    seen: set[tuple[str, int]] = set()
    while queue:
        name, scope = queue.pop(0)
        if (name, id(scope)) in seen:
            continue
        seen.add((name, id(scope)))
        meaning = scope.lookup(name)
        if isinstance(meaning, TypeMeaning) and isinstance(meaning.item, Typedef):
            inside = simple_names((meaning.item.type, meaning.item.dimensions))
            queue.extend((one, meaning.scope) for one in inside)
        if not isinstance(meaning, ConstantMeaning) or not isinstance(meaning.value, Unknown):
            continue
        if isinstance(meaning.item, Parameter) and not meaning.item.is_type and _assumable(meaning.scope):
            found = f"{meaning.scope.name}.{name}"
        default = getattr(meaning.item, "value", None) or getattr(meaning.item, "initial", None)
        if default is not None:
            queue.extend((one, meaning.scope) for one in simple_names(default))
    return found


def _assumable(scope: Scope) -> bool:
    """Whether a scope is a unit's or a package's own, not that of a block or the compilation unit."""
    return bool(scope.name) and "." not in scope.name and scope.name != "$unit"


def _named(type: DataType | None) -> tuple[Name, ...]:
    """A named type as a name, so that what is behind it is looked at too."""
    if type is None or type.kind != "named" or type.scope:
        return ()
    return (Name(type.name, span=Span("", 0, 0)),)


def _overrides(node: Node, name: str, scope: Scope) -> Iterator[Note]:
    at: Node | None = node
    while at is not None and at.child is not None and at.parent is not None:
        span = dict(at.child.overridden).get(name)
        if span is None:
            return
        yield Note(f"`{name}` is set here for `{at.path}`", span)
        at = None
