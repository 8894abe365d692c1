"""Units as a call hierarchy: who instantiates whom, and what each takes."""

from __future__ import annotations

from collections.abc import Iterable

from lsprotocol import types

from memlint.design.hierarchy import Node
from memlint.engine.totals import unit_totals
from memlint.reading.facts.items import Unit
from memlint.server.analysis import Judged
from memlint.server.lenses import summary
from memlint.text.encodings import Encoding
from memlint.text.source import Span


def unit_here(judged: Judged, file: str, offset: int) -> Unit | None:
    """The unit that is meant at a place: by an instance of it, else the one around it."""
    around: Unit | None = None
    for node in judged.design.nodes:
        unit = node.body.unit
        if node.child is not None and _covers(node.child.instance.statement, file, offset):
            return unit
        if _covers(unit.whole, file, offset):
            around = unit
    return around


def _covers(span: Span, file: str, offset: int) -> bool:
    return span.file == file and span.start <= offset <= span.end


def item(unit: Unit, judged: Judged, encoding: Encoding, asked: str) -> types.CallHierarchyItem:
    """A unit with what all its instances take together; `asked` is the document it was asked from."""
    place = judged.location(unit.span, encoding)
    totals = next((one for one in unit_totals(judged.judgement) if one.unit == unit.name), None)
    count = f"{totals.instances} x " if totals is not None and totals.instances > 1 else ""
    taken = summary(totals.tiers) if totals is not None else ""
    detail = f"{count}together {taken}" if count and taken else taken or "no memories"
    return types.CallHierarchyItem(
        unit.name,
        types.SymbolKind.Module,
        place.uri,
        judged.location(unit.whole.to(unit.span), encoding).range,
        place.range,
        detail=detail,
        data={"uri": asked, "unit": unit.name},
    )


def incoming(name: str, judged: Judged) -> dict[str, tuple[Unit, list[Span]]]:
    """The units that instantiate a unit, and where."""
    pairs = ((node.parent.body.unit, node) for node in judged.design.nodes if node.parent and _is(node, name))
    return _gathered((unit, node) for unit, node in pairs)


def outgoing(name: str, judged: Judged) -> dict[str, tuple[Unit, list[Span]]]:
    """The units that a unit instantiates, and where."""
    return _gathered(
        (node.body.unit, node) for node in judged.design.nodes if node.parent and _is(node.parent, name)
    )


def _is(node: Node, name: str) -> bool:
    return node.body.unit.name == name


def _gathered(pairs: Iterable[tuple[Unit, Node]]) -> dict[str, tuple[Unit, list[Span]]]:
    found: dict[str, tuple[Unit, list[Span]]] = {}
    for unit, node in pairs:
        if node.child is None:
            continue
        _, spans = found.setdefault(unit.name, (unit, []))
        if node.child.instance.span not in spans:
            spans.append(node.child.instance.span)
    return found
