"""Where a memory's dimensions come from: the constants in its declaration and what set them."""

from __future__ import annotations

from collections.abc import Iterator

from memlint.design.arrays import simple_names
from memlint.design.body import Signal
from memlint.design.hierarchy import Node
from memlint.design.memory import Note
from memlint.design.scope import ConstantMeaning, Scope
from memlint.design.values import Int
from memlint.reading.facts.items import Parameter, Variable

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
        shown = f"{value.value:,}" if isinstance(value, Int) else "not known"
        if isinstance(item, Parameter | Variable):
            given += 1
            yield Note(f"`{name}` is {shown}", item.span)
            default = item.value if isinstance(item, Parameter) else item.initial
            if isinstance(item, Parameter) and not item.local:
                yield from _overrides(node, name, scope)
            if default is not None:
                queue.extend(simple_names(default))


def _overrides(node: Node, name: str, scope: Scope) -> Iterator[Note]:
    at: Node | None = node
    while at is not None and at.child is not None and at.parent is not None:
        span = dict(at.child.overridden).get(name)
        if span is None:
            return
        yield Note(f"`{name}` is set here for `{at.path}`", span)
        at = None
