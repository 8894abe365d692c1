"""`textDocument/codeLens`: what units and instances take."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.asking import Seen, about
from memlint.server.commands import OVERVIEW
from memlint.server.lenses import lenses_of
from memlint.server.places import lsp_range
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_CODE_LENS


def handle(
    server: Server, params: types.CodeLensParams
) -> Awaitable[list[types.CodeLens] | None] | list[types.CodeLens]:
    """The lenses of a document; none where the user wants none. Each opens the overview."""
    if not server.session.preferences.lenses:
        return []
    return about(server, params.text_document.uri, _lenses)


def _lenses(seen: Seen) -> list[types.CodeLens]:
    uri = seen.document.uri
    return [
        types.CodeLens(
            lsp_range(seen.source, lens.span, seen.encoding),
            types.Command(lens.title, OVERVIEW, arguments=[uri]),
        )
        for lens in lenses_of(seen.judged, seen.source.file)
    ]
