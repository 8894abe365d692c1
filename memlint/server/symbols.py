"""The memories of a file and of a project, as the editor's outline and search show them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lsprotocol import types

from memlint.reading.facts.items import Unit
from memlint.rules.view import MemoryView
from memlint.server.analysis import Judged
from memlint.server.asking import Seen
from memlint.server.hints import declared, one_memory
from memlint.server.places import lsp_range
from memlint.text.encodings import Encoding
from memlint.text.source import Span

MOST_FOUND = 500


def outline(seen: Seen) -> list[types.DocumentSymbol]:
    """The units of a document that declare memories, with their memories inside."""
    judgement, file = seen.judgement, seen.source.file
    by_place: dict[Span, list[MemoryView]] = {}
    for view in (*judgement.memories, *judgement.outside):
        if view.memory.span.file == file:
            by_place.setdefault(view.memory.span, []).append(view)
    facts = seen.judged.facts_of(file)
    found: list[types.DocumentSymbol] = []
    left = dict(by_place)
    for unit in facts.units if facts is not None else ():
        inside = [span for span in left if unit.whole.start <= span.start < unit.whole.end]
        if inside:
            memories = [_memory(left.pop(span), seen) for span in sorted(inside, key=_start)]
            found.append(_unit(unit, memories, seen))
    found.extend(_memory(left[span], seen) for span in sorted(left, key=_start))
    return found


def _start(span: Span) -> int:
    return span.start


def _unit(unit: Unit, memories: list[types.DocumentSymbol], seen: Seen) -> types.DocumentSymbol:
    name = lsp_range(seen.source, unit.span, seen.encoding)
    whole = lsp_range(seen.source, unit.whole.to(unit.span), seen.encoding)
    return types.DocumentSymbol(unit.name, types.SymbolKind.Module, whole, name, children=memories)


def _memory(views: Sequence[MemoryView], seen: Seen) -> types.DocumentSymbol:
    memory = views[0].memory
    whole = Span(memory.span.file, min(memory.statement.start, memory.span.start), memory.span.end)
    if memory.statement.file == memory.span.file:
        whole = whole.to(memory.statement)
    return types.DocumentSymbol(
        memory.name,
        types.SymbolKind.Array,
        lsp_range(seen.source, whole, seen.encoding),
        lsp_range(seen.source, memory.span, seen.encoding),
        detail=declared(views),
    )


def flat(
    symbols: Sequence[types.DocumentSymbol], uri: str, within: str = ""
) -> Iterator[types.SymbolInformation]:
    """The same for editors that know no tree."""
    for one in symbols:
        place = types.Location(uri, one.selection_range)
        yield types.SymbolInformation(place, one.name, one.kind, container_name=within or None)
        yield from flat(one.children or (), uri, one.name)


def found_in(judged: Judged, query: str, encoding: Encoding) -> Iterator[types.WorkspaceSymbol]:
    """The memories of a project whose path has all letters of a query in their order, as editors search."""
    for view in judged.judgement.memories:
        memory = view.memory
        if _has(memory.path.lower(), query.lower()):
            yield types.WorkspaceSymbol(
                judged.location(memory.span, encoding),
                f"{memory.name}: {one_memory(view)}",
                types.SymbolKind.Array,
                container_name=memory.path.rpartition(".")[0],
            )


def _has(text: str, letters: str) -> bool:
    rest = iter(text)
    return all(letter in rest for letter in letters if not letter.isspace())
