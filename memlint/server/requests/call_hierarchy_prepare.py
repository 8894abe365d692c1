"""`textDocument/prepareCallHierarchy`: the unit at a place."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.call_hierarchy import item, unit_here
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_PREPARE_CALL_HIERARCHY


def handle(
    server: Server, params: types.CallHierarchyPrepareParams
) -> Awaitable[list[types.CallHierarchyItem] | None]:
    """The unit that an instance names, else the one around the place."""
    return about(server, params.text_document.uri, lambda seen: _prepared(seen, params.position))


def _prepared(seen: Seen, place: types.Position) -> list[types.CallHierarchyItem] | None:
    unit = unit_here(seen.judged, seen.source.file, seen.offset(place))
    return [item(unit, seen.judged, seen.encoding, seen.document.uri)] if unit is not None else None
