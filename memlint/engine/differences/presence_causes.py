"""Why a memory is on one side alone, or under another path: the instances, units and arrays behind it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from memlint.design.body import Signal
from memlint.design.hierarchy import Node
from memlint.design.memory import Memory
from memlint.design.origins import instance_origins, named_instances, shape_origins
from memlint.engine.differences.changes import Cause
from memlint.engine.differences.origin_causes import changed_origins
from memlint.engine.differences.pairs import Pair
from memlint.engine.sides import Side
from memlint.reading.facts.items import Item
from memlint.rules.totals import below
from memlint.rules.wording import quoted


@dataclass(frozen=True, slots=True)
class Sight:
    """A side with its instances by path."""

    side: Side
    nodes: Mapping[str, Node] = field(repr=False)
    items: Mapping[str, tuple[Item, ...]] = field(repr=False)

    @classmethod
    def of(cls, side: Side) -> Sight:
        """What can be seen of a side; nothing where its design is not there."""
        nodes = {node.path: node for node in side.design.nodes} if side.design is not None else {}
        items: dict[str, tuple[Item, ...]] = {}
        for unit in (unit for file in side.facts for unit in file.units):
            # What an architecture holds belongs to its entity.
            name = unit.of if unit.kind == "architecture" else unit.name
            items[name] = (*items.get(name, ()), *unit.items)
        return cls(side, nodes, items)


def shape_causes(pair: Pair, before: Sight, after: Sight) -> list[Cause]:
    """What was changed among all that the shape of a memory follows from."""
    was, now = _declared(pair.old.memory, before), _declared(pair.new.memory, after)
    if was is None or now is None:
        return []
    return changed_origins(tuple(shape_origins(*was)), tuple(shape_origins(*now)), before.side, after.side)


def added_causes(memory: Memory, before: Sight, after: Sight) -> list[Cause]:
    """Why a memory is on the new side alone."""
    array = next((one for one in before.side.judgement.not_memories if one.path == memory.path), None)
    if array is not None:
        return [Cause(f"the array was no memory: {array.reason}", array.span, "old")]
    return _presence_causes(memory, after, before, "new")


def removed_causes(memory: Memory, before: Sight, after: Sight) -> list[Cause]:
    """Why a memory is on the old side alone."""
    array = next((one for one in after.side.judgement.not_memories if one.path == memory.path), None)
    if array is not None:
        return [Cause(f"the array is no memory any more: {array.reason}", array.span)]
    return _presence_causes(memory, before, after, "old")


def moved_causes(old: str, new: str, after: Sight) -> list[Cause]:
    """Where the instance stands that has another path now; `old` and `new` are its paths."""
    node = after.nodes.get(new)
    span = node.child.instance.span if node is not None and node.child is not None else None
    return [Cause(f"{quoted(old)} is {quoted(new)} now", span)]


def _presence_causes(memory: Memory, here: Sight, there: Sight, side: str) -> list[Cause]:
    """Why a memory of one side, `here`, is not on the other; `side` is which of the two it is on."""
    word = "new" if side == "new" else "gone"
    for unit in there.side.judgement.missing:
        if any(below(memory.path, path) for path in unit.instances):
            text = f"the source of unit {quoted(unit.name)} is not in {there.side.name}"
            return [Cause(text, unit.span, "old" if side == "new" else "new")]
    node = next((here.nodes[path] for path in _above(memory.path) if _is_first(path, here, there)), None)
    if node is None:
        known = any(path in here.nodes for path in _above(memory.path))
        return [Cause(f"the declaration is {word}", memory.span, side)] if known or memory.planned else []
    if node.child is None or node.parent is None:
        return [Cause(f"the root {quoted(node.path)} is {word}", node.body.unit.span, side)]
    instance = node.child.instance
    text = f"the instance {quoted(node.path)} of {quoted(instance.unit)} is {word}"
    return [Cause(text, instance.span, side), *_generate_causes(node, node.parent, here, there, side)]


def _is_first(path: str, here: Sight, there: Sight) -> bool:
    return path in here.nodes and path not in there.nodes


def _generate_causes(node: Node, parent: Node, here: Sight, there: Sight, side: str) -> Iterator[Cause]:
    """Where the instance stands in the source of both sides: what decides whether it is there."""
    other = there.nodes.get(parent.path)
    if node.child is None or other is None:
        return
    own = here.items.get(parent.body.unit.name, ())
    others = there.items.get(other.body.unit.name, ())
    alike = named_instances(node.child.instance.name, others)
    if not alike:
        return
    mine = tuple(instance_origins(node.child.instance, parent, own))
    theirs = tuple(instance_origins(alike[0], other, others))
    if side == "new":
        yield from changed_origins(theirs, mine, there.side, here.side)
    else:
        yield from changed_origins(mine, theirs, here.side, there.side)


def _declared(memory: Memory, sight: Sight) -> tuple[Node, Signal] | None:
    """The instance that a memory is declared in, and the array."""
    for path in reversed(_above(memory.path)):
        node = sight.nodes.get(path)
        signal = node.body.signals.get(memory.path[len(path) + 1 :]) if node is not None else None
        if node is not None and signal is not None:
            return node, signal
    return None


def _above(path: str) -> list[str]:
    """Every dotted beginning of a path, shortest first."""
    return [path[:at] for at, character in enumerate(path) if character == "."]
