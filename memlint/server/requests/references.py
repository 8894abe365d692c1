"""`textDocument/references`: where else a name of an intent, or a memory, is used."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.navigation import definitions, meant_at, memory_references, references
from memlint.server.requests.definition import location
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_REFERENCES


def handle(server: Server, params: types.ReferenceParams) -> Awaitable[list[types.Location] | None]:
    """The uses of a clock, tier, rule or path that an intent names; elsewhere those of the memory."""
    return about(server, params.text_document.uri, lambda seen: _places(seen, params))


def _places(seen: Seen, params: types.ReferenceParams) -> list[types.Location] | None:
    offset = seen.offset(params.position)
    meant = meant_at(seen.source, offset, seen.document.language)
    if meant is None:
        spans = memory_references(seen.judged, seen.source.file, offset)
        return [seen.judged.location(span, seen.encoding) for span in spans] or None
    places = [seen.judged.location(span, seen.encoding) for span in references(meant, seen.judged)]
    declared = [location(one, seen) for one in definitions(meant, seen.judged)]
    if params.context.include_declaration:
        return [*(one for one in declared if one not in places), *places]
    return [one for one in places if one not in declared]
