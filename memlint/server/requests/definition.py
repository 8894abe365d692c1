"""`textDocument/definition`: where the clock, tier or memory that an intent names is declared."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.navigation import Target, definitions, meant_at
from memlint.server.places import uri_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DEFINITION


def handle(server: Server, params: types.DefinitionParams) -> Awaitable[list[types.Location] | None]:
    """None outside intents: the HDL's own names are for others to explain."""
    return about(server, params.text_document.uri, lambda seen: _places(seen, params.position))


def _places(seen: Seen, place: types.Position) -> list[types.Location] | None:
    meant = meant_at(seen.source, seen.offset(place), seen.document.language)
    if meant is None:
        return None
    return [location(one, seen) for one in definitions(meant, seen.judged)]


def location(target: Target, seen: Seen) -> types.Location:
    """A target as the editor is told of it."""
    if target.span is not None:
        return seen.judged.location(target.span, seen.encoding)
    assert target.path is not None
    start = types.Position(target.line - 1, 0)
    return types.Location(uri_of(target.path), types.Range(start, start))
